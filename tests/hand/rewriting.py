"""Formulas written otherwise: random steps of algebra, each an identity.

Enters: a formula, a source of chance. Leaves: an equal formula. Shares no code with what judges.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from random import Random

from derive.expression.tree import (
    ONE,
    Expr,
    Num,
    Parallel,
    Product,
    Quotient,
    Sum,
    Sym,
    children,
    negate,
    product,
)
from tests.hand.slipping import rebuilt


def rewritten(tree: Expr, names: Sequence[str], source: Random, steps: int) -> Expr:
    """The formula after some steps at random places. ``names``: symbols that may come in and cancel."""
    for _ in range(steps):
        tree = _somewhere(tree, source, names)
    return tree


def _somewhere(expr: Expr, source: Random, names: Sequence[str]) -> Expr:
    parts = children(expr)
    if parts and source.random() < 0.75:
        place = source.randrange(len(parts))
        new = _somewhere(parts[place], source, names)
        return rebuilt(expr, (*parts[:place], new, *parts[place + 1 :]))
    return source.choice(_ways(expr, source, names))


def _ways(expr: Expr, source: Random, names: Sequence[str]) -> list[Expr]:
    """Some equal formulas."""
    other = Sym(source.choice(names))
    two = Num(Fraction(2))
    ways: list[Expr] = [
        Quotient(Product((expr, other)), other),
        Quotient(ONE, Quotient(ONE, expr)),
        Sum((expr, other, negate(other))),
        Quotient(Product((two, expr)), two),
        Parallel((Product((two, expr)), Product((two, expr)))),
        Sum((Quotient(expr, two), Quotient(expr, two))),
    ]
    match expr:
        case Sum(terms):
            ways += [Sum(tuple(source.sample(terms, len(terms))))] * 3
            ways.append(Product((terms[0], Sum((ONE, *(Quotient(t, terms[0]) for t in terms[1:]))))))
        case Product(factors):
            ways += [Product(tuple(source.sample(factors, len(factors))))] * 3
            for place, factor in enumerate(factors):
                if isinstance(factor, Sum):
                    rest = (*factors[:place], *factors[place + 1 :])
                    ways += [Sum(tuple(product(*rest, term) for term in factor.terms))] * 3
        case Quotient(above, below):
            ways += [Product((above, Quotient(ONE, below)))]
            if isinstance(above, Sum):
                ways += [Sum(tuple(Quotient(term, below) for term in above.terms))] * 2
        case Parallel(branches):
            ways += [Parallel(tuple(source.sample(branches, len(branches))))] * 2
            ways += [Quotient(ONE, Sum(tuple(Quotient(ONE, b) for b in branches)))] * 2
            if len(branches) == 2:
                ways += [Quotient(Product(branches), Sum(branches))] * 3
        case Sym(name) if name.startswith("beta_"):
            owner = name.removeprefix("beta_")
            ways += [Product((Sym(f"gm_{owner}"), Sym(f"rpi_{owner}")))] * 3
    return ways
