"""What a search for short forms aims at: the exact spectrum, the band, and the error that is asked for.

Enters: an exact spectrum, numbers. Leaves: a record. Must not know: networks, words, LaTeX.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from math import pi
from typing import Any

import numpy as np

from derive.algebra.spectrum import Spectrum
from derive.approximate.cone import Cone
from derive.approximate.error import SMALL, grid
from derive.approximate.reduce import Ground
from derive.structure.shares import Values

SAMPLES_A_DECADE = 2


@dataclass(frozen=True)
class Aim:
    """What one search shares: the exact spectrum, its samples, the statements' cone, the error that is asked for."""

    ground: Ground
    exact: Spectrum
    cone: Cone
    within: Fraction
    frequencies: tuple[float, ...]
    dense: np.ndarray
    wanted: Values
    known: dict[tuple[Any, ...], Any] = field(default_factory=dict, repr=False, compare=False)
    """What the search has worked out already, kept under what it was worked out from: forms share most factors."""

    @classmethod
    def of(cls, exact: Spectrum, ground: Ground, cone: Cone, within: Fraction) -> Aim:
        low, high = (float(f) for f in ground.band)
        count = max(int(SAMPLES_A_DECADE * np.log10(high / low)), 3) + 1
        places = set(np.geomspace(low, high, count))
        places |= {abs(r) / (2 * pi) for r in (*exact.poles, *exact.zeros) if low < abs(r) / (2 * pi) < high}
        if low < float(ground.spot) < high:
            places.add(float(ground.spot))
        dense = grid((low, high), exact)
        return cls(ground, exact, cone, within, tuple(sorted(map(float, places))), dense, exact.sample(dense))

    def roughly(self, spectrum: Spectrum) -> float:
        """The worst error on a fixed grid, without a search for its peak."""
        peak = np.max(np.abs(self.wanted))
        base = np.where(np.abs(self.wanted) < SMALL * peak, peak, np.abs(self.wanted))
        with np.errstate(divide="ignore", invalid="ignore"):
            errors = np.abs(spectrum.sample(self.dense) - self.wanted) / base
        return float(np.max(np.where(np.isnan(errors), np.inf, errors)))
