"""Stability over a value: in which ranges of it the circuit is stable, and where between it comes nearest to not being.

Enters: a prepared circuit, a sweep that is asked. Leaves: records. Must not know: words, LaTeX.

The determinant is P0(s) + v·P1(s) in the number v of any one element. A pole crosses the axis only where
v = -P0(jω)/P1(jω) is real, passes through zero where P(0) vanishes, and through infinity where the leading coefficient
does: all such v are roots of polynomials, so between them the number of poles in the right half plane stays as it is.
That part is exact; the least damping and phase margin are of values on a logarithmic grid, and said to be.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import Unanswerable, return_ratio
from derive.approximate.axis import polynomial
from derive.circuit.records import Sweep
from derive.explain.margins import critical_places, margins
from derive.explain.natural import determinant_of, parted
from derive.network.records import Element, Law, Network

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared

A_DECADE = 12
"""Values a decade at which damping and phase margin are looked at."""
LAWS: dict[str, Law] = {"resistor": "resistance", "capacitor": "capacitance", "inductor": "inductance"}
ADDED = "added"
"""The name of an element that is added for the sweep; no part of a description is called so."""


@dataclass(frozen=True)
class Span:
    """Values from ``low`` to ``high`` over which ``right`` poles lie in the right half plane."""

    low: float
    high: float
    right: int


@dataclass(frozen=True)
class Border:
    """A value at which poles pass the axis, and the frequency (Hz) at which they do; zero for a real pole."""

    value: float
    frequency: float


@dataclass(frozen=True)
class Sample:
    """At one value: the least damping of all poles, and the least phase margin of the loop that is watched."""

    value: float
    damping: float | None
    phase_margin: float | None


@dataclass(frozen=True)
class Swept:
    """The result. ``spans`` ascend and cover the sweep; ``borders`` lie between them."""

    sweep: Sweep
    spans: tuple[Span, ...]
    borders: tuple[Border, ...]
    samples: tuple[Sample, ...]
    loop: str | None

    @property
    def stable(self) -> bool:
        """Whether no pole lies in the right half plane anywhere in the sweep."""
        return all(not span.right for span in self.spans)

    @property
    def least_damping(self) -> Sample | None:
        found = [s for s in self.samples if s.damping is not None]
        return min(found, key=lambda s: s.damping or 0.0, default=None)

    @property
    def least_margin(self) -> Sample | None:
        found = [s for s in self.samples if s.phase_margin is not None]
        return min(found, key=lambda s: abs(s.phase_margin or 0.0), default=None)


def sweep(prepared: Prepared, asked: Sweep, main: str | None = None) -> Swept | None:
    """Stability over the sweep; ``main``: the loop whose margin is told where the author names none.

    None where the determinant vanishes identically. Raises TooLarge, Unanswerable.
    """
    network, name = swept_network(prepared.network, asked)
    numbers = dict(prepared.ground.numbers)
    nought, one = (determinant_of(network, {**numbers, name: Fraction(v)}) for v in (0, 1))
    size = max(len(nought), len(one))
    if not size:
        return None
    still, moving = _split(nought, one, size)
    low, high = asked.low.value, asked.high.value
    borders = _borders(still, moving, low, high)
    ends = [low, *(Fraction(b.value) for b in borders), high]
    spans = tuple(Span(float(a), float(b), _right(still, moving, _between(a, b))) for a, b in pairwise(ends) if a < b)
    loop = asked.loop or main
    samples = tuple(_sample(v, still, moving, network, name, numbers, loop) for v in _grid(low, high))
    merged, kept = _merged(spans, borders)
    return Swept(asked, merged, kept, samples, loop)


def swept_network(network: Network, asked: Sweep) -> tuple[Network, str]:
    """The network with the element of the sweep in it, and that element's name."""
    if asked.part is not None:
        try:
            network.element(asked.part)
        except KeyError:
            raise Unanswerable(f"{asked.part} acts on nothing here: both of its ends are on one node") from None
        return network, asked.part
    assert asked.at is not None
    edge = (network.node(asked.at), network.ground)
    added = Element(ADDED, ADDED, LAWS[asked.kind], edge, edge)
    return replace(network, elements=(*network.elements, added)), ADDED


def _split(nought: Sequence[Fraction], one: Sequence[Fraction], size: int) -> tuple[list[Fraction], list[Fraction]]:
    """P0 and P1 of P0 + v·P1, from the determinant at v = 0 and at v = 1."""
    still = [*nought, *[Fraction(0)] * (size - len(nought))]
    whole = [*one, *[Fraction(0)] * (size - len(one))]
    return still, [b - a for a, b in zip(still, whole, strict=True)]


def _at(still: Sequence[Fraction], moving: Sequence[Fraction], value: Fraction) -> list[Fraction]:
    found = [a + value * b for a, b in zip(still, moving, strict=True)]
    while found and not found[-1]:
        found.pop()
    return found


def _right(still: Sequence[Fraction], moving: Sequence[Fraction], value: Fraction) -> int:
    return len(parted(_at(still, moving, value)).right)


def _borders(
    still: Sequence[Fraction], moving: Sequence[Fraction], low: Fraction, high: Fraction
) -> tuple[Border, ...]:
    """Every value in the sweep at which a pole may pass the axis, ascending."""
    found = [
        Border(1 / place.factor, place.frequency)
        for place in critical_places(polynomial(still), polynomial(moving))
        if place.factor
    ]
    power = next(p for p, pair in enumerate(zip(still, moving, strict=True)) if any(pair))
    for place, frequency in ((power, 0.0), (len(still) - 1, float("inf"))):
        if moving[place] and -still[place] / moving[place] > 0:
            found.append(Border(float(-still[place] / moving[place]), frequency))
    inside = sorted((b for b in found if low < b.value < high), key=lambda b: b.value)
    return tuple(b for place, b in enumerate(inside) if not place or b.value > inside[place - 1].value)


def _merged(spans: Sequence[Span], borders: Sequence[Border]) -> tuple[tuple[Span, ...], tuple[Border, ...]]:
    """Neighbours with as many poles on the right become one, and the border between them goes."""
    made: list[Span] = []
    kept: list[Border] = []
    for place, span in enumerate(spans):
        if made and made[-1].right == span.right:
            made[-1] = Span(made[-1].low, span.high, span.right)
        else:
            made.append(span)
            kept += [borders[place - 1]] if place else []
    return tuple(made), tuple(kept)


def _between(low: Fraction, high: Fraction) -> Fraction:
    """About the geometric mean, exactly."""
    middle = Fraction(float(low) ** 0.5 * float(high) ** 0.5)
    return middle if low < middle < high else (low + high) / 2


def _grid(low: Fraction, high: Fraction) -> list[Fraction]:
    decades = float(np.log10(float(high) / float(low)))
    count = max(int(decades * A_DECADE), 2) + 1
    inner = [Fraction(float(v)) for v in np.geomspace(float(low), float(high), count)[1:-1]]
    return [low, *inner, high]


def _sample(
    value: Fraction, still: Sequence[Fraction], moving: Sequence[Fraction], network: Network, name: str,
    numbers: Mapping[str, Fraction], loop: str | None,
) -> Sample:  # fmt: skip
    margin: Any = None
    if loop is not None:
        try:
            ratio = spectrum(return_ratio(loop, network, loop), {**numbers, name: value})
            margin = margins(ratio).phase
        except (NoSolution, Unanswerable):
            margin = None
    damping = parted(_at(still, moving, value)).least_damping
    return Sample(float(value), damping, None if margin is None else margin.phase_margin)
