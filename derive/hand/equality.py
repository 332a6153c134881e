"""Whether two sides are equal: by polynomials, in a prime field, or to fifty digits.

Enters: two sides. Leaves: how the equality was proved, or None. Must not know: errors, slips, LaTeX.

Two different ratios of degree d agree at a random point of a field of p elements with a chance below d/p (J. T.
Schwartz,
J. ACM 27 (1980) 701; R. Zippel, EUROSAM 1979): with p = 2^61 - 1 and three points, for degrees below a thousand, the
chance that a false equality passes is under 1e-45. The points are fixed, so that the same claim gets the same verdict.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Literal

import flint
import mpmath

from derive.answers.exact import NoSolution, spectrum
from derive.expression.tree import Expr, evaluate, symbols
from derive.hand.worth import PRIME, Field, Side
from derive.network.records import Symbol

Proof = Literal["polynomials", "field", "digits"]
Reading = Literal["value", "magnitude", "decibels"]
TRIALS = 3
DIGITS = 50
WORKING = 65
"""Digits carried, so that DIGITS of the comparison are sure where terms cancel."""


@lru_cache(maxsize=64)
def field_point(names: Sequence[str], trial: int) -> Field:
    """A random number of the prime field for each name, and every beta."""
    source = random.Random(f"field {trial}")
    point = {name: flint.nmod(source.randrange(2, PRIME - 1), PRIME) for name in names}
    for name in names:
        owner = name.removeprefix("gm_")
        if name != owner and f"rpi_{owner}" in point:
            point[f"beta_{owner}"] = point[name] * point[f"rpi_{owner}"]
    return MappingProxyType(point)


def proof_of(one: Side, other: Side, table: Mapping[str, Symbol], as_: Reading = "value") -> Proof | None:
    """How the two sides are proved equal; None where they differ.

    ``table``: the network's symbols, with the formulas of those that follow from others.
    """
    if as_ == "value" and one.is_rational and other.is_rational:
        if not set(field_names(one) | field_names(other)) & {"w", "f", "pi"}:
            if one.ratio is not None and other.ratio is not None:
                return "polynomials" if one.ratio == other.ratio else None
            return "field" if _equal_in_field(one, other) else None
        if one.ratio is not None and other.ratio is not None:
            return "polynomials" if one.ratio == other.ratio else None
    return "digits" if _equal_in_digits(one, other, table, as_) else None


def field_names(side: Side) -> frozenset[str]:
    return symbols(side.tree) if side.tree is not None else frozenset()


def _equal_in_field(one: Side, other: Side) -> bool:
    for trial in range(TRIALS):
        point = field_point(one.ring.names, trial)
        try:
            if one.in_field(point) != other.in_field(point):
                return False
        except ZeroDivisionError:
            return False
    return True


def _equal_in_digits(one: Side, other: Side, table: Mapping[str, Symbol], as_: Reading) -> bool:
    """At random numbers near those of the circuit and random frequencies; parameters move, what follows from them
    too."""
    used = field_names(one) | field_names(other)
    parameters = {name for name in used if name in table and name not in one.ring.index}
    with mpmath.workdps(WORKING):
        for trial in range(TRIALS):
            numbers = _moved(table, parameters, trial)
            frequency = mpmath.mpf(random.Random(f"frequency {trial}").randrange(10, 10**6)) / 7
            try:
                values = [reading(in_digits(side, numbers, frequency), as_, side.is_real) for side in (one, other)]
            except (ZeroDivisionError, NoSolution, KeyError, ValueError):
                return False
            size = max(abs(values[0]), abs(values[1]))
            if abs(values[0] - values[1]) > mpmath.mpf(10) ** -(DIGITS - 5) * size:
                return False
    return True


def _moved(table: Mapping[str, Symbol], parameters: set[str], trial: int) -> dict[str, Any]:
    """Numbers of all symbols moved by chance; where parameters are used, those that follow from them follow."""
    numbers: dict[str, Any] = {}
    functions = {"sqrt": mpmath.sqrt, "exp": mpmath.exp, "abs": abs}
    for name, symbol in table.items():
        source = random.Random(f"{name} {trial}")
        follows = parameters and symbol.formula is not None
        if follows and symbol.formula is not None and symbols(symbol.formula) <= {*numbers, "pi"}:
            known = {**numbers, "pi": mpmath.pi}
            numbers[name] = evaluate(symbol.formula, known, functions, number=_mp)
        else:
            numbers[name] = _mp(symbol.value * Fraction(source.randrange(5 * 10**8, 2 * 10**9), 10**9))
    return numbers


def in_digits(side: Side, numbers: Mapping[str, Any], frequency: Any) -> Any:
    """The value at these numbers and a frequency in Hz, in the precision of the caller."""
    omega = 2 * mpmath.pi * frequency
    if side.tree is not None:
        values = {**numbers, "s": mpmath.mpc(0, omega), "w": omega, "f": frequency, "pi": mpmath.pi}
        for name in symbols(side.tree) - values.keys():
            owner = name.removeprefix("beta_")
            values[name] = numbers[f"gm_{owner}"] * numbers[f"rpi_{owner}"]
        functions = {"sqrt": mpmath.sqrt, "log10": mpmath.log10, "abs": abs}
        return evaluate(side.tree, values, functions, number=_mp)
    assert side.inquiry is not None
    found = spectrum(side.inquiry, {name: _fraction(number) for name, number in numbers.items()})
    point = mpmath.mpc(0, omega)
    above, below = (_horner(part, point) for part in (found.numerator, found.denominator))
    return above / below


def reading(value: Any, as_: Reading, is_real: bool) -> Any:
    """A value as it is compared: itself, its magnitude, or in decibels; a real side is that already."""
    if as_ == "value" or is_real:
        return value
    return abs(value) if as_ == "magnitude" else 20 * mpmath.log10(abs(value))


def _horner(coefficients: Sequence[Fraction], point: Any) -> Any:
    total = mpmath.mpc(0)
    for c in reversed(coefficients):
        total = total * point + _mp(c)
    return total


def _mp(value: Fraction) -> Any:
    return mpmath.mpf(value.numerator) / value.denominator


def _fraction(number: Any) -> Fraction:
    sign, mantissa, exponent, _ = mpmath.mpf(number)._mpf_
    value = Fraction(int(mantissa)) * (Fraction(2) ** exponent)
    return -value if sign else value


def expression_side(like: Side, tree: Expr) -> Side:
    """A formula beside another side of the same circuit."""
    return Side(like.ring, like.numbers, tree)
