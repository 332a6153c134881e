"""What an expression costs a reader to hold, and what makes one form worse than another of the same length.

Enters: trees. Leaves: prices, in units of one symbol. Must not know: how the trees were found, LaTeX.
The prices are common practice, no source: they rank forms as an engineer at the bench would.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from derive.expression.tree import MINUS_ONE, ONE, Expr, Num, Parallel, Power, Product, Quotient, Sum, Sym

NESTED = 0.7
"""A fraction within a fraction."""
PARALLEL_BELOW = 0.8
"""A parallel combination below the line."""
SHARED_ACROSS = 2.5
"""A parallel combination one of whose branches also stands on the other side of the line: (R1 ∥ R2)/R1."""
SHARED_BESIDE = 3.5
"""A parallel combination one of whose branches also stands as a factor beside it: g (R ∥ 1/g)."""
CANCELS = 0.6
"""A symbol below the line that also stands within a sum above it: (1 + g R)/g."""
BARE = 0.6
"""A reciprocal in a bracket that a factor stands before: R (g + 1/r), beside g R + R/r."""
RECIPROCAL = 1.7
"""1/(1 + a/b), beside b/(b + a)."""


@dataclass(frozen=True, slots=True)
class Price:
    """``cost``; the number of ``quotients``; the ``symbols`` outside parallel combinations; those of each of these."""

    cost: float
    quotients: int
    symbols: frozenset[str]
    parallels: tuple[frozenset[str], ...] = ()


def price(expr: Expr, parts: Sequence[Price], weight: Price | None = None) -> Price:
    """The price of a tree from the prices of its parts; ``weight`` is that of a symbol that stands for more."""
    inner = sum(part.cost for part in parts)
    quotients = sum(part.quotients for part in parts)
    names: frozenset[str] = frozenset().union(*(part.symbols for part in parts)) if parts else frozenset()
    parallels = tuple(group for part in parts for group in part.parallels)
    match expr:
        case Num(value):
            return Price(0.2 if abs(value) == 1 else 0.6, 0, names)
        case Sym(name):
            return weight or Price(0.7 if name == "s" else 1.0, 0, frozenset((name,)))
        case Power():
            return Price(inner + 0.3, quotients, names, parallels)
        case Sum(terms):
            return Price(inner + 0.15 * len(terms), quotients, names, parallels)
        case Product(factors):
            sums = [f for f in factors if isinstance(f, Sum)]
            scaled = len(factors) > 2 or factors[0] != MINUS_ONE
            brackets = 0.35 * len(sums) + BARE * scaled * sum(1 for f in sums for term in f.terms if _is_bare(term))
            minus = 0.2 if factors[0] == MINUS_ONE else 0.0
            alone = frozenset(f.name for f in factors if isinstance(f, Sym))
            beside = SHARED_BESIDE * _shared(parallels, alone, ()) if parallels else 0.0
            return Price(inner + brackets - minus + beside, quotients, names, parallels)
        case Quotient():
            return Price(inner + _division(expr, parts, quotients), quotients + 1, names, parallels)
        case Parallel(branches):
            # 1/g within a parallel combination is natural where it stands with resistances.
            cost = inner + 0.2 + 0.3 * sum(1 for b in branches if not isinstance(b, Sym))
            return Price(cost, 0, frozenset(), (names.union(*parallels),))
        case _:
            return Price(1.0, 0, names)


def _division(expr: Quotient, parts: Sequence[Price], quotients: int) -> float:
    above, below = parts
    extra = 0.2 - (0.1 if expr.above == ONE else 0.0) + NESTED * quotients
    extra += PARALLEL_BELOW * len(below.parallels)
    factors = expr.below.factors if isinstance(expr.below, Product) else (expr.below,)
    if isinstance(expr.above, Sum) and all(isinstance(factor, Sym) for factor in factors):
        extra += CANCELS * len(below.symbols & above.symbols)
    if above.parallels or below.parallels:
        shared = _shared(below.parallels, above.symbols, above.parallels)
        shared += _shared(above.parallels, below.symbols, ())
        extra += SHARED_ACROSS * shared
    if expr.above == ONE and isinstance(expr.below, Sum) and ONE in expr.below.terms:
        extra += RECIPROCAL if any(isinstance(term, Quotient) for term in expr.below.terms) else 0.0
    return extra


def _is_bare(term: Expr) -> bool:
    return isinstance(term, Quotient) and term.above == ONE


def _shared(parallels: Sequence[frozenset[str]], names: frozenset[str], others: Sequence[frozenset[str]]) -> int:
    """How many parallel combinations share a branch with the names, or with another combination than themselves."""
    return sum(
        1
        for group in parallels
        if not group.isdisjoint(names) or any(group != other and not group.isdisjoint(other) for other in others)
    )
