"""What may be missing at a place of a formula, found by its value.

Enters: the symbols of the answer, the structure of the right one. Leaves: a table from values in the prime field to
pieces, cheapest first. Must not know: where a piece is missing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import combinations
from typing import Any

from derive.expression.tree import (
    ONE,
    Expr,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    S,
    Sum,
    Sym,
    evaluate,
    negate,
    product,
    symbols,
)
from derive.hand.worth import Field, in_prime_field

MOST_SYMBOLS = 24
Piece = tuple[float, Expr]


def pieces(units: Mapping[str, str], parts: Iterable[Expr], point: Field) -> dict[int, Piece]:
    """Values at one point of the field, each with its cheapest piece. ``parts``: pieces of the right answer's form."""
    table: dict[int, Piece] = {}
    names = list(units)[:MOST_SYMBOLS]

    def enter(price: float, expr: Expr) -> None:
        try:
            value = evaluate(expr, point, number=in_prime_field)
        except (ZeroDivisionError, KeyError):
            return
        for sign, one in ((1, expr), (-1, negate(expr))):
            key = int(value if sign > 0 else -value)
            more = price if sign > 0 else price + 0.1
            if key not in table or table[key][0] > more:
                table[key] = (more, one)

    enter(0.1, ONE)
    for number in (2, 3, 10):
        enter(0.3, Num(Fraction(number)))
        enter(0.3, Num(Fraction(1, number)))
    singles = [_own(name, units[name]) for name in names]
    for one in singles:
        enter(0.0, one)
        enter(0.1, _over(ONE, one))
    for power in (S, Power(S, 2)):
        enter(0.3, power)
        enter(0.5, _over(ONE, power))
    for name in names:
        enter(0.3, Sym(name))
        if name.startswith("beta_"):
            more = Sum((Sym(name), ONE))
            for piece in (more, Quotient(Sym(name), more), Quotient(more, Sym(name)), Quotient(ONE, more)):
                enter(0.2, piece)
    for one, other in combinations(singles, 2):
        _enter_pair(enter, one, other)
    for part in parts:
        if symbols(part):
            enter(0.35 + 0.05 * len(symbols(part)), part)
            enter(0.5 + 0.05 * len(symbols(part)), _over(ONE, part))
    if len(names) <= 14:
        for three in combinations(singles, 3):
            enter(0.9, product(*three))
            for i in range(3):
                rest = product(*three[:i], *three[i + 1 :])
                enter(0.9, _over(rest, three[i]))
                enter(0.9, _over(three[i], rest))
    return table


def _enter_pair(enter: Any, one: Expr, other: Expr) -> None:
    enter(0.4, product(one, other))
    enter(0.45, _over(one, other))
    enter(0.45, _over(other, one))
    enter(0.7, _over(ONE, product(one, other)))
    enter(0.55, _over(one, Sum((one, other))))
    enter(0.55, _over(other, Sum((one, other))))
    enter(0.6, Sum((one, other)))
    enter(0.6, Parallel((one, other)))
    enter(0.6, Sum((ONE, product(one, other))))
    enter(0.65, _over(ONE, Sum((ONE, product(one, other)))))
    enter(0.6, Sum((ONE, _over(one, other))))
    enter(0.6, Sum((ONE, _over(other, one))))


def _own(name: str, unit: str) -> Expr:
    """What stands in a formula for a part: its impedance or slope; s with a capacitance or an inductance."""
    return Product((S, Sym(name))) if unit in ("F", "H", "s") else Sym(name)


def _over(above: Expr, below: Expr) -> Expr:
    return Quotient(above, below)


def values_of(expr: Expr, points: Sequence[Field]) -> list[Any]:
    """The value of an expression at several points. Raises ZeroDivisionError, KeyError."""
    return [evaluate(expr, point, number=in_prime_field) for point in points]
