"""Whether a bound of the error holds at every frequency of a band, proved at the numbers as they stand.

Enters: two responses with exact coefficients, a band, a bound. Leaves: whether the bound is proved.
Must not know: statements, symbols, how the error was measured, words.

With x = ω² the bound b holds where b²·|exact side|² - |difference|², a polynomial in x, is not negative. On an
interval that is so if no coefficient of its Bernstein form is negative; where one is, the interval is halved. The
arithmetic is exact, and neither roots nor samples are taken: what was measured is proved by another road.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import comb, inf, nextafter, sqrt
from typing import Any

import flint

from derive.algebra.ring import rational
from derive.algebra.spectrum import Spectrum
from derive.approximate.axis import Square, place_of, polynomial, squared
from derive.approximate.error import SMALL_SQUARE

INTERVALS = 2_000
"""Intervals after which the proof is given up."""
WITHIN = 1 - flint.fmpq(1, 10**9)
"""What lies under a thousandth of the peak by so much is safely under it."""


def holds_over_band(
    approximate: Spectrum, exact: Spectrum, band: tuple[Fraction, Fraction], bound: Fraction, peak_at: Any
) -> bool:
    """Whether the error stays below ``bound`` from end to end of the band, relative to the peak where |exact| is under
    a thousandth of it.

    ``peak_at``: a place x = ω² where |exact| is large; its value there stands for the peak. None where it is infinite.
    """
    low, high = (float(Fraction(int(p.p), int(p.q))) for p in map(place_of, band))
    low, high = nextafter(low, 0), nextafter(high, inf)
    claim = _claim(approximate, exact, bound, peak_at)
    left = [(low, high)]
    for _ in range(INTERVALS):
        if not left:
            return True
        start, end = left.pop()
        if not claim.holds(_exact(start), _exact(end)):
            middle = sqrt(start * end)
            if not start < middle < end:
                return False
            left += [(start, middle), (middle, end)]
    return not left


@dataclass(frozen=True)
class _Claim:
    """Polynomials in x: the bound holds where the first is not negative, or where both others are not."""

    relative: Any
    small: tuple[Any, Any] | None

    def holds(self, low: Any, high: Any) -> bool:
        if never_negative(self.relative, low, high):
            return True
        return self.small is not None and all(never_negative(side, low, high) for side in self.small)


def _claim(approximate: Spectrum, exact: Spectrum, bound: Fraction, peak_at: Any) -> _Claim:
    sides = (approximate.numerator, approximate.denominator, exact.numerator, exact.denominator)
    above, below, exact_above, exact_below = map(polynomial, sides)
    level = rational(bound) ** 2
    error = Square.of(above * exact_below - exact_above * below, exact_above * below)
    relative = level * error.below - error.above
    if peak_at is None:
        return _Claim(relative, None)
    # What |exact| is anywhere in the band is at most its peak, so that a bound relative to that is one to the peak.
    peak = Square.of(exact_above, exact_below).at(peak_at)
    return _Claim(
        relative,
        (
            WITHIN * SMALL_SQUARE * peak * squared(exact_below) - squared(exact_above),
            level * peak * squared(exact_below * below) - squared(above * exact_below - exact_above * below),
        ),
    )


def never_negative(side: Any, low: Any, high: Any) -> bool:
    """Whether no Bernstein coefficient of a polynomial over an interval is negative; then it nowhere is.

    >>> never_negative(flint.fmpq_poly([1, -1]), flint.fmpq(0), flint.fmpq(1))
    True
    """
    coefficients = side(flint.fmpq_poly([low, high - low])).coeffs()
    degree = len(coefficients) - 1
    scaled = [c / flint.fmpq(comb(degree, i)) for i, c in enumerate(coefficients)]
    return all(
        sum((comb(j, i) * c for i, c in enumerate(scaled[: j + 1])), flint.fmpq(0)) >= 0 for j in range(degree + 1)
    )


def _exact(number: float) -> Any:
    return rational(Fraction(number))
