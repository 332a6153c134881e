"""A sum in s whose roots are real and far apart, as a product of factors of first order.

Enters: a polynomial, numbers. Leaves: factors and how far apart the roots are. Must not know: words, LaTeX.

Where the roots of c_0 + c_1 s + c_2 s² + … are far apart, they are near -c_0/c_1, -c_1/c_2, … (P. R. Gray et al.,
"Analysis and Design of Analog Integrated Circuits", the dominant-pole approximation; from memory), so that the sum is
about c_0 (1 + s c_1/c_0)(1 + s c_2/c_1)…
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise

from derive.algebra.ring import Polynomial, Ring
from derive.algebra.spectrum import roots
from derive.structure.factored import in_numbers

APART = 3.0
"""The least ratio of neighbouring roots for which the rule is tried; its error is measured like every other."""
REAL = 1e-6


def separation(ring: Ring, polynomial: Polynomial, numbers: Mapping[str, Fraction]) -> float | None:
    """The least ratio of neighbouring roots where all are real and of one sign; None where the rule has no meaning."""
    coefficients = in_numbers(ring, polynomial, numbers)
    if len(coefficients) < 3 or not all(coefficients):
        return None
    found = roots(coefficients)
    if any(abs(r.imag) > REAL * abs(r) or not r for r in found):
        return None
    sizes = sorted(abs(r) for r in found)
    least = min(b / a for a, b in pairwise(sizes))
    return least if least >= APART else None


def separated(ring: Ring, coefficients: list[Polynomial], power: int) -> list[tuple[Polynomial, int]]:
    """The factors in place of the sum of these coefficients, to its power."""
    s = ring.generator("s")
    pairs = pairwise(coefficients)
    made = [(low + high * s, power) for low, high in pairs]
    return made + [(c, -power) for c in coefficients[1:-1]]
