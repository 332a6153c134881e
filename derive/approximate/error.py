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

from derive.algebra.spectrum import Spectrum, from_coefficients, multiplied

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
    it stays ``within`` (inf and 0 where the search found no end), or None.
    """

    spot: float
    of_peak: bool
    worst: float
    at: float
    holds: tuple[float, float] | None
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

    Without ``search`` the band in which it holds is not looked for (None).
    """
    low, high = float(band[0]), float(band[1])
    if approximate is None:
        return Error(inf, False, inf, low, None, within)
    frequencies = grid((low, high), approximate, exact)
    peak = float(np.max(np.abs(exact.sample(frequencies))))
    frequencies = np.union1d(frequencies, _thresholds(exact, frequencies, SMALL * peak))

    def errors_at(points: np.ndarray) -> np.ndarray:
        return _relative(approximate.sample(points), exact.sample(points), peak)

    errors = errors_at(frequencies)
    for _ in range(2):
        # Between the samples on both sides of the worst one the error may still rise.
        place = int(np.argmax(errors))
        around = np.linspace(frequencies[max(place - 1, 0)], frequencies[min(place + 1, len(frequencies) - 1)], 33)
        frequencies = np.union1d(frequencies, around)
        errors = errors_at(frequencies)
    place = int(np.argmax(errors))
    at_spot, of_peak = _at_spot(approximate, exact, spot, peak)
    holds = _holds(approximate, exact, band, spot, within) if search else None
    return Error(at_spot, of_peak, float(errors[place]), float(frequencies[place]), holds, within)


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
    difference = np.abs(values - reference)
    with np.errstate(divide="ignore", invalid="ignore"):
        errors = np.where(difference == 0, 0.0, difference / base)
    return np.where(np.isnan(errors), np.inf, errors)


def _at_spot(approximate: Spectrum, exact: Spectrum, spot: Fraction, peak: float) -> tuple[float, bool]:
    """The error at the spot, and whether it is relative to the peak. At a pole the quotient of both decides."""
    value, other = exact.at_frequency(spot), approximate.at_frequency(spot)
    if not np.isfinite(value):
        quotient = from_coefficients(
            multiplied(approximate.numerator, exact.denominator), multiplied(approximate.denominator, exact.numerator)
        )
        ratio = quotient.at_frequency(spot)
        return (float(abs(ratio - 1)) if np.isfinite(ratio) else inf), False
    of_peak = abs(value) < SMALL * peak
    base = peak if of_peak else abs(value)
    if not np.isfinite(other):
        return inf, of_peak
    return (float(abs(other - value) / base) if base else (0.0 if other == value else inf)), of_peak


def _thresholds(exact: Spectrum, frequencies: np.ndarray, level: float) -> np.ndarray:
    """Frequencies just beside which the error's reference changes from |exact| to its peak: there it is largest."""
    small = np.abs(exact.sample(frequencies)) < level
    found: list[float] = []
    for place in np.flatnonzero(small[1:] != small[:-1]):
        low, high = frequencies[place], frequencies[place + 1]
        for _ in range(50):
            middle = 0.5 * (low + high)
            if (abs(exact.sample(np.array([middle]))[0]) < level) == small[place]:
                low = middle
            else:
                high = middle
        found += [low, high]
    return np.array(found)


def _holds(
    approximate: Spectrum, exact: Spectrum, band: tuple[Fraction, Fraction], spot: Fraction, limit: float
) -> tuple[float, float] | None:
    low, high = float(band[0]), float(band[1])
    wide = grid((low / 10**REACH, high * 10**REACH), approximate, exact)
    inside = wide[(wide >= low) & (wide <= high)]
    peak = float(np.max(np.abs(exact.sample(inside))))

    def good(frequency: float) -> bool:
        point = np.array([frequency])
        return bool(_relative(approximate.sample(point), exact.sample(point), peak)[0] <= limit)

    within = _relative(approximate.sample(wide), exact.sample(wide), peak) <= limit
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
