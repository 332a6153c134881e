"""The corners of a gain by time constants: open-circuit ones for the upper, short-circuit ones for the lower.

Enters: a gain's exact answer. Leaves: tables of time constants and the corners that their sums give, beside the true
ones. Must not know: LaTeX, pages.

Upper end, the lower group shorted: 1 + b1 s + … with b1 = Σ C R_open, R_open seen by C with all other capacitances of
its group open; corner about 1/(2 pi b1). Lower end, the upper group open: the sum of 1/(C R_short), R_short seen with
all others of its group shorted, is the second highest coefficient over the highest; corner about that sum/(2 pi)
(P. E. Gray and C. L. Searle, "Electronic Principles", 1969; P. R. Gray et al., "Analysis and Design of Analog
Integrated Circuits", chapter 7; from memory). Both sums are compared exactly with the coefficients of the
determinant. The true corner is where the gain of the whole network is 3 dB below that at mid-band. Where the gain at
the spot is not that at mid-band within 3 dB, the spot lies in no such band, and there are no corners around it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import pi
from typing import Literal

from derive.algebra.spectrum import Spectrum, coefficients_of, roots
from derive.answers.exact import NoSolution, diagrams
from derive.answers.records import Exact, Inquiry
from derive.approximate.axis import ZERO, Square, crossings, frequency_of, place_of, polynomial
from derive.approximate.reduce import Ground
from derive.errors import Defect
from derive.explain.derived import Bench, Derived
from derive.explain.reactances import Reactances, at_mid_band, sorted_out
from derive.explain.splits import at_side
from derive.expression.tree import Name, Sym
from derive.network.records import Element
from derive.words import Formula, Words

COMPARABLE = 4.0
"""Ratio of the dominant root's magnitude to the next one's below which a sum of time constants is no corner."""
COUNTS = 0.05
"""The share of a sum from which what a capacitance sees is worth a search for a short form."""
REAL = 1e-9
NEAR = 2.0
"""How far |gain|² at the spot may be from that at mid-band for the spot to lie in mid-band."""


@dataclass(frozen=True)
class TimeConstant:
    """``seen``: the resistance (ohms) that the part sees; ``seconds``: C·R; ``share``: of the sum that gives the corner
    (of C R at the upper end, of 1/(C R) at the lower)."""

    part: str
    value: float
    unit: str
    seen: Derived
    seconds: float
    share: float


@dataclass(frozen=True)
class Corner:
    """One end of the band. ``by_sum``: Hz, by the sum of time constants; ``true``: where the whole gain is 3 dB below
    mid-band, or None; ``error``: by_sum/true - 1. ``nature`` of the dominant roots of this end's determinant.
    """

    end: Literal["upper", "lower"]
    constants: tuple[TimeConstant, ...]
    by_sum: float
    true: float | None
    nature: Literal["single", "comparable", "complex"]
    spread: float | None

    @property
    def error(self) -> float | None:
        return None if self.true is None else self.by_sum / self.true - 1


@dataclass(frozen=True)
class TimeConstants:
    """``mid``: the gain at mid-band, exact. ``refused``: why there is no corner of an end, by its name; of both where
    the spot lies in no mid-band."""

    question: str
    groups: Reactances
    mid: Derived
    corners: tuple[Corner, ...]
    refused: tuple[tuple[Literal["upper", "lower", "both"], str], ...]


def time_constants(name: str, exact: Exact, bench: Bench) -> TimeConstants | None:
    """The corners of a gain; None for a network without capacitances that act."""
    if any(e.law == "inductance" for e in exact.inquiry.network.elements):
        return None
    groups = sorted_out(exact, bench.prepared.ground)
    if not groups.lower and not groups.upper:
        return None
    try:
        mid = bench.piece(Name(f"{name}_mid"), ("at mid-band",), at_mid_band(exact.inquiry, groups), "m")
    except NoSolution:
        return None
    spot = abs(exact.spectrum.at_frequency(bench.prepared.ground.spot)) ** 2
    if not spot / NEAR <= abs(mid.spot) ** 2 <= spot * NEAR or not spot:
        return TimeConstants(name, groups, mid, (), (("both", _no_mid_band(groups, not abs(mid.spot))),))
    corners: list[Corner] = []
    refused: list[tuple[Literal["upper", "lower", "both"], str]] = []
    ends: tuple[tuple[Literal["upper", "lower"], tuple[Element, ...]], ...]
    ends = (("lower", groups.lower), ("upper", groups.upper))
    for end, elements in ends:
        if elements:
            found = _corner(end, elements, exact, groups, mid, bench)
            if isinstance(found, Corner):
                corners.append(found)
            else:
                refused.append((end, found))
    return TimeConstants(name, groups, mid, tuple(corners), tuple(refused))


def _no_mid_band(groups: Reactances, zero: bool) -> str:
    taken = (("shorted", groups.lower), ("open", groups.upper))
    said = " and ".join(f"{', '.join(e.name for e in group)} {how}" for how, group in taken if group)
    differs = "there is no gain at all" if zero else "the gain differs by more than 3 dB from that at the spot"
    return f"the spot lies in no mid-band, since with {said} {differs}"


def _corner(
    end: Literal["upper", "lower"],
    elements: tuple[Element, ...],
    exact: Exact,
    groups: Reactances,
    mid: Derived,
    bench: Bench,
) -> Corner | str:
    """The corner, or why there is none."""
    ground = bench.prepared.ground
    network = exact.inquiry.network
    if end == "upper":
        network = network.contract(*(e.name for e in groups.lower)).delete(*(e.name for e in groups.idle))
    else:
        network = network.delete(*(e.name for e in (*groups.upper, *groups.idle)))
    inquiry = replace(exact.inquiry, network=network)
    seen: list[Exact] = []
    for element in elements:
        try:
            seen.append(bench.exact(_seen(end, element, elements, inquiry)))
        except NoSolution:
            how = "open" if end == "upper" else "shorted"
            return f"with the others {how}, {element.name} sees an infinite resistance"
    numbers = [found.spectrum.exactly_at(Fraction(0)) for found in seen]
    values = [ground.numbers[e.name] for e in elements]
    if end == "lower" and not all(numbers):
        return "its capacitances form a loop when shorted, so that one of them sees no resistance"
    products = [value * number for value, number in zip(values, numbers, strict=True)]
    parts = products if end == "upper" else [1 / p for p in products]
    whole = sum(parts, Fraction(0))
    coefficients = coefficients_of(diagrams(inquiry)[1], {e.name: e for e in network.elements}, ground.numbers)
    _require_sum(end, whole, coefficients, len(elements))
    if whole <= 0:
        return "the sum of its time constants is not positive: a pole lies in the right half plane"
    rate = 1 / whole if end == "upper" else whole
    rows = tuple(
        _constant(end, e, float(v), found, float(p), float(part / whole), len(elements) > 1, bench)
        for e, v, found, p, part in zip(elements, values, seen, products, parts, strict=True)
    )
    nature, spread = _nature(end, coefficients)
    true = true_corner(exact.spectrum, mid.spot, end, ground)
    return Corner(end, tuple(sorted(rows, key=lambda r: -abs(r.share))), float(rate) / (2 * pi), true, nature, spread)


def _seen(end: str, element: Element, elements: tuple[Element, ...], inquiry: Inquiry) -> Inquiry:
    others = tuple(e.name for e in elements if e.name != element.name)
    network = at_side(inquiry, "zeroed").delete(element.name)
    network = network.delete(*others) if end == "upper" else network.contract(*others)
    unit = "Ω" if element.law == "capacitance" else "1"
    return Inquiry(f"R_{element.name}", network, "current", element.current, element.voltage, None, None, unit)


def _constant(
    end: str, element: Element, value: float, seen: Exact, product: float, share: float, others: bool, bench: Bench
) -> TimeConstant:
    how = "open" if end == "upper" else "shorted"
    rule: Words = ("seen by ", Formula(Sym(element.name)), *((f", the others {how}",) if others else ()))
    brief = bench if abs(share) >= COUNTS else replace(bench, thorough=False)
    piece = brief.of_exact(Name(f"R_{element.name}"), rule, seen, f"_{element.name}")
    unit = "F" if element.law == "capacitance" else "s"
    return TimeConstant(element.name, value, unit, piece, product, share)


def _require_sum(end: str, whole: Fraction, coefficients: tuple[Fraction, ...], count: int) -> None:
    """Raises Defect unless the sum is b1/b0 of the determinant (upper), or its last two coefficients (lower)."""
    if end == "upper":
        one, zero = (coefficients[1] if len(coefficients) > 1 else Fraction(0)), coefficients[0]
    else:
        padded = (*coefficients, *[Fraction(0)] * (count + 1 - len(coefficients)))
        one, zero = padded[count - 1], padded[count]
    if whole * zero != one:
        raise Defect(f"the time constants of the {end} end do not add up to the determinant's coefficient")


def _nature(
    end: str, coefficients: tuple[Fraction, ...]
) -> tuple[Literal["single", "comparable", "complex"], float | None]:
    """Whether one real root governs this end, and how far the next one is."""
    found = sorted((r for r in roots(coefficients) if r), key=abs, reverse=end == "lower")
    if not found:
        return "single", None
    first = found[0]
    if abs(first.imag) > REAL * abs(first):
        return "complex", None
    if len(found) == 1:
        return "single", None
    spread = max(abs(found[1]) / abs(first), abs(first) / abs(found[1]))
    return ("comparable" if spread < COMPARABLE else "single"), spread


def true_corner(gain: Spectrum, mid: complex, end: str, ground: Ground) -> float | None:
    """The frequency in Hz nearest to the spot, on this side, at which |gain|² passes half of |mid|²; exact roots."""
    square = Square.of(polynomial(gain.numerator), polynomial(gain.denominator))
    level = polynomial([Fraction(abs(mid) ** 2 / 2)])
    spot = place_of(ground.spot)
    side = square.above - level * square.below
    found = crossings(side, spot, None) if end == "upper" else crossings(side, ZERO, spot)
    if not found:
        return None
    return frequency_of(found[0] if end == "upper" else found[-1])
