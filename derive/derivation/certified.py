"""Certified bounds for the short form of an answer.

Enters: a short form, tolerances. Leaves: it with its bounds. Must not know: LaTeX, pages, how bounds are proved.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from derive.algebra.convert import ratio_of
from derive.approximate.certify import Subject, prove
from derive.approximate.certify_sides import Sides, TooMany, sides_of_ratio
from derive.approximate.ground import Ground
from derive.derivation.records import Shortened
from derive.errors import ExpressionError
from derive.expression.tree import Call, Expr, Name, Parallel, Power, Product, Quotient, Sum, children


def with_bounds(found: Shortened | None, ground: Ground, tolerances: Mapping[str, Fraction]) -> Shortened | None:
    """The short form with its certified bounds; as it is where nothing was left out."""
    if found is None or found.short.exact:
        return found

    def sides(names: tuple[str, ...]) -> Sides:
        try:
            return sides_of_ratio(ratio_of(written_out(found), ground.ring), names, ground.numbers)
        except ExpressionError:
            raise TooMany("the form cannot be multiplied out") from None

    subject = Subject(found.short.spectrum, found.short.error.worst, sides)
    return replace(found, certified=prove(found.exact, subject, ground, tolerances))


def written_out(found: Shortened) -> Expr:
    """The form with the names of its pieces replaced by what they stand for."""
    trees: Mapping[Expr, Expr] = {piece.name: piece.tree for piece in found.short.written.pieces}

    def put(expr: Expr) -> Expr:
        if isinstance(expr, Name):
            return put(trees[expr]) if expr in trees else expr
        parts = tuple(put(child) for child in children(expr))
        match expr:
            case Sum() | Product() | Parallel():
                return type(expr)(parts)
            case Quotient():
                return Quotient(*parts)
            case Power(_, exponent):
                return Power(parts[0], exponent)
            case Call(function, _):
                return Call(function, parts[0])
            case _:
                return expr

    return put(found.short.written.tree)
