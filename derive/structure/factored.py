"""A ratio kept as a product of factors: cancelled, multiplied out, evaluated.

Enters: polynomials. Leaves: products. Must not know: networks, words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import prod
from typing import Any

import flint

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents, Polynomial, Ring, fraction, rational, terms
from derive.algebra.spectrum import Spectrum, lowest


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
        return self.spectrum_of(lambda factor: in_numbers(self.ring, factor, numbers))

    def spectrum_of(self, coefficients_of: Callable[[Polynomial], Sequence[Fraction]]) -> Spectrum:
        """The exact spectrum, where the coefficients of the powers of s are known for each factor."""
        above, below = flint.fmpq_poly([rational(self.scale)]), flint.fmpq_poly([1])
        for factor, power in self.factors:
            polynomial = flint.fmpq_poly([rational(c) for c in coefficients_of(factor)]) ** abs(power)
            if power > 0:
                above *= polynomial
            else:
                below *= polynomial
        return lowest(above, below)

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
        constant, found = ring.factored(polynomial)
        scale *= Fraction(constant) ** power
        for factor, times in found:
            key = str(factor)
            known[key] = factor
            powers[key] = powers.get(key, 0) + power * times
    order = sorted((key for key in powers if powers[key]), key=lambda key: (len(known[key]), key))
    return Factored(ring, scale, tuple((known[key], powers[key]) for key in order))


def in_numbers(ring: Ring, polynomial: Polynomial, numbers: Mapping[str, Fraction]) -> list[Fraction]:
    """The coefficients of the powers of s, lowest first. Computed in flint's rationals, which are faster."""
    bases: dict[int, Any] = {}
    found: dict[int, Any] = {}
    for exponents, coefficient in terms(polynomial):
        value = flint.fmpq(coefficient)
        for place, exponent in enumerate(exponents):
            if place and exponent:
                if place not in bases:
                    bases[place] = rational(numbers[ring.names[place]])
                value *= bases[place] if exponent == 1 else bases[place] ** exponent
        found[exponents[0]] = found[exponents[0]] + value if exponents[0] in found else value
    return [fraction(found[power]) if power in found else Fraction(0) for power in range(1 + max(found, default=0))]


def size(ring: Ring, exponents: Exponents, numbers: Mapping[str, Fraction]) -> Fraction:
    """A monomial's number, s left out."""
    value = Fraction(1)
    for name, exponent in zip(ring.names[1:], exponents[1:], strict=True):
        if exponent:
            value *= numbers[name] ** exponent
    return value
