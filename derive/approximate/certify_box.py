"""Bounds of a quotient of polynomials over boxes of frequency and of the values of symbols.

Enters: two polynomials, boxes. Leaves: for every box a number that the quotient's magnitude nowhere exceeds, one that
it nowhere falls below, and what helps to divide it. Must not know: networks, tolerances, what is compared.

Coordinates are logarithms: a term c·x^a·y^b is then an exponential, and its derivatives are itself times its exponents.
With P/Q = e(δ) and δ the distance from the middle of a box, e is bound by its linear model L = e0 + Σ g·δ and the rest,

    |e - L| ≤ (R + Σ|g|r·V)/(|Q0| - V),   R = Σ|p - e0·q|·φ(ρ),   V = Σ|∂Q|r + Σ|q|·φ(ρ),
    φ(ρ) = exp ρ - 1 - ρ ≤ ρ²/2 + ρ³/6·exp ρ,

with p and q the terms of P and Q in the middle, r the half widths and ρ = Σ|exponent|·r. This follows from
P - L·Q = (P - e0·Q) - (Σ g·δ)·Q, in which all terms of order zero and one cancel. A common factor of P and Q does not
change e, so that exponents are counted from a typical one. The rest falls with the square of the width.

This is ball arithmetic in double precision: what rounding can do to a sum of terms is at most ROUNDING times the sum of
their magnitudes, and is added to the radius.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from derive.algebra.ring import fraction

ROUNDING = 1e-10
"""A term is the exponential of a sum of at most LONGEST products that is under 700 in magnitude, so that its relative
error is below 700·LONGEST·2⁻⁵² < 10⁻¹¹; a sum of at most MOST_TERMS terms adds MOST_TERMS·2⁻⁵³ < 10⁻¹¹."""
LONGEST = 40
MOST_TERMS = 40_000
DIRECTIONS = 64
"""Directions in which the reach of the linear model is taken; between two of them it is larger by STRETCH at most."""
STRETCH = 1 / np.cos(np.pi / DIRECTIONS)
Array = Any


@dataclass(frozen=True)
class Bounds:
    """For each box: ``upper`` and ``lower`` bound of the magnitude (inf and 0 where there is none); ``middle``: the
    magnitude in the middle, rounded; ``corner``: the signs of δ where the linear model is largest; ``weight``: how much
    each coordinate's width adds to the rest.
    """

    upper: Array
    lower: Array
    middle: Array
    corner: Array
    weight: Array


class Quotient:
    """``above``/``below``: polynomials over the same variables, the first of which is s = jω.

    ``unit``: the angular frequency (rad/s) whose logarithm counts as zero; all other variables are ratios near one.
    """

    def __init__(self, above: Any, below: Any, unit: Fraction) -> None:
        sides = [{tuple(map(int, e)): fraction(c) for e, c in side.to_dict().items()} for side in (above, below)]
        exponents = sorted(sides[0].keys() | sides[1].keys())
        scaled = [[side.get(e, Fraction(0)) * unit ** e[0] for e in exponents] for side in sides]
        largest = max((abs(c) for c in scaled[1]), default=Fraction(1)) or Fraction(1)
        turn = np.array([(1, 1j, -1, -1j)[e[0] % 4] for e in exponents])
        self.p, self.q = (np.array([float(c / largest) for c in side]) * turn for side in scaled)
        self.exponents = np.array(exponents, dtype=float)
        self.terms = len(exponents)
        weights = np.abs(self.q) / np.abs(self.q).sum()
        self.shifted = self.exponents - weights @ self.exponents
        columns = np.column_stack([np.ones(self.terms), self.shifted])
        self.moments = [side[:, None] * columns for side in (self.p, self.q)]

    def bound(self, middle: Array, radius: Array) -> Bounds:
        """Bounds over boxes, one a row: middles and half widths of the logarithms of all variables."""
        sizes = np.exp(middle @ self.exponents.T)
        above, below = (sizes @ moment.real + 1j * (sizes @ moment.imag) for moment in self.moments)
        grown = radius @ np.abs(self.shifted).T
        with np.errstate(all="ignore"):
            value = above[:, 0] / below[:, 0]
            slope = (above[:, 1:] - value[:, None] * below[:, 1:]) / below[:, :1]
            parts = np.abs(self.p - value[:, None] * self.q) * sizes
            below_parts = np.abs(self.q) * sizes
            beyond = grown**2 * (0.5 + grown / 6 * np.exp(grown))
            margin = ROUNDING * np.exp(grown.max(axis=1))
            noise = margin * (sizes @ np.abs(self.p) + np.abs(value) * below_parts.sum(axis=1))
            first = np.abs(below[:, 1:]) * radius
            wobble = first.sum(axis=1) + (below_parts * beyond).sum(axis=1) + margin * below_parts.sum(axis=1)
            turned = (np.abs(slope) * radius).sum(axis=1)
            left = np.abs(below[:, 0]) - wobble
            rest = ((parts * beyond).sum(axis=1) + turned * wobble + noise) / left
            rest = np.where((left > 0) & np.isfinite(rest), rest, np.inf)
            reach, corner = _reach(value, slope, radius)
            lower = np.maximum(np.abs(value) - turned - rest, 0.0) * (1 - ROUNDING)
            # What halving each width would take off the rest; of the lower side alone where that may be zero.
            bent = (below_parts * grown) @ np.abs(self.shifted) * radius
            weight = (parts * grown) @ np.abs(self.shifted) * radius + turned[:, None] * (first + bent)
            weight += np.abs(slope) * radius * wobble[:, None]
            weight = np.where(np.isfinite(rest)[:, None], weight, first + bent)
        size = np.where(np.isfinite(value), np.abs(value), np.inf)
        return Bounds((reach + rest) * (1 + ROUNDING), np.nan_to_num(lower), size, corner, np.nan_to_num(weight))


_TURNS = np.exp(-2j * np.pi * np.arange(DIRECTIONS) / DIRECTIONS)


def _reach(value: Array, slope: Array, radius: Array) -> tuple[Array, Array]:
    """The largest magnitude of value + Σ slope·δ with |δ| ≤ radius, and the signs of δ there."""
    value, slope = np.nan_to_num(value), np.nan_to_num(slope)
    along = (value[:, None] * _TURNS).real
    for place in range(slope.shape[1]):
        along += np.abs((slope[:, place, None] * _TURNS).real) * radius[:, place, None]
    best = np.argmax(along, axis=1)
    corner = np.where((slope * _TURNS[best][:, None]).real < 0, -1.0, 1.0)
    return np.max(along, axis=1) * STRETCH, corner
