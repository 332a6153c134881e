"""The method of nonlinear currents: first, second and third order of a weakly nonlinear network.

Enters: a network with one signal, nonlinearities, a frequency, a peak. Leaves: phasors. Must not know: laws, words.

First order: the linear network under the signal. Second: the signal at rest, each nonlinearity sends the current that
its second-order terms make of the first-order voltages, at 2f. Third: likewise at 3f, of its third-order terms with
the first-order voltages, and of its second-order terms with first and second order mixed. (J. J. Bussgang, L. Ehrman,
J. W. Graham, "Analysis of nonlinear systems with multiple inputs", Proc. IEEE 62 (1974) 1088; from memory.) With v =
Re(V exp(jwt)): v_a v_b has Re(V_a V_b/2 · exp(2jwt)), v_a v_b v_c has V_a V_b V_c/4 at 3f, and first order times
second order has V_a W_b/2.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import pi, prod

import numpy as np
from numpy.typing import NDArray

from derive.answers.records import Inquiry
from derive.distortion.records import Nonlinearity, Term
from derive.network.records import Edge
from derive.opinion.equations import Number, System, stamp

Vector = NDArray[np.complex128]


@dataclass(frozen=True)
class Orders:
    """``first``: of each control of each nonlinearity, at f; ``output``: the fundamental. ``second``, ``third``,
    ``own``: at the output, by nonlinearity (``own``: by its own third-order terms)."""

    output: complex
    first: tuple[tuple[complex, ...], ...]
    second: tuple[complex, ...]
    third: tuple[complex, ...]
    own: tuple[complex, ...]


class _Solved:
    """The network at one frequency, ready for any excitation."""

    def __init__(self, inquiry: Inquiry, values: Mapping[str, Number], s: complex) -> None:
        self.system: System = stamp(inquiry, values, s)
        sizes = np.abs(self.system.matrix)
        self.rows = 1 / np.maximum(sizes.max(axis=1), 1e-300)
        scaled = self.rows[:, None] * self.system.matrix
        self.columns = 1 / np.maximum(np.abs(scaled).max(axis=0), 1e-300)
        self.matrix = scaled * self.columns[None, :]

    def respond(self, source: Vector) -> Vector:
        right = self.rows * source
        x = np.linalg.solve(self.matrix, right)
        x = x + np.linalg.solve(self.matrix, right - self.matrix @ x)
        return np.asarray(self.columns * x, dtype=complex)

    def read(self, x: Vector, edge: Edge) -> complex:
        return complex(self.system.incidence(edge) @ x)

    def sent(self, edge: Edge, current: complex) -> Vector:
        """The response to a current that leaves the first node of ``edge`` through the device and enters the second."""
        return self.respond(-current * self.system.incidence(edge))


def orders(
    inquiry: Inquiry, values: Mapping[str, Number], found: Sequence[Nonlinearity], frequency: float, peak: float
) -> Orders:
    """``inquiry``: from the signal to the output; ``peak`` of the signal in volts or amperes; ``frequency`` in Hz.

    Raises numpy's LinAlgError where the equations are singular.
    """
    omega = 2 * pi * frequency
    at, at2, at3 = (_Solved(inquiry, values, 1j * k * omega) for k in (1, 2, 3))
    x = at.respond(peak * at.system.source)
    first = tuple(tuple(at.read(x, edge) for edge in one.controls) for one in found)
    out = inquiry.above
    responses = []
    for one, voltages in zip(found, first, strict=True):
        current = _flow(one, 2j * omega, sum(t.number * prod(voltages[p] for p in t.powers) for t in one.second) / 2)
        responses.append(at2.sent(one.edge, current))
    whole = np.sum(responses, axis=0)
    third, own = [], []
    for one, voltages in zip(found, first, strict=True):
        doubled = tuple(at2.read(whole, edge) for edge in one.controls)
        cubic = sum(t.number * prod(voltages[p] for p in t.powers) for t in one.third) / 4
        mixed = sum(_mixed(t, voltages, doubled) for t in one.second) / 2
        pair = [at3.read(at3.sent(one.edge, _flow(one, 3j * omega, v)), out) for v in (cubic + mixed, cubic)]
        third.append(pair[0])
        own.append(pair[1])
    second = tuple(at2.read(r, out) for r in responses)
    return Orders(at.read(x, out), first, second, tuple(third), tuple(own))


def _flow(one: Nonlinearity, s: complex, amount: complex) -> complex:
    return amount * s if one.kind == "charge" else amount


def _mixed(term: Term, first: tuple[complex, ...], second: tuple[complex, ...]) -> complex:
    a, b = term.powers
    return term.number * (first[a] * second[b] + first[b] * second[a])
