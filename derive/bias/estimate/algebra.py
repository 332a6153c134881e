"""Trees of an estimate: sums in an order that reads well, and their numbers.

Enters: trees and numbers. Leaves: trees, numbers. Must not know: circuits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import log10, sqrt
from typing import Any

from derive.expression.tree import Expr, Sum, evaluate, is_negative, negate, total

FUNCTIONS: dict[str, Callable[[Any], Any]] = {"sqrt": sqrt, "log10": log10, "abs": abs}


def difference(upper: Expr, lower: Expr) -> Expr:
    """upper - lower, without zeros and with what is positive in front.

    >>> from derive.expression.tree import ZERO, Volt
    >>> difference(Volt("a"), ZERO)
    Volt(node='a')
    """
    return total(*sorted((upper, minus(lower)), key=is_negative))


def minus(expr: Expr) -> Expr:
    """Minus an expression, a sum term by term, what is then positive in front.

    >>> from derive.expression.tree import Volt
    >>> minus(difference(Volt("a"), Volt("b"))) == difference(Volt("b"), Volt("a"))
    True
    """
    if not isinstance(expr, Sum):
        return negate(expr)
    return total(*sorted((negate(term) for term in expr.terms), key=is_negative))


def gather(terms: Iterable[tuple[int, Expr]]) -> Expr:
    """A sum of terms with their signs, what is added before what is taken away."""
    terms = list(terms)
    added = [term for sign, term in terms if sign > 0]
    taken = [negate(term) for sign, term in terms if sign < 0]
    return total(*added, *taken)


def number_of(expr: Expr, values: Mapping[Any, Any]) -> float:
    """The number of an expression. Raises KeyError for a quantity without a number, ZeroDivisionError, ValueError."""
    return float(evaluate(expr, values, FUNCTIONS, float))
