"""A ratio kept as a product of factors: cancelled, multiplied out, evaluated.

Enters: polynomials. Leaves: products. Must not know: networks, words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import prod

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.algebra.spectrum import Spectrum, from_coefficients, multiplied


@dataclass(frozen=True)
class Factored:
    """``scale`` times the product of the factors, each irreducible and to its power (negative below the line)."""

    ring: Ring
    scale: Fraction
    factors: tuple[tuple[Polynomial, int], ...]

    def ratio(self, limit: int) -> Ratio | None:
        """Multiplied out; None where a side has more than ``limit`` terms. It is in lowest terms."""
        sides = []
        for sign in (1, -1):
            found = [(factor, power * sign) for factor, power in self.factors if power * sign > 0]
            if prod(len(factor) ** power for factor, power in found) > limit:
                return None
            number = self.scale.numerator if sign > 0 else self.scale.denominator
            sides.append(prod((factor**power for factor, power in found), start=self.ring.one * number))
        return Ratio(self.ring, sides[0], sides[1])

    def spectrum(self, numbers: Mapping[str, Fraction]) -> Spectrum:
        """The exact spectrum at the numbers of the symbols."""
        above, below = [self.scale], [Fraction(1)]
        for factor, power in self.factors:
            coefficients = in_numbers(self.ring, factor, numbers)
            for _ in range(abs(power)):
                if power > 0:
                    above = multiplied(above, coefficients)
                else:
                    below = multiplied(below, coefficients)
        return from_coefficients(above, below)

    @property
    def sums(self) -> tuple[tuple[Polynomial, int], ...]:
        """The factors of more than one term."""
        return tuple((factor, power) for factor, power in self.factors if len(factor) > 1)

    @property
    def symbols(self) -> int:
        """How many symbols stand in it, each factor written as it is."""
        return sum(_symbols(factor) * min(abs(power), 2) for factor, power in self.factors)


def _symbols(factor: Polynomial) -> int:
    found = [e for e, _ in terms(factor)]
    shared = [min(column) for column in zip(*found, strict=True)]
    inner = sum(sum(1 for a, b in zip(e, shared, strict=True) if a > b) for e in found)
    return inner + sum(1 for e in shared if e)


def gathered(ring: Ring, parts: Iterable[tuple[Polynomial, int]], scale: Fraction = Fraction(1)) -> Factored:
    """The product of polynomials to their powers, each factored, common factors cancelled."""
    powers: dict[str, int] = {}
    known: dict[str, Polynomial] = {}
    for polynomial, power in parts:
        constant, found = polynomial.factor()
        scale *= Fraction(int(constant)) ** power
        for factor, times in found:
            key = str(factor)
            known[key] = factor
            powers[key] = powers.get(key, 0) + power * int(times)
    order = sorted((key for key in powers if powers[key]), key=lambda key: (len(known[key]), key))
    return Factored(ring, scale, tuple((known[key], powers[key]) for key in order))


def in_numbers(ring: Ring, polynomial: Polynomial, numbers: Mapping[str, Fraction]) -> list[Fraction]:
    """The coefficients of the powers of s, lowest first."""
    found: dict[int, Fraction] = {}
    for exponents, coefficient in terms(polynomial):
        found[exponents[0]] = found.get(exponents[0], Fraction(0)) + coefficient * size(ring, exponents, numbers)
    return [found.get(power, Fraction(0)) for power in range(1 + max(found, default=0))]


def size(ring: Ring, exponents: Exponents, numbers: Mapping[str, Fraction]) -> Fraction:
    """A monomial's number, s left out."""
    value = Fraction(1)
    for name, exponent in zip(ring.names[1:], exponents[1:], strict=True):
        if exponent:
            value *= numbers[name] ** exponent
    return value
