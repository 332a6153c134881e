"""The worst error over a band and all tolerances: the largest found, and a bound that is proved.

Enters: polynomials of both answers, a band, tolerances. Leaves: a bound and how many boxes it took, or None.
Must not know: networks, words. Deterministic: effort is counted in boxes.

A box is a stretch of frequencies times an interval for each symbol. It is done with when its bound is below the one to
be proved; else it is halved along the coordinate that adds most to the rest of the linear model.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf, log, sqrt
from typing import Any

import numpy as np

from derive.approximate.certify_box import LONGEST, MOST_TERMS, Bounds, Quotient
from derive.approximate.certify_sides import Sides
from derive.approximate.error import SMALL
from derive.numbers import rounded_up

EFFORT = 100_000
"""Boxes after which the proof is given up."""
WORK = 12_000_000
"""Boxes times terms after which it is given up, where there are many terms."""
BATCH = 1024
STRETCHES = 24
"""Stretches of frequency at the outset."""
ABOVE = 1.02
"""How much above the largest error found the bound lies, before it is rounded up."""
LOOSEST = 2.0
"""A bound that is proved and larger than the largest error found by more than this is not worth telling."""
CLIMBS = 6
SEEN = 1e-2
"""|exact| relative to its peak under which the rule for small values is prepared."""
Array = Any


@dataclass(frozen=True)
class Found:
    """``bound``: proved, rounded up, or None; ``largest``: the largest error that was found; ``boxes``: the effort."""

    bound: float | None
    largest: float
    boxes: int


def search(
    exact: Sides,
    approximate: Sides,
    band: tuple[Fraction, Fraction],
    tolerances: Sequence[Fraction],
    digits: int = 2,
    *,
    by_peak: bool = True,
) -> Found:
    """``tolerances``: of the symbols of the sides, in their order, as fractions below one.

    ``by_peak``: whether errors are relative to the peak where |exact| is under a thousandth of it.
    """
    difference = approximate.above * exact.below - exact.above * approximate.below
    if difference == 0:
        return Found(0.0, 0.0, 0)
    below = exact.above * approximate.below
    if len(difference.to_dict()) + len(below.to_dict()) > MOST_TERMS or len(tolerances) >= LONGEST:
        return Found(None, 0.0, 0)
    return Claim(exact, approximate, difference, below, band, tolerances, by_peak).prove(digits)


class Claim:
    """What is to be proved, in logarithmic coordinates: frequency first, then each symbol."""

    def __init__(
        self, exact: Sides, approximate: Sides, difference: Any, below: Any, band: Any, tolerances: Any, by_peak: bool
    ) -> None:
        low, high = (float(f) for f in band)
        unit = Fraction(2 * np.pi * sqrt(low * high))
        self.relative = Quotient(difference, below, unit)
        ends = [(log(low / sqrt(low * high)), log(high / sqrt(low * high)))]
        ends += [(log(1 - float(t)), log(1 + float(t))) for t in tolerances]
        self.middle = np.array([(a + b) / 2 for a, b in ends])
        # The ends themselves are rounded: a little more is proved than is asked.
        self.radius = np.array([(b - a) / 2 for a, b in ends]) * (1 + 1e-12) + 1e-12
        self.size = Quotient(exact.above, exact.below, unit)
        self.absolute: Quotient | None = None
        self.peak = self._peak() if by_peak else 0.0
        if self.peak > 0:
            self.absolute = Quotient(difference, exact.below * approximate.below, unit)
        self.best = self._climb()

    def _slices(self, count: int) -> tuple[Array, Array]:
        """The whole box in stretches of frequency."""
        radius = np.tile(self.radius, (count, 1))
        radius[:, 0] = self.radius[0] / count * (1 + 1e-9)
        middle = np.tile(self.middle, (count, 1))
        middle[:, 0] = self.middle[0] + self.radius[0] * (2 * np.arange(count) + 1 - count) / count
        return middle, radius

    def _peak(self) -> float:
        """A number that the peak of |exact| in the band is never below, where small values occur; else 0."""
        middle, radius = self._slices(10 * STRETCHES)
        here = self.size.bound(middle, np.zeros_like(radius)).middle
        if np.min(here) > SEEN * np.max(here) or not np.all(np.isfinite(here)):
            return 0.0
        # At one frequency the peak is at least what |exact| is there, whatever the symbols.
        radius[:, 0] = 0
        return float(np.max(self.size.bound(middle, radius).lower))

    def _climb(self) -> float:
        """A large error, from corner to corner of the tolerances at many frequencies."""
        middle, radius = self._slices(min(10 * STRETCHES, max(STRETCHES, WORK // 20 // self.relative.terms)))
        ends = np.tile(self.middle, (2, 1))
        ends[:, 0] += np.array([-1, 1]) * self.radius[0]
        middle, radius = np.vstack([middle, ends]), np.vstack([radius, radius[:2]])
        radius[:, 0] = 0
        centre, best = middle, 0.0
        for _ in range(CLIMBS):
            found = self.relative.bound(middle, radius)
            best = max(best, float(np.max(self._sample(middle, found.middle))))
            middle = centre + found.corner * radius * (1 - 1e-9)
        return best

    def _sample(self, points: Array, errors: Array) -> Array:
        """Errors at single points as the sheet tells them, from the relative ones."""
        if self.absolute is None:
            return errors
        nothing = np.zeros_like(points)
        small = self.size.bound(points, nothing).middle < SMALL * self.peak
        return np.where(small, self.absolute.bound(points, nothing).middle / self.peak, errors)

    def _bounds(self, middle: Array, radius: Array, enough: float) -> tuple[Array, Bounds]:
        """Upper bounds of the error as the sheet tells it, and the bounds relative to |exact| alone."""
        found = self.relative.bound(middle, radius)
        upper = found.upper
        if self.absolute is not None:
            open_ = np.flatnonzero(upper > enough)
            if open_.size:
                size = self.size.bound(middle[open_], radius[open_]).upper
                absolute = self.absolute.bound(middle[open_], radius[open_]).upper / self.peak
                upper = upper.copy()
                small = size < SMALL * self.peak * (1 - 1e-9)
                upper[open_] = np.where(small, np.minimum(absolute, upper[open_]), upper[open_])
        return upper, found

    def prove(self, digits: int) -> Found:
        """Divides boxes, those of the largest bound first, until all are below the bound or the effort is spent."""
        effort = min(EFFORT, WORK // self.relative.terms)
        bound = rounded_up(self.best * ABOVE, digits)
        batch = max(1, min(BATCH, WORK // 10 // self.relative.terms))
        middle, radius = self._slices(STRETCHES)
        upper, boxes = np.full(STRETCHES, inf), 0
        while len(upper) and boxes < effort:
            order = np.argsort(upper, kind="stable")
            now, later = order[-batch:], order[:-batch]
            boxes += len(now)
            found, relative = self._bounds(middle[now], radius[now], bound)
            self.best = max(self.best, float(np.max(self._sample(middle[now], relative.middle))))
            bound = max(bound, rounded_up(self.best * ABOVE, digits))
            open_ = ~(found <= bound)
            halves = halved(middle[now][open_], radius[now][open_], relative.weight[open_])
            middle, radius = np.vstack([middle[later], halves[0]]), np.vstack([radius[later], halves[1]])
            upper = np.concatenate([upper[later], np.tile(found[open_], 2)])
            left = ~(upper <= bound)
            middle, radius, upper = middle[left], radius[left], upper[left]
        proved = max(bound, float(np.max(upper, initial=0.0)))
        told = rounded_up(proved, digits) if proved <= LOOSEST * self.best else None
        return Found(told, self.best, boxes)


def halved(middle: Array, radius: Array, weight: Array) -> tuple[Array, Array]:
    """Boxes cut in two across their coordinate of the largest weight; all lower halves, then all upper ones."""
    rows = np.arange(len(middle))
    across = np.argmax(weight, axis=1) if len(middle) else rows
    step = np.zeros_like(radius)
    step[rows, across] = radius[rows, across] / 2
    # What rounding takes off at the cut is added, so that no gap is left.
    radius = np.where(step > 0, step + 1e-15 * (1 + np.abs(middle)), radius)
    return np.vstack([middle - step, middle + step]), np.vstack([radius, radius])
