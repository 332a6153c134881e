"""Parts of a form that have a number of their own: 1/gm, parallel combinations, brackets, gm R.

Enters: a form. Leaves: parts with their numbers. Must not know: how the form was found, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from derive.expression.tree import ONE, Call, Expr, Name, Parallel, Product, Quotient, S, Sum, Sym, walk
from derive.expression.tree import evaluate as value_of
from derive.forms.laurent import Style
from derive.structure.records import Written
from derive.structure.units import unit_of, with_betas


def subexpressions(
    style: Style, found: Written, numbers: Mapping[str, Fraction], most: int
) -> tuple[tuple[Expr, Fraction, str], ...]:
    """Parts of a form that have a number worth knowing: 1/gm, parallel combinations, brackets; the innermost last."""
    values = with_betas(numbers)
    known = {piece.tree for piece in found.pieces}
    made: dict[Expr, tuple[Expr, Fraction, str]] = {}
    for tree in (found.tree, *(piece.tree for piece in found.pieces)):
        for part in walk(tree):
            if part in known or part is tree or any(isinstance(p, Name | Call) or p == S for p in walk(part)):
                continue
            bare = isinstance(part, Quotient) and part.above == ONE and isinstance(part.below, Sym)
            gain = isinstance(part, Sym) and part.name.startswith("beta_")
            if bare or gain or isinstance(part, Parallel | Sum):
                unit = unit_of(style, part)
                if unit is not None:
                    made.setdefault(part, (part, Fraction(value_of(part, values)), unit))
        for part in walk(tree):
            # g R, where a transconductance meets a resistance in a product.
            if isinstance(part, Product) and not any(isinstance(p, Name | Call) or p == S for p in walk(part)):
                unit = unit_of(style, part)
                if unit == "1" and part is not tree:
                    made.setdefault(part, (part, Fraction(value_of(part, values)), "1"))
    return tuple(list(made.values())[:most])


