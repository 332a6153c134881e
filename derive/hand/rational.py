"""Quotients of polynomials in s with exact numbers, as the evaluation of a formula meets them.

Enters: a rational formula, the numbers of its symbols. Leaves: its spectrum. Must not know: networks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import flint

from derive.algebra.ring import rational
from derive.algebra.spectrum import Spectrum, lowest
from derive.expression.tree import Expr, evaluate, symbols


def spectrum_of_tree(tree: Expr, numbers: Mapping[str, Fraction]) -> Spectrum:
    """The exact spectrum of a rational formula at these numbers. Raises ZeroDivisionError."""
    values = {name: _number(number) for name, number in numbers.items()}
    for name in symbols(tree) - values.keys():
        owner = name.removeprefix("beta_")
        if name != owner and f"gm_{owner}" in numbers:
            values[name] = values[f"gm_{owner}"] * values[f"rpi_{owner}"]
    values["s"] = Rational(flint.fmpq_poly([0, 1]), flint.fmpq_poly([1]))
    result = evaluate(tree, values, number=_number)
    return lowest(result.above, result.below)


@dataclass(frozen=True)
class Rational:
    """A quotient of polynomials in s, with the arithmetic that the evaluation of a tree needs."""

    above: Any
    below: Any

    def __add__(self, other: Any) -> Rational:
        o = _as_rational(other)
        if self.below == o.below:
            return Rational(self.above + o.above, self.below)
        return Rational(self.above * o.below + o.above * self.below, self.below * o.below)

    def __mul__(self, other: Any) -> Rational:
        o = _as_rational(other)
        return Rational(self.above * o.above, self.below * o.below)

    def __truediv__(self, other: Any) -> Rational:
        o = _as_rational(other)
        if o.above == 0:
            raise ZeroDivisionError("division by zero")
        return Rational(self.above * o.below, self.below * o.above)

    def __rtruediv__(self, other: Any) -> Rational:
        return _as_rational(other) / self

    def __pow__(self, exponent: int) -> Rational:
        if exponent < 0:
            return Rational(self.below**-exponent, self.above**-exponent)
        return Rational(self.above**exponent, self.below**exponent)

    def __eq__(self, other: object) -> bool:
        o = _as_rational(other)
        return bool(self.above * o.below == o.above * self.below)

    def __hash__(self) -> int:
        return hash((str(self.above), str(self.below)))

    __radd__ = __add__
    __rmul__ = __mul__


def _as_rational(value: Any) -> Rational:
    return value if isinstance(value, Rational) else _number(Fraction(value))


def _number(value: Fraction) -> Rational:
    return Rational(flint.fmpq_poly([rational(value)]), flint.fmpq_poly([1]))
