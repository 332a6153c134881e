"""How far a side is from another, at the spot and over the band.

Enters: two sides. Leaves: the measured error. Must not know: verdicts, LaTeX.

Two spectra are compared as everywhere (derive.approximate.error). A magnitude or a number in decibels is compared with
the magnitude of the other side: decibels by the ratio that they stand for.
"""

from __future__ import annotations

from fractions import Fraction
from math import inf

import numpy as np

from derive.approximate.error import HOLDS_WITHIN, REACH, Error, grid, measure
from derive.approximate.reduce import Ground
from derive.hand.equality import Reading
from derive.hand.worth import Side


def error_of(one: Side, reference: Side, ground: Ground, as_: Reading = "value", *, search: bool = False) -> Error:
    """The error of one side against the reference; infinite where it has no value."""
    if as_ == "value" and one.spectrum is not None and reference.spectrum is not None:
        with np.errstate(divide="ignore", invalid="ignore"):
            return measure(one.spectrum, reference.spectrum, ground.band, ground.spot, search=search)
    low, high = float(ground.band[0]), float(ground.band[1])
    spectra = [side.spectrum for side in (one, reference) if side.spectrum is not None]
    frequencies = grid((low, high), *spectra)
    errors = _errors(one, reference, frequencies, as_)
    place = int(np.argmax(errors))
    spot = float(_errors(one, reference, np.array([float(ground.spot)]), as_)[0])
    holds = _holds(one, reference, ground, as_) if search and spot <= HOLDS_WITHIN else None
    return Error(spot, False, float(errors[place]), float(frequencies[place]), holds)


def within(one: Side, reference: Side, ground: Ground, as_: Reading, tolerance: float) -> tuple[float, float] | None:
    """The part of the band around the spot (Hz) in which the error stays within a tolerance, on a fine grid."""
    low, high = float(ground.band[0]), float(ground.band[1])
    spectra = [side.spectrum for side in (one, reference) if side.spectrum is not None]
    spot = min(max(float(ground.spot), low), high)
    frequencies = np.union1d(grid((low, high), *spectra), [spot])
    return _stretch(_errors(one, reference, frequencies, as_) <= tolerance, frequencies, spot)


def error_curve(one: Side, reference: Side, as_: Reading, ends: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """The error over frequencies in Hz from end to end, as fractions of the reference itself."""
    spectra = [side.spectrum for side in (one, reference) if side.spectrum is not None]
    frequencies = grid(ends, *spectra)
    return frequencies, _errors(one, reference, frequencies, as_)


def _errors(one: Side, reference: Side, frequencies: np.ndarray, as_: Reading) -> np.ndarray:
    values, right = one.sample(frequencies), reference.sample(frequencies)
    with np.errstate(all="ignore"):
        if as_ != "value":
            values, right = (_read(v, side, as_) for v, side in ((values, one), (right, reference)))
        errors = np.abs(values - right) / np.abs(right)
    return np.where(np.isnan(errors), inf, errors)


def _read(values: np.ndarray, side: Side, as_: Reading) -> np.ndarray:
    """Magnitudes; a side written in decibels is turned back into the ratio that it stands for."""
    if not side.is_real:
        return np.abs(values).astype(complex)
    return np.asarray(10 ** (values / 20)) if as_ == "decibels" else values


def _holds(one: Side, reference: Side, ground: Ground, as_: Reading) -> tuple[float, float] | None:
    ends = float(ground.band[0]) / 10**REACH, float(ground.band[1]) * 10**REACH
    spectra = [side.spectrum for side in (one, reference) if side.spectrum is not None]
    frequencies = np.union1d(grid(ends, *spectra), [float(ground.spot)])
    found = _stretch(_errors(one, reference, frequencies, as_) <= HOLDS_WITHIN, frequencies, float(ground.spot))
    if found is None:
        return None
    return (0.0 if found[0] <= frequencies[0] else found[0]), (inf if found[1] >= frequencies[-1] else found[1])


def _stretch(good: np.ndarray, frequencies: np.ndarray, spot: float) -> tuple[float, float] | None:
    centre = int(np.argmin(np.abs(frequencies - spot)))
    if not good[centre]:
        return None
    first = last = centre
    while first > 0 and good[first - 1]:
        first -= 1
    while last < len(good) - 1 and good[last + 1]:
        last += 1
    return float(frequencies[first]), float(frequencies[last])


def at_spot(side: Side, ground: Ground) -> complex:
    """The value at the spot frequency."""
    if side.spectrum is not None:
        return side.spectrum.at_frequency(ground.spot)
    return complex(side.sample(np.array([float(Fraction(ground.spot))]))[0])
