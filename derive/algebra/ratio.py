"""A ratio of two polynomials in s and the symbols.

Enters: two polynomials of one ring. Leaves: the ratio in lowest terms, its value.
Must not know: diagrams, networks, how it will be written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from derive.algebra.ring import Exponents, Polynomial, Ring, evaluate, terms


@dataclass(frozen=True)
class Ratio:
    """``above``/``below``; in lowest terms when made by ``lowest_terms``."""

    ring: Ring
    above: Polynomial
    below: Polynomial

    def value(self, numbers: Mapping[str, Fraction], s: Fraction = Fraction(0)) -> Fraction:
        """The exact value at given numbers of the symbols and of s. Raises ZeroDivisionError at a pole."""
        values = self.ring.values(numbers, s)
        return evaluate(self.above, values) / evaluate(self.below, values)

    @property
    def counts(self) -> tuple[int, int]:
        """The number of terms above and below."""
        return len(self.above.to_dict()), len(self.below.to_dict())

    @cached_property
    def parts(self) -> tuple[list[tuple[Exponents, int]], list[tuple[Exponents, int]]]:
        """The terms above and below."""
        return terms(self.above), terms(self.below)

    def reciprocal(self) -> Ratio:
        return lowest_terms(self.ring, self.below, self.above)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Ratio) and self.above * other.below == other.above * self.below

    def __hash__(self) -> int:
        return hash((str(self.above), str(self.below)))


def lowest_terms(ring: Ring, above: Polynomial, below: Polynomial) -> Ratio:
    """The ratio without common factors; the lowest power of s below has a positive first coefficient.

    Raises ZeroDivisionError when ``below`` is zero.
    """
    if below.is_zero():
        raise ZeroDivisionError("denominator is zero")
    if above.is_zero():
        return Ratio(ring, ring.zero, ring.one)
    common = above.gcd(below)
    if not common.is_one():
        above, below = above / common, below / common
    if leading_sign(below) < 0:
        above, below = -above, -below
    return Ratio(ring, above, below)


def leading_sign(polynomial: Polynomial) -> int:
    """The sign of the terms in the lowest power of s: of the sum of their coefficients, else of the first."""
    found = terms(polynomial)
    lowest = min(exponents[0] for exponents, _ in found)
    coefficients = [c for exponents, c in sorted(found) if exponents[0] == lowest]
    balance = sum(coefficients)
    return 1 if (balance or coefficients[0]) > 0 else -1
