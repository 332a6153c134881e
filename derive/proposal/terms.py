"""The terms of a ratio as arrays: exponents, places, sizes at this bias point.

Enters: a ratio, the numbers of its symbols. Leaves: a table of terms, and the response with any of them left out.
Must not know: statements, networks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import log10

import numpy as np

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Ring, terms


@dataclass(frozen=True)
class Terms:
    """One row a term. ``exponents`` with s first; ``sums``: which sum it stands in, a power of s of one side.

    ``factors``: the whole number before each term; ``sizes``: each term's value with its sign, where s is in
    units of ``reference`` and each side is divided by its largest term; ``heights``: the logarithm (base ten) of the
    product of symbols without s.
    ``powers`` and ``sides`` (0: numerator, 1: denominator) by sum; ``scale``: what the divisions took away.
    """

    exponents: np.ndarray
    sums: np.ndarray
    factors: np.ndarray
    sizes: np.ndarray
    heights: np.ndarray
    powers: np.ndarray
    sides: np.ndarray
    scale: float
    reference: float

    def __len__(self) -> int:
        return len(self.sums)

    def only(self, chosen: np.ndarray) -> Terms:
        """These terms alone; a sum may be left without any."""
        names = ("exponents", "sums", "factors", "sizes", "heights")
        return replace(self, **{name: getattr(self, name)[chosen] for name in names})

    def limited(self, column: int, *, to_infinity: bool) -> Terms | None:
        """The terms that stay where a symbol goes to zero or to infinity; None where a side vanishes."""
        powers = self.exponents[:, column]
        less = self.only(powers == (powers.max() if to_infinity else powers.min()))
        return less if len(np.unique(less.sides[less.sums])) == 2 else None

    def ratio(self, ring: Ring, kept: np.ndarray) -> Ratio:
        """Some of the terms as a ratio in lowest terms."""
        sides = []
        for side in (0, 1):
            chosen = np.flatnonzero(kept & (self.sides[self.sums] == side))
            sides.append({tuple(map(int, self.exponents[p])): int(self.factors[p]) for p in chosen})
        return lowest_terms(ring, *map(ring.polynomial, sides))

    def coefficients(self, kept: np.ndarray) -> np.ndarray:
        """The value of each sum when only these terms are kept."""
        return np.bincount(self.sums, self.sizes * kept, len(self.powers))

    def cancels(self, kept: np.ndarray, reach: tuple[float, float], factor: float) -> bool:
        """Whether a side nearly cancels at an end of the band, where its terms add up as complex numbers."""
        for side in (0, 1):
            chosen = kept & (self.sides[self.sums] == side)
            for omega in reach:
                values = self.sizes[chosen] * (1j * omega / self.reference) ** self.powers[self.sums[chosen]]
                if abs(values.sum()) * factor < np.abs(values).sum():
                    return True
        return False

    def responses(self, coefficients: np.ndarray, s: np.ndarray) -> np.ndarray:
        """The response at the points ``s`` (rad/s), for one or many rows of coefficients."""
        powers = (s / self.reference)[None, :] ** self.powers[:, None]
        above, below = self.sides == 0, self.sides == 1
        with np.errstate(all="ignore"):
            return self.scale * (coefficients[..., above] @ powers[above]) / (coefficients[..., below] @ powers[below])


def table(ratio: Ratio, numbers: Mapping[str, Fraction], reference: float) -> Terms:
    """All terms of a ratio; ``reference`` in rad/s."""
    names = ratio.ring.names[1:]
    logs = np.array([log10(float(abs(numbers[name]))) if numbers[name] else -np.inf for name in names])
    signs = np.array([numbers[name] < 0 for name in names])
    rows: list[np.ndarray] = []
    sums: list[np.ndarray] = []
    sizes: list[np.ndarray] = []
    factors: list[int] = []
    powers: list[int] = []
    sides: list[int] = []
    shifts: list[float] = []
    for side, polynomial in enumerate((ratio.above, ratio.below)):
        found = sorted(terms(polynomial))
        exponents = np.array([e for e, _ in found], dtype=np.int16).reshape(len(found), len(names) + 1)
        with np.errstate(invalid="ignore"):
            heights = np.where(exponents[:, 1:] == 0, 0.0, exponents[:, 1:] * logs).sum(axis=1)
        coefficients = np.array([float(c) for _, c in found])
        sized = heights + np.log10(np.abs(coefficients)) + exponents[:, 0] * log10(reference)
        shift = float(sized.max()) if len(found) else 0.0
        negative = (exponents[:, 1:] @ signs) % 2
        size = np.where(negative, -1.0, 1.0) * np.sign(coefficients) * 10.0 ** (sized - shift)
        present, places = np.unique(exponents[:, 0], return_inverse=True)
        rows.append(np.column_stack([exponents, heights]))
        sums.append(places + len(powers))
        factors += [c for _, c in found]
        sizes.append(size)
        powers += list(present)
        sides += [side] * len(present)
        shifts.append(shift)
    both = np.concatenate(rows)
    return Terms(
        both[:, :-1].astype(np.int16),
        np.concatenate(sums),
        np.array(factors, dtype=object),
        np.concatenate(sizes),
        both[:, -1],
        np.array(powers, dtype=float),
        np.array(sides),
        10.0 ** (shifts[0] - shifts[1]),
        reference,
    )
