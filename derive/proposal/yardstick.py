"""How far a response lies from the exact one at a few frequencies of the band, for many candidates at once.

Enters: the exact spectrum, the band. Leaves: worst errors of sampled responses.
Must not know: statements, terms. What it says only steers the search: ``approximate.error`` measures the result.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import zip_longest

import numpy as np

from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.approximate.error import SMALL, grid

MOST = 120
"""Frequencies at which candidates are compared."""


@dataclass(frozen=True)
class Yardstick:
    """``s``: the sampled points in rad/s. ``exact``: the exact answer there, ``base`` what errors are relative to."""

    s: np.ndarray
    exact: np.ndarray
    base: np.ndarray

    def errors(self, values: np.ndarray) -> np.ndarray:
        """The worst error over the samples; the samples are the last axis. Not finite counts as infinite."""
        with np.errstate(all="ignore"):
            found = np.abs(values - self.exact) / self.base
        return np.where(np.isfinite(found), found, np.inf).max(axis=-1)


def yardstick(exact: Spectrum, band: tuple[Fraction, Fraction], *, to_one: bool = False) -> Yardstick:
    """Samples of the exact answer, thinned out from the grid on which errors are measured.

    ``to_one``: what the answer lacks of one has to keep the accuracy too.
    """
    frequencies = grid((float(band[0]), float(band[1])), exact)
    values = exact.sample(frequencies)
    usable = np.isfinite(values)
    frequencies, values = frequencies[usable], values[usable]
    step = -(-len(frequencies) // MOST)
    chosen = np.unique(np.concatenate([np.arange(0, len(frequencies), step), [len(frequencies) - 1]]))
    frequencies, values = frequencies[chosen], values[chosen]
    base = _base(values)
    if to_one:
        base = np.minimum(base, _base(1 - values))
    return Yardstick(2j * np.pi * frequencies, values, np.where(base > 0, base, 1.0))


def _base(values: np.ndarray) -> np.ndarray:
    """What an error is relative to: the size of the answer, or its peak where it is small beside that."""
    size = np.abs(values)
    peak = float(size.max())
    return np.where(size < SMALL * peak, peak, size)


def missing_to_one(spectrum: Spectrum) -> Spectrum:
    """One minus an answer."""
    sides = zip_longest(spectrum.numerator, spectrum.denominator, fillvalue=Fraction(0))
    return from_coefficients([below - above for above, below in sides], spectrum.denominator)
