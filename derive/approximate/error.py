"""How far one response lies from another, at the spot and at worst over a band.

Enters: two spectra. Leaves: errors, each with the frequency where it was found.
Must not know: statements, symbols, LaTeX.

The error is |approximate - exact|/|exact|, of complex values. Where |exact| is under a thousandth of its peak
in the band it is told relative to that peak; where the peak is infinite (a resonance without loss) there is no such
rule. The square of the error is a ratio of polynomials in ω² with exact coefficients: its largest values and the
borders of the bands in which it stays below a limit are found from the roots of polynomials, not by sampling.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import inf
from typing import Any

import flint
import numpy as np

from derive.algebra.ring import rational
from derive.algebra.spectrum import Spectrum
from derive.approximate.axis import ZERO, Square, crossings, frequency_of, place_of, polynomial, root_of

HOLDS_WITHIN = 0.05
"""The error up to which an approximate answer is said to hold in a band, where no accuracy was asked."""
SMALL = 1e-3
SMALL_SQUARE = flint.fmpq(1, 10**6)
BESIDE = flint.fmpq(1, 10**10)
"""A hair's breadth, as a part of the stretch between two thresholds."""
POINTS_A_DECADE = 60
Band = tuple[float, float]


@dataclass(frozen=True)
class Error:
    """``spot``: at the spot frequency, relative to the peak in the band where ``of_peak``.
    ``worst``: the largest in the band, found at ``at`` Hz, relative to the peak where ``worst_of_peak``.
    ``holds``: the band in Hz around the spot in which it stays ``within`` (inf and 0 where it has no end), or None;
    ``pieces``: all bands in which it does so that reach into the author's, ascending. ``small``: whether |exact| comes
    under a thousandth of its peak in the band, so that part of the errors are relative to the peak.
    """

    spot: float
    of_peak: bool
    worst: float
    at: float
    holds: Band | None
    worst_of_peak: bool = False
    pieces: tuple[Band, ...] = ()
    small: bool = False
    within: float = HOLDS_WITHIN


def measure(
    approximate: Spectrum | None,
    exact: Spectrum,
    band: tuple[Fraction, Fraction],
    spot: Fraction,
    *,
    search: bool = True,
    within: float = HOLDS_WITHIN,
) -> Error:
    """The error of a response against the exact one; an infinite one (None) has infinite error.

    Without ``search`` the bands in which it holds are not looked for. Outside the author's band the error is always
    relative to |exact|.
    """
    low = float(band[0])
    if approximate is None:
        return Error(inf, False, inf, low, None, within=within)
    if not any(exact.numerator):
        # Zero for zero is right everywhere; there is nothing that anything else could be relative to.
        wrong = any(approximate.numerator)
        everywhere = ((0.0, inf),) if search and not wrong else ()
        error = inf if wrong else 0.0
        return Error(error, False, error, low, everywhere[0] if everywhere else None, False, everywhere, False, within)
    comparison = Comparison.of(approximate, exact, place_of(band[0]), place_of(band[1]))
    worst, at, of_peak = comparison.worst()
    place = place_of(spot)
    told_of_peak = comparison.is_small(place)
    at_spot = comparison.error(place, told_of_peak)
    reaching = (piece for piece in comparison.pieces(within) if piece[1] >= low and piece[0] <= float(band[1]))
    pieces = tuple(reaching) if search else ()
    holds = next((piece for piece in pieces if piece[0] <= float(spot) <= piece[1]), None)
    frequency = low if at == comparison.low else float(band[1]) if at == comparison.high else frequency_of(at)
    small = comparison.thresholds != ()
    return Error(at_spot, told_of_peak, worst, frequency, holds, of_peak, pieces, small, within)


