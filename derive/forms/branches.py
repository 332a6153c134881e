"""Branches in parallel out of a sum of admittances, with a number common to all of them in front.

Enters: a sum of admittances. Leaves: a tree, equal to its reciprocal. Must not know: how the sum was found, LaTeX.
"""

from __future__ import annotations

from derive.expression.tree import ONE, Expr, Parallel, Product, Quotient, Sum, Sym, product, quotient
from derive.forms.laurent import Style
from derive.forms.sums import multiply, parallel_of


def in_parallel(style: Style, admittances: Sum) -> Expr:
    """The parallel combination of what a sum of admittances stands for; a number common to all branches in front."""
    branches: list[Expr] = []
    for term in admittances.terms:
        match term:
            case Quotient(above, below) if above == ONE:
                branches += below.branches if isinstance(below, Parallel) else (below,)
            case Quotient(above, below):
                branches.append(quotient(below, above))
            case _:
                branches.append(quotient(ONE, term))
    shared = [f for f in _upper(branches[0]) if _is_number(style, f) and all(f in _upper(b) for b in branches)]
    return multiply(product(*shared), parallel_of(style, [_without(branch, shared) for branch in branches]))


def _upper(expr: Expr) -> tuple[Expr, ...]:
    """The factors above the line."""
    above = expr.above if isinstance(expr, Quotient) else expr
    return above.factors if isinstance(above, Product) else (above,)


def _without(expr: Expr, shared: list[Expr]) -> Expr:
    kept = product(*(factor for factor in _upper(expr) if factor not in shared))
    return quotient(kept, expr.below) if isinstance(expr, Quotient) else kept


def _is_number(style: Style, sum_: Expr) -> bool:
    """Whether a sum is without unit: one of its terms is a number or a current gain."""
    gains = {beta for *_, beta in style.betas}
    terms = sum_.terms if isinstance(sum_, Sum) else ()
    return any(term == ONE or (isinstance(term, Sym) and term.name in gains) for term in terms)
