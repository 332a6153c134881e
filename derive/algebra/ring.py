"""Polynomials in s and the symbols of a network, with whole coefficients, exact.

Enters: symbol names, elements, a diagram. Leaves: polynomials of python-flint.
Must not know: numbers of the symbols, questions, LaTeX.

A resistance stands for an admittance 1/R, an inductance for 1/(sL) and the gain of an op amp for 1/a; all
polynomials are cleared of these denominators by the product of all resistances, sL and gains of the network, so that
a deleted resistor contributes R and a contracted one 1. Numerator and denominator of an answer are cleared alike,
and the factor cancels.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

import flint

from derive.kernel.diagram import Diagram
from derive.network.records import Element

Polynomial = flint.fmpz_mpoly
Exponents = tuple[int, ...]
Factors = tuple[int, tuple[tuple[Polynomial, int], ...]]

KEPT = 20_000
"""Polynomials whose factors are kept at most."""


@dataclass(frozen=True)
class Ring:
    """The ring of polynomials over ``s`` (always first) and the named symbols."""

    names: tuple[str, ...]

    @classmethod
    def of(cls, symbols: Iterable[str]) -> Ring:
        return cls(("s", *symbols))

    @cached_property
    def context(self) -> Any:
        return flint.fmpz_mpoly_ctx.get(self.names, "lex")

    @cached_property
    def index(self) -> dict[str, int]:
        return {name: place for place, name in enumerate(self.names)}

    def generator(self, name: str) -> Polynomial:
        return self.context.gen(self.index[name])

    @cached_property
    def one(self) -> Polynomial:
        return self.context.constant(1)

    @cached_property
    def zero(self) -> Polynomial:
        return self.context.constant(0)

    def factored(self, polynomial: Polynomial) -> Factors:
        """The number in front, and the irreducible factors with their powers; worked out once for each polynomial."""
        key = str(polynomial)
        found = self._factors.get(key)
        if found is None:
            constant, factors = polynomial.factor()
            if len(self._factors) >= KEPT:
                self._factors.clear()
            found = self._factors[key] = (int(constant), tuple((f, int(power)) for f, power in factors))
        return found

    @cached_property
    def _factors(self) -> dict[str, Factors]:
        return {}

    def polynomial(self, terms: Mapping[Exponents, int]) -> Polynomial:
        return self.context.from_dict(dict(terms))

    def monomial(self, exponents: Exponents, coefficient: int = 1) -> Polynomial:
        return self.context.from_dict({exponents: coefficient})

    def expand(self, diagram: Diagram, elements: Mapping[str, Element]) -> Polynomial:
        """The determinant as a polynomial, cleared of denominators. The caller bounds the number of terms."""
        pairs = [self.weights(elements[name]) for name in diagram.elements]
        return diagram.fold(self.one, self.zero, [c for c, _ in pairs], [d for _, d in pairs])

    def weights(self, element: Element) -> tuple[Polynomial, Polynomial]:
        """What a contracted and a deleted element contribute, cleared of denominators."""
        if element.law == "unity":
            return self.one, self.one
        symbol = self.generator(element.name)
        match element.law:
            case "resistance" | "ratio":
                return self.one, symbol
            case "capacitance" | "delay":
                return symbol * self.generator("s"), self.one
            case "inductance":
                return self.one, symbol * self.generator("s")
            case _:
                return symbol, self.one

    def by_powers_of_s(self, polynomial: Polynomial) -> list[Polynomial]:
        """The coefficients of the powers of s, lowest first, as polynomials without s."""
        parts: dict[int, dict[Exponents, int]] = {}
        for exponents, coefficient in terms(polynomial):
            parts.setdefault(exponents[0], {})[(0, *exponents[1:])] = coefficient
        top = max(parts, default=-1)
        return [self.polynomial(parts.get(power, {})) for power in range(top + 1)]

    def values(self, numbers: Mapping[str, Fraction], s: Fraction) -> list[Fraction]:
        """The numbers of the generators in their order."""
        return [s, *(numbers[name] for name in self.names[1:])]


def terms(polynomial: Polynomial) -> list[tuple[Exponents, int]]:
    """Exponents and coefficient of each term."""
    return [(tuple(map(int, e)), int(c)) for e, c in polynomial.to_dict().items()]


def evaluate(polynomial: Polynomial, values: Sequence[Fraction]) -> Fraction:
    """The exact value of a polynomial. Computed in flint's rationals, which are several times faster."""
    bases = [rational(Fraction(value)) for value in values]
    total = flint.fmpq(0)
    for exponents, coefficient in terms(polynomial):
        value = flint.fmpq(coefficient)
        for base, exponent in zip(bases, exponents, strict=True):
            if exponent:
                value *= base if exponent == 1 else base**exponent
        total += value
    return fraction(total)


def fraction(number: Any) -> Fraction:
    """A rational of flint as a Fraction."""
    return Fraction(int(number.p), int(number.q))


def rational(number: Fraction) -> Any:
    """A Fraction as a rational of flint."""
    return flint.fmpq(number.numerator, number.denominator)