@dataclass(frozen=True)
class Comparison:
    """Two responses over a band (``low`` to ``high``, places x = ω²), as exact squares.

    ``relative``: |approximate - exact|²/|exact|²; ``absolute``: |approximate - exact|²; ``size``: |exact|²;
    ``peak``: the largest |exact|² in the band, None where it is infinite; ``thresholds``: where |exact| passes a
    thousandth of its peak.
    """

    relative: Square
    absolute: Square
    size: Square
    low: Any
    high: Any
    peak: Any
    thresholds: tuple[Any, ...]

    @classmethod
    def of(cls, approximate: Spectrum, exact: Spectrum, low: Any, high: Any) -> Comparison:
        sides = (approximate.numerator, approximate.denominator, exact.numerator, exact.denominator)
        above, below, exact_above, exact_below = map(polynomial, sides)
        difference = above * exact_below - exact_above * below
        size = Square.of(exact_above, exact_below)
        peak, _ = size.largest(low, high)
        thresholds: tuple[Any, ...] = ()
        if peak is not None:
            thresholds = tuple(crossings(size.above - SMALL_SQUARE * peak * size.below, low, high))
        relative = Square.of(difference, exact_above * below)
        return cls(relative, Square.of(difference, exact_below * below), size, low, high, peak, thresholds)

    def is_small(self, place: Any) -> bool:
        """Whether |exact| is under a thousandth of its peak there."""
        size = self.size.at(place)
        return bool(self.peak is not None and size is not None and size < SMALL_SQUARE * self.peak)

    def error(self, place: Any, of_peak: bool) -> float:
        """The error there, relative to the peak or to |exact|. At a pole of both the quotient of both decides."""
        square = self.absolute.at(place) if of_peak else self.relative.at(place)
        return root_of(square / self.peak if of_peak and square is not None else square)

    def worst(self) -> tuple[float, Any, bool]:
        """The largest error in the band, where, and whether it is relative to the peak.

        Beside a threshold the error is largest on the side where |exact| is the reference; it is taken a hair's
        breadth within that side.
        """
        worst, at, of_peak = -1.0, self.low, False
        for start, end in pairwise((self.low, *self.thresholds, self.high)):
            small = self.is_small((start + end) / 2)
            start, end = (x + BESIDE * (y - x) if x in self.thresholds else x for x, y in ((start, end), (end, start)))
            square, place = (self.absolute if small else self.relative).largest(start, end)
            value = root_of(square / self.peak if small and square is not None else square)
            if value > worst:
                worst, at, of_peak = value, place, small
        return worst, at, of_peak

    def pieces(self, within: float = HOLDS_WITHIN) -> Iterator[Band]:
        """The bands (Hz) in which the error stays within a limit, ascending; 0 and inf where they have no end."""
        start: float | None = None
        limit = rational(Fraction(str(within)) ** 2)
        places = self._borders(limit)
        for below, above in zip((ZERO, *places), (*places, None), strict=True):
            good = self._holds_at(2 * below + 1 if above is None else (below + above) / 2, limit)
            if good and start is None:
                start = frequency_of(below)
            if start is not None and not good:
                yield start, frequency_of(below)
                start = None
        if start is not None:
            yield start, inf

    def _borders(self, limit: Any) -> list[Any]:
        """All places at which the error may pass the limit."""
        found = {self.low, self.high, *self.thresholds}
        found.update(crossings(self.relative.above - limit * self.relative.below))
        if self.thresholds:
            level = limit * self.peak
            found.update(crossings(self.absolute.above - level * self.absolute.below, self.low, self.high))
        return sorted(place for place in found if place > ZERO)

    def _holds_at(self, place: Any, limit: Any) -> bool:
        small = self.low <= place <= self.high and self.is_small(place)
        square = self.absolute.at(place) if small else self.relative.at(place)
        return square is not None and bool(square <= (limit * self.peak if small else limit))


def grid(band: tuple[float, float], *spectra: Spectrum) -> np.ndarray:
    """Frequencies in Hz from end to end of the band, dense around every corner of the spectra."""
    low, high = band
    count = max(int(POINTS_A_DECADE * np.log10(high / low)), 2) + 1
    places = [np.geomspace(low, high, count)]
    for spectrum in spectra:
        for root in (*spectrum.poles, *spectrum.zeros):
            corner, damping = abs(root) / (2 * np.pi), abs(root.real) / (2 * np.pi)
            if low / 2 < corner < 2 * high:
                spread = max(damping, corner * 1e-9)
                around = np.array([-4, -2, -1, -0.5, 0, 0.5, 1, 2, 4]) * spread
                places.append(abs(root.imag) / (2 * np.pi) + around)
                places.append(corner + around)
    together = np.unique(np.concatenate(places))
    return together[(together >= low) & (together <= high)]
