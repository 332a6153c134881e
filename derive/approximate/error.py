"""How far one response lies from another, at the spot and at worst over a band.

Enters: two spectra. Leaves: errors, each with the frequency where it was found.
Must not know: statements, symbols, LaTeX.

The error is |approximate - exact|/|exact|, of complex values. Where |exact| is under a thousandth of its peak
in the band it is told relative to that peak. The band is sampled on a logarithmic grid to which the corner
frequencies of both responses are added with points close around each, so that no resonance is stepped over.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import inf

import numpy as np

from derive.algebra.spectrum import Spectrum

HOLDS_WITHIN = 0.05
"""The error up to which an approximate answer is said to hold in a band."""
SMALL = 1e-3
POINTS_A_DECADE = 60
REACH = 4
"""Decades beyond the author's band that are searched for where an answer still holds."""


@dataclass(frozen=True)
class Error:
    """``spot``: at the spot frequency, relative to the peak in the band where ``of_peak``.
    ``worst``: the largest in the band, found at ``at`` Hz. ``holds``: the band in Hz around the spot in which
    it stays within HOLDS_WITHIN (inf and 0 where the search found no end), or None.
    """

    spot: float
    of_peak: bool
    worst: float
    at: float
    holds: tuple[float, float] | None


def measure(
    approximate: Spectrum | None,
    exact: Spectrum,
    band: tuple[Fraction, Fraction],
    spot: Fraction,
    *,
    search: bool = True,
) -> Error:
    """The error of a response against the exact one; an infinite one (None) has infinite error.

    Without ``search`` the band in which it holds is not looked for (None).
    """
    low, high = float(band[0]), float(band[1])
    if approximate is None:
        return Error(inf, False, inf, low, None)
    frequencies = grid((low, high), approximate, exact)
    reference = exact.sample(frequencies)
    peak = float(np.max(np.abs(reference)))
    errors = _relative(approximate.sample(frequencies), reference, peak)
    place = int(np.argmax(errors))
    value, other = exact.at_frequency(spot), approximate.at_frequency(spot)
    of_peak = abs(value) < SMALL * peak
    at_spot = _single(other, value, peak)
    holds = _holds(approximate, exact, band, spot) if search else None
    return Error(at_spot, of_peak, float(errors[place]), float(frequencies[place]), holds)


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


def _relative(values: np.ndarray, reference: np.ndarray, peak: float) -> np.ndarray:
    size = np.abs(reference)
    base = np.where(size < SMALL * peak, peak, size)
    with np.errstate(divide="ignore", invalid="ignore"):
        errors = np.abs(values - reference) / base
    return np.where(np.isnan(errors), np.inf, errors)


def _single(value: complex, reference: complex, peak: float) -> float:
    base = peak if abs(reference) < SMALL * peak else abs(reference)
    return float(abs(value - reference) / base) if base else (0.0 if value == reference else inf)


def _holds(
    approximate: Spectrum, exact: Spectrum, band: tuple[Fraction, Fraction], spot: Fraction
) -> tuple[float, float] | None:
    low, high = float(band[0]), float(band[1])
    wide = grid((low / 10**REACH, high * 10**REACH), approximate, exact)
    inside = wide[(wide >= low) & (wide <= high)]
    peak = float(np.max(np.abs(exact.sample(inside))))

    def good(frequency: float) -> bool:
        point = np.array([frequency])
        return bool(_relative(approximate.sample(point), exact.sample(point), peak)[0] <= HOLDS_WITHIN)

    within = _relative(approximate.sample(wide), exact.sample(wide), peak) <= HOLDS_WITHIN
    centre = int(np.argmin(np.abs(wide - float(spot))))
    if not within[centre]:
        return None
    first, last = centre, centre
    while first > 0 and within[first - 1]:
        first -= 1
    while last < len(wide) - 1 and within[last + 1]:
        last += 1
    bottom = 0.0 if first == 0 else _border(good, wide[first], wide[first - 1])
    top = inf if last == len(wide) - 1 else _border(good, wide[last], wide[last + 1])
    return bottom, top


def _border(good: object, inside: float, outside: float) -> float:
    for _ in range(20):
        middle = float(np.sqrt(inside * outside))
        if good(middle):  # type: ignore[operator]
            inside = middle
        else:
            outside = middle
    return inside
