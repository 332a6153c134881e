"""Recipes evaluated: what a script in the page computes, computed here for comparison.

Enters: recipes, responses, values of the sliders. Leaves: complex values in double precision. Must not know: pages.
"""

from __future__ import annotations

from cmath import pi, sqrt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log10
from typing import Any

from derive.expression.tree import evaluate
from derive.live.records import Combined, Constant, Formula, Recipe, Response, Shown, Spot, Term, Varied

FUNCTIONS: dict[str, Callable[[Any], Any]] = {"sqrt": sqrt, "abs": abs, "log10": lambda value: log10(abs(value))}


@dataclass(frozen=True)
class Bench:
    """Values of the sliders, responses, the spot."""

    values: tuple[float, ...]
    responses: Sequence[Response]
    spot: float

    def at(self, recipe: Recipe) -> complex:
        """The value of a recipe. Raises ArithmeticError where a divisor vanishes."""
        match recipe:
            case Constant(value):
                return value
            case Varied(place):
                return self.values[place]
            case Spot(of):
                return respond(self.responses[of], self.values, 2j * pi * self.spot)
            case Formula(tree, names):
                known: dict[Any, Any] = {key: self.at(inner) for key, inner in names}
                omega = 2 * pi * self.spot
                known |= {"s": 1j * omega, "w": omega, "f": self.spot, "pi": pi}
                return complex(evaluate(tree, known, FUNCTIONS, float))
            case Combined(how, first, second):
                return _combine(how, self.at(first), self.at(second))
            case Shown(part, of, scale):
                return scale * _part(part, self.at(of))


def _combine(how: str, first: complex, second: complex) -> complex:
    match how:
        case "minus":
            return first - second
        case "over":
            return first / second
        case "times":
            return first * second
        case _:
            return abs(first - second) / abs(second)


def _part(part: str, value: complex) -> complex:
    return value if part == "whole" else abs(value) if part == "abs" else value.real if part == "real" else value.imag


def respond(response: Response, values: Sequence[float], s: complex) -> complex:
    return _sum(response.above, values, s) / _sum(response.below, values, s)


def _sum(terms: Sequence[Term], values: Sequence[float], s: complex) -> complex:
    total = 0j
    for coefficient, power, exponents in terms:
        term = coefficient * s**power
        for value, exponent in zip(values, exponents, strict=True):
            term *= value**exponent
        total += term
    return total
