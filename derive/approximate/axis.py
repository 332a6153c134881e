"""Squared magnitudes along the frequency axis, as exact ratios of polynomials in x = ω².

Enters: polynomials in s with exact coefficients. Leaves: their squared magnitudes, every place where such a ratio may
be largest, every place where one passes another. Must not know: statements, symbols, what is compared.

The squared magnitude of a polynomial on the axis is a polynomial in x, so the extremes of a response's magnitude over
a band are the real roots of a polynomial. flint isolates all roots with certainty, so that no resonance, however
narrow, is stepped over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf, pi, sqrt
from typing import Any

import flint

from derive.algebra.ring import fraction, rational

TWO_PI = 2 * Fraction("3.14159265358979323846264338327950288419716939937510")
ZERO = flint.fmpq(0)


def polynomial(coefficients: Sequence[Fraction]) -> Any:
    """A polynomial of flint, from coefficients with the lowest power first."""
    return flint.fmpq_poly([rational(c) for c in coefficients])


def squared(side: Any) -> Any:
    """|side(jω)|² as a polynomial in x = ω²: with side = E(s²) + s·O(s²) it is E(-x)² + x·O(-x)²."""
    coefficients = side.coeffs()
    even, odd = (
        flint.fmpq_poly([-c if power % 2 else c for power, c in enumerate(coefficients[start::2])]) for start in (0, 1)
    )
    return even * even + flint.fmpq_poly([0, 1]) * odd * odd


def place_of(frequency: Fraction | float) -> Any:
    """x = (2πf)² of a frequency in Hz."""
    return rational((TWO_PI * Fraction(frequency)) ** 2)


def frequency_of(place: Any) -> float:
    """The frequency in Hz at x."""
    return sqrt(_float(place)) / (2 * pi)


def crossings(side: Any, low: Any = ZERO, high: Any = None) -> list[Any]:
    """The real roots of a polynomial strictly between two places, ascending, each once, to double precision."""
    side = side.numer()
    if side.degree() < 1:
        return []
    found = []
    for root, _ in side.complex_roots():
        # The imaginary part of a real root is an exact zero: flint tells real roots from pairs with certainty.
        if root.imag == 0:
            mantissa, exponent = root.real.mid().man_exp()
            place = flint.fmpq(int(mantissa)) * flint.fmpq(2) ** int(exponent)
            if place > low and (high is None or place < high):
                found.append(place)
    return sorted(found)


@dataclass(frozen=True)
class Square:
    """``above``/``below``, two polynomials in x in lowest terms: the square of a magnitude."""

    above: Any
    below: Any

    @classmethod
    def of(cls, above: Any, below: Any) -> Square:
        """|above|²/|below|² of two polynomials in s, below not zero."""
        above, below = squared(above), squared(below)
        common = above.gcd(below) if above != 0 else below
        return cls(above // common, below // common)

    def at(self, place: Any) -> Any:
        """The exact square at x, None where it is infinite."""
        below = self.below(place)
        return None if below == 0 else self.above(place) / below

    def magnitude(self, place: Any) -> float:
        """The magnitude at x."""
        return root_of(self.at(place))

    def extremes(self, low: Any, high: Any) -> list[Any]:
        """The places strictly between two where it is stationary, poles on the axis included."""
        slope = self.above.derivative() * self.below - self.above * self.below.derivative()
        return crossings(slope, low, high)

    def largest(self, low: Any, high: Any) -> tuple[Any, Any]:
        """The largest square between two places, both included, and where; None for an infinite one."""
        poles = crossings(self.below, low, high)
        if poles:
            return None, poles[0]
        best, where = self.at(low), low
        for place in (*self.extremes(low, high), high):
            value = self.at(place)
            if best is not None and (value is None or value > best):
                best, where = value, place
        return best, where


def root_of(square: Any) -> float:
    """The square root of an exact square, None being infinite."""
    return inf if square is None else sqrt(_float(square))


def _float(number: Any) -> float:
    try:
        return float(fraction(number))
    except OverflowError:
        return inf
