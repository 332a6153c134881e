"""An exact and an approximate answer as polynomials in s and the symbols whose values have tolerances.

Enters: an exact answer, its approximation, numbers, tolerances. Leaves: four polynomials with exact coefficients.
Must not know: bounds, statements in words, pages.

All other symbols are replaced by their numbers, and a symbol with a tolerance by its ratio to its value. That leaves
few terms even where an answer has too many to be written out: its diagram is evaluated in the ring of these symbols.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import flint

from derive.algebra.ratio import Ratio
from derive.algebra.ring import rational, terms
from derive.algebra.spectrum import Spectrum, lowest
from derive.answers.exact import diagrams
from derive.answers.records import Inquiry
from derive.network.records import Element

MOST_OF_A_DIAGRAM = 14
"""Symbols with tolerances above which a diagram is not evaluated: its terms double with each."""


class TooMany(Exception):
    """The polynomials of an answer cannot be had; the message says why, in words of the sheet."""


@dataclass(frozen=True)
class Sides:
    """``above``/``below`` in the ring of ``names``: s first, then symbols as ratios to their values."""

    names: tuple[str, ...]
    above: Any
    below: Any

    def at_nominal(self) -> Spectrum:
        """The spectrum where every symbol has its own value."""
        return lowest(*(_univariate(side) for side in (self.above, self.below)))


def sides_of_ratio(ratio: Ratio, names: tuple[str, ...], numbers: Mapping[str, Fraction]) -> Sides:
    """The sides of an answer that is written out. ``names`` begin with s."""
    places = {name: place for place, name in enumerate(names)}
    values = {name: rational(numbers[name]) for name in ratio.ring.names[1:]}
    sides = []
    for side in (ratio.above, ratio.below):
        found: dict[tuple[int, ...], Any] = {}
        for exponents, coefficient in terms(side):
            value = flint.fmpq(coefficient)
            key = [0] * len(names)
            key[0] = exponents[0]
            for name, exponent in zip(ratio.ring.names[1:], exponents[1:], strict=True):
                if exponent:
                    value *= values[name] ** exponent
                    if name in places:
                        key[places[name]] = exponent
            found[tuple(key)] = found.get(tuple(key), 0) + value
        sides.append(_context(names).from_dict(found))
    return Sides(names, *sides)


def sides_of_inquiry(inquiry: Inquiry, names: tuple[str, ...], numbers: Mapping[str, Fraction]) -> Sides:
    """The sides of an answer that is too long to be written out. Raises TooMany, TooLarge."""
    if len(names) - 1 > MOST_OF_A_DIAGRAM:
        raise TooMany("too many terms")
    context = _context(names)
    generators = dict(zip(names, context.gens(), strict=True))
    one, zero = context.constant(1), context.constant(0)
    elements = {element.name: element for element in inquiry.network.elements}

    def weights(element: Element) -> tuple[Any, Any]:
        if element.law == "unity":
            return one, one
        value = _symbol(element.name, generators, numbers) * one
        match element.law:
            case "resistance" | "ratio":
                return one, value
            case "capacitance" | "delay":
                return value * generators["s"], one
            case "inductance":
                return one, value * generators["s"]
            case _:
                return value, one

    sides = []
    for diagram in diagrams(inquiry):
        pairs = [weights(elements[name]) for name in diagram.elements]
        sides.append(diagram.fold(one, zero, [c for c, _ in pairs], [d for _, d in pairs]))
    above, below = sides
    if inquiry.factor:
        above = above * _symbol(inquiry.factor, generators, numbers)
    common = above.gcd(below) if above != 0 else below
    return Sides(names, above / common, below / common)


def _symbol(name: str, generators: Mapping[str, Any], numbers: Mapping[str, Fraction]) -> Any:
    value = rational(numbers[name])
    return generators[name] * value if name in generators else value


def _context(names: tuple[str, ...]) -> Any:
    return flint.fmpq_mpoly_ctx.get(names, "lex")


def _univariate(side: Any) -> Any:
    """The polynomial in s alone where all other variables are one."""
    found: dict[int, Any] = {}
    for exponents, coefficient in side.to_dict().items():
        found[int(exponents[0])] = found.get(int(exponents[0]), 0) + coefficient
    return flint.fmpq_poly([found.get(power, 0) for power in range(1 + max(found, default=0))])
