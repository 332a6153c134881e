"""Certified bounds of an approximate answer's error: over the band, and over the band and all stated tolerances.

Enters: an exact answer, its approximation with the measured error, tolerances. Leaves: a Certified.
Must not know: LaTeX, circuits.

What is measured proposes a bound, rounded up; proofs that use neither roots nor samples confirm it or fail. Symbols
that follow from the bias point are held at their values.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isinf
from typing import Any

from derive.algebra.spectrum import Spectrum
from derive.answers.records import Exact
from derive.approximate.axis import Square, place_of, polynomial
from derive.approximate.certify_band import holds_over_band
from derive.approximate.certify_search import search
from derive.approximate.certify_sides import Sides, TooMany, sides_of_inquiry, sides_of_ratio
from derive.approximate.records import Approximate, Certified, Resolved
from derive.approximate.reduce import Ground, under_limits
from derive.errors import Defect, TooLarge
from derive.numbers import rounded_up

INFINITE = "the error is infinite"
UNSTATED = "no part that bears on this answer has a stated tolerance"
LEAST = 1e-5
"""A bound below this is not told more exactly."""
DIGITS = 2
ABOVE = 1.001
"""How far above the measured error the bound over the band lies at least, before it is rounded up."""


@dataclass(frozen=True)
class Subject:
    """What approximates an exact answer: its spectrum, the largest error measured in the band, and how its sides in s
    and some symbols are found (raises TooMany, TooLarge).
    """

    spectrum: Spectrum
    worst: float
    sides: Callable[[tuple[str, ...]], Sides]


def certify(
    exact: Exact,
    approximate: Approximate,
    statements: Sequence[Resolved],
    ground: Ground,
    tolerances: Mapping[str, Fraction],
) -> Certified:
    """Bounds for the answer under its statements. ``tolerances``: of symbols, as fractions of their values."""
    reduced = approximate.reduced
    if reduced.spectrum is None:
        return Certified(None, None, why=INFINITE)

    def sides(names: tuple[str, ...]) -> Sides:
        if reduced.ratio is not None:
            return sides_of_ratio(reduced.ratio, names, ground.numbers)
        inquiry = under_limits(exact.inquiry, [s.limit for s in statements if s.limit is not None])
        return sides_of_inquiry(inquiry, names, ground.numbers)

    return prove(exact, Subject(reduced.spectrum, approximate.error.worst, sides), ground, tolerances)


def prove(exact: Exact, subject: Subject, ground: Ground, tolerances: Mapping[str, Fraction]) -> Certified:
    """Bounds for anything that approximates an exact answer."""
    if isinf(subject.worst):
        return Certified(None, None, why=INFINITE)
    band = _over_band(exact, subject, ground)
    names = tuple(e.name for e in exact.inquiry.network.elements if tolerances.get(e.name))
    if exact.inquiry.factor and tolerances.get(exact.inquiry.factor):
        names = (*names, exact.inquiry.factor)
    if not names:
        return Certified(band, None, why=UNSTATED)
    try:
        sides = _exact_sides(exact, ("s", *names), ground), _other_sides(subject, ("s", *names))
    except (TooMany, TooLarge) as error:
        return Certified(band, None, why=str(error) if isinstance(error, TooMany) else "too many terms")
    used = tuple(name for place, name in enumerate(names, 1) if any(_varies(side, place) for side in sides))
    if not used:
        return Certified(band, None, why=UNSTATED)
    widths = [tolerances[name] for name in names]
    found = search(*sides, ground.band, widths, DIGITS, by_peak=_peak_place(exact, ground) is not None)
    stated = tuple((name, tolerances[name]) for name in used)
    if found.bound is None:
        why = "not within the effort" if found.boxes else "too many terms"
        return Certified(band, None, stated, found.boxes, why)
    if found.bound < subject.worst * (1 - 1e-9):
        raise Defect(f"{exact.inquiry.name}: a certified bound lies below the measured error")
    return Certified(band, max(found.bound, LEAST), stated, found.boxes)


def _over_band(exact: Exact, subject: Subject, ground: Ground) -> float | None:
    if not any(exact.spectrum.numerator):
        return LEAST if subject.worst == 0 else None
    bound = max(rounded_up(subject.worst * ABOVE, DIGITS), LEAST)
    peak_at = _peak_place(exact, ground)
    holds = holds_over_band(subject.spectrum, exact.spectrum, ground.band, Fraction(bound), peak_at)
    return bound if holds else None


def _peak_place(exact: Exact, ground: Ground) -> Any:
    """Where |exact| is largest in the band, None where it is infinite."""
    above, below = (polynomial(side) for side in (exact.spectrum.numerator, exact.spectrum.denominator))
    peak, place = Square.of(above, below).largest(*(place_of(end) for end in ground.band))
    return place if peak is not None else None


def _exact_sides(exact: Exact, names: tuple[str, ...], ground: Ground) -> Sides:
    try:
        sides = sides_of_inquiry(exact.inquiry, names, ground.numbers)
    except TooMany:
        if exact.ratio is None:
            raise
        sides = sides_of_ratio(exact.ratio, names, ground.numbers)
    if sides.at_nominal() != exact.spectrum:
        raise Defect(f"{exact.inquiry.name}: what is to be certified is not the exact answer")
    return sides


def _other_sides(subject: Subject, names: tuple[str, ...]) -> Sides:
    sides = subject.sides(names)
    if sides.at_nominal() != subject.spectrum:
        raise TooMany("its polynomials are not at hand")
    return sides


def _varies(sides: Sides, place: int) -> bool:
    return any(exponents[place] for side in (sides.above, sides.below) for exponents in side.to_dict())
