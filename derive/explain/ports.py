"""Which part rules a port's current where, and which shares are negative.

Enters: the shares of a port's budget as exact spectra, the band. Leaves: reigns. Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from derive.algebra.spectrum import Spectrum
from derive.approximate.axis import crossings, frequency_of, place_of, polynomial, squared
from derive.explain.thresholds import NEGATIVE


@dataclass(frozen=True)
class Reign:
    """From ``low`` to ``high`` (Hz) the share of ``name`` is the largest in magnitude; its values at both ends."""

    name: str
    low: float
    high: float
    ends: tuple[complex, complex]


def reigns(shares: Mapping[str, Spectrum], band: tuple[Fraction, Fraction]) -> tuple[Reign, ...]:
    """The largest share along the band, piece by piece; they pass each other at roots of |a|² = |b|²."""
    names = list(shares)
    low, high = place_of(band[0]), place_of(band[1])
    squares = {n: (squared(polynomial(s.numerator)), squared(polynomial(s.denominator))) for n, s in shares.items()}
    passes = {low, high}
    for place, first in enumerate(names):
        for second in names[place + 1 :]:
            (above, below), (other_above, other_below) = squares[first], squares[second]
            difference = above * other_below - other_above * below
            if difference != 0:
                passes.update(crossings(difference, low, high))
    found: list[tuple[str, float, float]] = []
    for start, end in pairwise(sorted(passes)):
        middle = (start + end) / 2
        largest = max(names, key=lambda n: squares[n][0](middle) / squares[n][1](middle))
        if found and found[-1][0] == largest:
            found[-1] = (largest, found[-1][1], _hertz(end, band))
        else:
            found.append((largest, _hertz(start, band), _hertz(end, band)))
    return tuple(Reign(n, a, b, (shares[n].at_frequency(a), shares[n].at_frequency(b))) for n, a, b in found)


def _hertz(place: object, band: tuple[Fraction, Fraction]) -> float:
    """The frequency at a place, the ends of the band as they were stated."""
    for end in band:
        if place == place_of(end):
            return float(end)
    return frequency_of(place)


def negative(shares: Mapping[str, complex]) -> Sequence[str]:
    """The names whose share has a negative real part that counts, most negative first."""
    return sorted((n for n, value in shares.items() if value.real < NEGATIVE), key=lambda n: shares[n].real)
