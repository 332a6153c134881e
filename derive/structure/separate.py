"""A sum in s whose roots lie in groups far apart, as a product of factors of low order.

Enters: a polynomial, numbers. Leaves: factors and how far apart the roots are. Must not know: words, LaTeX.

Where the roots of c_0 + c_1 s + c_2 s² + … are far apart, they are near -c_0/c_1, -c_1/c_2, … (P. R. Gray et al.,
"Analysis and Design of Analog Integrated Circuits", the dominant-pole approximation; from memory), so that the sum is
about c_0 (1 + s c_1/c_0)(1 + s c_2/c_1)… Roots that are near each other, a pair, stay together in a factor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from derive.algebra.ring import Polynomial, Ring
from derive.algebra.spectrum import roots

APART = 3.0
"""The least ratio between the magnitudes of neighbouring roots at which a sum is split; its error is measured."""


@dataclass(frozen=True)
class Split:
    """The powers of s at which a sum is split, and the least ratio of the roots on both sides of a split."""

    powers: tuple[int, ...]
    least: float


def split(coefficients: Sequence[Fraction]) -> Split | None:
    """Where a sum with these numbers can be split; None where all of its roots lie together, or one is zero."""
    if len(coefficients) < 3 or not coefficients[0]:
        return None
    sizes = sorted(abs(r) for r in roots(coefficients))
    gaps = {k: high / low for k, (low, high) in enumerate(pairwise(sizes), start=1) if high / low >= APART}
    powers = tuple(k for k in gaps if coefficients[k])
    return Split(powers, min(gaps[k] for k in powers)) if powers else None


def separated(ring: Ring, coefficients: list[Polynomial], found: Split, power: int) -> list[tuple[Polynomial, int]]:
    """The factors in place of the sum of these coefficients, to its power."""
    s = ring.generator("s")
    ends = (0, *found.powers, len(coefficients) - 1)
    made = []
    for low, high in pairwise(ends):
        block = ring.zero
        for place in range(low, high + 1):
            block = block + coefficients[place] * s ** (place - low)
        made.append((block, power))
    return made + [(coefficients[k], -power) for k in found.powers]
