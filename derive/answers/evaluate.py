"""An answer's value from its diagrams in floating point, for many sets of numbers at once, and its exact sensitivities.

Enters: an inquiry, numbers of its symbols (single or arrays), a frequency. Leaves: complex values, sensitivities.
Must not know: where the numbers come from, statements.

A determinant is linear in each admittance y: with N0 what it is at y = 0, the part of N that y multiplies is N - N0,
and d ln N/d ln y = (N - N0)/N. No difference quotient is taken; the arithmetic has PRECISION bits and bounds its own
rounding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Any

import flint
import numpy as np
from numpy.typing import NDArray

from derive.answers.exact import NoSolution, diagrams
from derive.answers.records import Inquiry
from derive.kernel.diagram import Diagram
from derive.network.records import Element

PRECISION = 256
ROOM = 6_000_000
"""Complex numbers that a pass may hold at a time."""
Numbers = Mapping[str, Any]
Complexes = NDArray[np.complex128]


INVERSE = ("resistance", "ratio", "inductance")
"""Laws whose number stands where the element is deleted, its admittance being an inverse of it."""


@dataclass(frozen=True)
class Halves:
    """(a + b t)/(c + d t)."""

    a: complex
    b: complex
    c: complex
    d: complex


class Evaluator:
    """The diagrams of one inquiry, made once. Raises NoSolution where the lower one vanishes, TooLarge."""

    def __init__(self, inquiry: Inquiry) -> None:
        self.inquiry = inquiry
        self.above, self.below = diagrams(inquiry)
        if self.below.root == 0:
            raise NoSolution(f"{inquiry.name} has no finite value: the network's determinant is zero")
        self.elements = {element.name: element for element in inquiry.network.elements}
        self.size = max(self.above.size, self.below.size)

    @property
    def symbols(self) -> tuple[str, ...]:
        """The symbols that the answer may depend on."""
        names = dict.fromkeys((*self.above.elements, *self.below.elements))
        found = [name for name in names if self.elements[name].symbol is not None]
        return (*found, *((self.inquiry.factor,) if self.inquiry.factor else ()))

    def at(self, numbers: Numbers, frequency: float) -> Complexes:
        """The values at ``frequency`` (Hz); numbers are floats or arrays of one length."""
        count = max((np.size(numbers[name]) for name in self.symbols), default=1)
        chunk = max(1, ROOM // max(1, self.size))
        found = np.empty(count, dtype=complex)
        for start in range(0, count, chunk):
            stop = min(start + chunk, count)
            found[start:stop] = self._at(_portion(numbers, self.symbols, start, stop), frequency)
        return found

    def _at(self, numbers: Numbers, frequency: float) -> Any:
        s = 2j * pi * frequency
        above, below = (self._fold(diagram, numbers, s) for diagram in (self.above, self.below))
        factor = numbers[self.inquiry.factor] if self.inquiry.factor else 1.0
        with np.errstate(all="ignore"):
            return np.asarray(above * factor / below, dtype=complex)

    def _fold(self, diagram: Diagram, numbers: Numbers, s: complex) -> Any:
        pairs = [_weights(self.elements[name], numbers, s) for name in diagram.elements]
        with np.errstate(all="ignore"):
            return diagram.fold(1.0, 0.0, [c for c, _ in pairs], [d for _, d in pairs])

    def sensitivities(self, numbers: Mapping[str, Fraction], frequency: Fraction) -> dict[str, complex]:
        """d ln H/d ln x for every symbol x, exact: the real part is that of the magnitude, the imaginary part that of
        the phase in radians. Nothing for an answer that is zero or infinite here."""
        with _Bits():
            s = flint.acb(0, 2 * flint.arb.pi() * _ball(frequency))
            below = self._shares(self.below, numbers, s)
            above = self._shares(self.above, numbers, s)
        if above is None or below is None:
            return {}
        found = {name: above.get(name, 0j) - below.get(name, 0j) for name in self.symbols}
        if self.inquiry.factor:
            found[self.inquiry.factor] = found.get(self.inquiry.factor, 0j) + 1
        return found

    def halves(self, name: str, numbers: Mapping[str, Fraction], frequency: Fraction) -> Halves | None:
        """The answer as a function of one symbol alone, (a + b t)/(c + d t) with t = 1 at its present number.

        None where the answer is infinite there.
        """
        with _Bits():
            s = flint.acb(0, 2 * flint.arb.pi() * _ball(frequency))
            above, below = (self._split(diagram, name, numbers, s) for diagram in (self.above, self.below))
            whole = below[0] + below[1]
            if whole.contains(flint.acb(0)):
                return None
            a, b, c, d = (part / whole for part in (*above, *below))
            if self.inquiry.factor is not None:
                weight = _ball(numbers[self.inquiry.factor])
                a, b = (flint.acb(0), a * weight) if self.inquiry.factor == name else (a * weight, b * weight)
            return Halves(complex(a), complex(b), complex(c), complex(d))

    def _split(self, diagram: Diagram, name: str, numbers: Mapping[str, Fraction], s: Any) -> tuple[Any, Any]:
        """What of a determinant does not go with a symbol, and what does."""
        pairs = [_exact_weights(self.elements[one], numbers, s) for one in diagram.elements]
        contracted, deleted = [c for c, _ in pairs], [d for _, d in pairs]
        one, zero = flint.acb(1), flint.acb(0)
        whole = diagram.fold(one, zero, contracted, deleted)
        if name not in diagram.elements:
            return whole, zero
        side = deleted if self.elements[name].law in INVERSE else contracted
        side[diagram.elements.index(name)] = zero
        rest = diagram.fold(one, zero, contracted, deleted)
        return rest, whole - rest

    def _shares(self, diagram: Diagram, numbers: Mapping[str, Fraction], s: Any) -> dict[str, complex] | None:
        """d ln N/d ln x of one determinant by symbol; None where it vanishes here."""
        pairs = [_exact_weights(self.elements[name], numbers, s) for name in diagram.elements]
        contracted, deleted = [c for c, _ in pairs], [d for _, d in pairs]
        zero = flint.acb(0)
        whole = diagram.fold(flint.acb(1), zero, contracted, deleted)
        if whole.contains(zero):
            return None
        shares: dict[str, complex] = {}
        for place, name in enumerate(diagram.elements):
            element = self.elements[name]
            if element.symbol is None:
                continue
            # Resistances, gains and inductances stand where the element is deleted.
            side = deleted if element.law in INVERSE else contracted
            kept, side[place] = side[place], zero
            rest = diagram.fold(flint.acb(1), zero, contracted, deleted)
            side[place] = kept
            shares[name] = complex((whole - rest) / whole)
        return shares


class _Bits:
    """The working precision of ball arithmetic, put back afterwards."""

    def __enter__(self) -> None:
        self.kept, flint.ctx.prec = flint.ctx.prec, PRECISION

    def __exit__(self, *_: object) -> None:
        flint.ctx.prec = self.kept


def _ball(value: Fraction) -> Any:
    return flint.arb(flint.fmpq(value.numerator, value.denominator))


def _exact_weights(element: Element, numbers: Mapping[str, Fraction], s: Any) -> tuple[Any, Any]:
    """What a contracted and a deleted element contribute, as in ``derive.algebra.ring``."""
    one = flint.acb(1)
    if element.law == "unity":
        return one, one
    number = flint.acb(_ball(numbers[element.name]))
    match element.law:
        case "resistance" | "ratio":
            return one, number
        case "capacitance" | "delay":
            return number * s, one
        case "inductance":
            return one, number * s
        case _:
            return number, one


def _weights(element: Element, numbers: Numbers, s: complex) -> tuple[Any, Any]:
    """Contracted and deleted in floating point; an admittance against one, but for an inductor at zero frequency."""
    match element.law:
        case "unity":
            return 1.0, 1.0
        case "resistance" | "ratio":
            return 1 / numbers[element.name], 1.0
        case "capacitance" | "delay":
            return (s * numbers[element.name] if s else 0.0), 1.0
        case "inductance":
            return (1 / (s * numbers[element.name]), 1.0) if s else (1.0, 0.0)
        case _:
            return numbers[element.name], 1.0


def _portion(numbers: Numbers, names: Sequence[str], start: int, stop: int) -> dict[str, Any]:
    return {name: numbers[name] if np.ndim(numbers[name]) == 0 else numbers[name][start:stop] for name in names}
