"""An answer over named coefficients of s, written in one piece.

Enters: a tree over names, and the tree that each name stands for. Leaves: one tree.
Must not know: how the coefficients were found, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping

from derive.expression.tree import (
    MINUS_ONE,
    ONE,
    Expr,
    Name,
    Power,
    Product,
    Quotient,
    S,
    Sum,
    is_negative,
    negate,
    product,
    quotient,
    total,
)


def in_one_piece(tree: Expr, trees: Mapping[Expr, Expr]) -> Expr:
    """The tree over named coefficients with what they stand for put in."""

    def put(expr: Expr) -> Expr:
        match expr:
            case Name():
                return trees[expr]
            case Sum(terms):
                return total(*(put(term) for term in terms))
            case Product(factors):
                return _times_in_order([put(factor) for factor in factors])
            case Quotient(upper, lower):
                return _over(put(upper), put(lower))
            case _:
                return expr

    match tree:
        case Quotient(Product((Name() as lead, rest)), Sum() as below) if isinstance(trees[lead], Quotient):
            # The leading value is a fraction of its own: g1/g2 · (1 - s τ1)/(1 + s τ2).
            value = trees[lead]
            sign, size = (MINUS_ONE, negate(value)) if is_negative(value) else (ONE, value)
            return product(sign, size, quotient(put(rest), put(below)))
        case _:
            return put(tree)


def _times_in_order(factors: list[Expr]) -> Expr:
    """A product with powers of s behind pure numbers and before everything else, quotients merged."""
    upper: Expr = ONE
    lower: Expr = ONE
    for factor in sorted(factors, key=lambda f: not (f == S or (isinstance(f, Power) and f.base == S))):
        if isinstance(factor, Quotient):
            upper, lower = product(upper, factor.above), product(lower, factor.below)
        else:
            upper = product(upper, factor)
    return quotient(upper, lower)


def _over(upper: Expr, lower: Expr) -> Expr:
    match upper:
        case Quotient(above, below):
            return quotient(above, product(below, lower))
        case _:
            return quotient(upper, lower)
