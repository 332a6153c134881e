"""From a tree in the author's names to one in the circuit's, definitions put in.

Enters: a tree, what its names stand for. Leaves: a tree of bounded size, or an ExpressionError in words.
Must not know: how a text is read.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from derive.expression.limits import DEEPEST_TREE
from derive.expression.tree import (
    Call,
    Expr,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    children,
    evaluate,
    symbols,
    walk,
)

MOST_NODES = 4000
_PRIME = 2**61 - 1  # a Mersenne prime: no formula divides by zero there by chance


def measure(expr: Expr, meanings: Mapping[str, Expr], values: Mapping[Expr, Expr]) -> tuple[int, int]:
    """How many nodes the tree will have with definitions put in, and how deep it will be."""
    if isinstance(expr, Sym):
        value = values.get(meanings.get(expr.name, expr))
        return (1, 1) if value is None else measure(value, {}, {})
    found = [measure(child, meanings, values) for child in children(expr)]
    return 1 + sum(size for size, _ in found), 1 + max((depth for _, depth in found), default=0)


def is_too_large(size: int, depth: int) -> bool:
    return size > MOST_NODES or depth > DEEPEST_TREE


def put(expr: Expr, meanings: Mapping[str, Expr], values: Mapping[Expr, Expr]) -> Expr:
    """The tree with each name as what it stands for: a symbol, or the value of a definition (a ``Name``)."""

    def rename(atom: Expr) -> Expr:
        meaning = meanings.get(atom.name, atom) if isinstance(atom, Sym) else atom
        return values.get(meaning, meaning)

    return _map(expr, rename)


def _map(expr: Expr, change: Callable[[Expr], Expr]) -> Expr:
    match expr:
        case Sum(terms):
            return Sum(tuple(_map(term, change) for term in terms))
        case Product(factors):
            return Product(tuple(_map(factor, change) for factor in factors))
        case Parallel(branches):
            return Parallel(tuple(_map(branch, change) for branch in branches))
        case Quotient(above, below):
            return Quotient(_map(above, change), _map(below, change))
        case Power(base, exponent):
            return Power(_map(base, change), exponent)
        case Call(function, argument):
            return Call(function, _map(argument, change))
    return change(expr)


def divides_by_zero(expr: Expr) -> bool:
    """Whether it divides by what vanishes for all values: R1 - R1, or a number that is zero.

    By one random point of a prime field (see derive.forms.trial for the chance of an error); a root or a logarithm
    is taken as a number of its own there.
    """
    try:
        _in_field(expr, 1)
    except ZeroDivisionError:
        return True
    return False


def equal(left: Expr, right: Expr) -> bool:
    """Whether two trees have the same value: exactly at random points of a prime field, or to ten digits with roots."""
    if any(isinstance(part, Call) for part in (*walk(left), *walk(right))):
        return _nearly_equal(left, right)
    try:
        return all(bool(_in_field(left, seed) == _in_field(right, seed)) for seed in (1, 2))
    except ZeroDivisionError:
        return False


def _in_field(expr: Expr, salt: int) -> Any:
    from flint import nmod

    # Each name has its number by itself, whatever else stands in the tree.
    values = {name: nmod(random.Random(f"{salt} {name}").randrange(1, _PRIME), _PRIME) for name in symbols(expr)}

    def number(value: Fraction) -> Any:
        return nmod(value.numerator, _PRIME) / nmod(value.denominator, _PRIME)

    def opaque(function: str) -> Callable[[Any], Any]:
        return lambda value: nmod(random.Random(f"{salt} {function} {value}").randrange(1, _PRIME), _PRIME)

    return evaluate(expr, values, {name: opaque(name) for name in ("sqrt", "log10", "abs")}, number)


def _nearly_equal(left: Expr, right: Expr) -> bool:
    import mpmath

    def number(value: Fraction) -> Any:
        return mpmath.mpf(value.numerator) / value.denominator

    functions = {"sqrt": mpmath.sqrt, "log10": mpmath.log10, "abs": abs}
    names = sorted(symbols(left) | symbols(right))
    with mpmath.workdps(40):
        for seed in (1, 2):
            source = random.Random(seed)
            values = {name: mpmath.mpf(source.randrange(10**6, 10**7)) / 10**6 for name in names}
            try:
                a, b = (evaluate(side, values, functions, number) for side in (left, right))
            except (ZeroDivisionError, ValueError, OverflowError):
                return False
            if abs(a - b) > 1e-20 * (abs(a) + abs(b)):
                return False
    return True
