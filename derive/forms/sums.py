"""A sum of monomials written with the fewest symbols: common symbols pulled out, conductances in parallel.

Enters: a Laurent sum. Leaves: a tree. Must not know: what the sum is part of, LaTeX.
"""

from __future__ import annotations

from functools import lru_cache

from derive.algebra.ring import Exponents
from derive.expression.tree import ONE, Expr, Parallel, Quotient, Sum, Sym, negate, product, quotient
from derive.forms.laurent import Laurent, Style, common, in_order, monomial, over, sum_in_order

MOST_GROUPS = 5
"""Symbols tried as common factors of a sum: those that most of its terms share."""
LARGEST = 12
"""Terms above which a sum is written as it is."""


def write_sum(style: Style, sum_: Laurent) -> Expr:
    """The cheapest tree found for the sum; equal to it by construction."""
    return _best(style, tuple(sorted(sum_.items())))


@lru_cache(maxsize=20_000)
def _best(style: Style, items: tuple[tuple[Exponents, int], ...]) -> Expr:
    sum_ = dict(items)
    if len(sum_) == 1:
        ((exponents, coefficient),) = sum_.items()
        return monomial(style, exponents, coefficient)
    if all(c < 0 for c in sum_.values()):
        return negate(_best(style, tuple((e, -c) for e, c in items)))
    candidates = [_flat(style, sum_)]
    shared = common(sum_)
    if any(shared):
        inner = _best(style, tuple(sorted((over(e, shared), c) for e, c in sum_.items())))
        candidates.append(_scaled(style, shared, inner))
    if len(sum_) <= LARGEST:
        candidates += _grouped(style, sum_)
        candidates += _bracketed(style, sum_)
    conductance = _parallel(style, sum_)
    if conductance is not None:
        candidates.append(conductance)
    return min(candidates, key=lambda e: round(style.cost(e), 6))


def _flat(style: Style, sum_: Laurent) -> Expr:
    return sum_in_order(style, [(e, monomial(style, e, c)) for e, c in sum_.items()])


def _scaled(style: Style, factor: Exponents, inner: Expr) -> Expr:
    """A monomial times a bracket: what is below the line of the monomial stays below."""
    above = tuple(max(e, 0) for e in factor)
    below = tuple(max(-e, 0) for e in factor)
    return multiply(quotient(monomial(style, above), monomial(style, below)), inner)


def multiply(left: Expr, right: Expr) -> Expr:
    """The product as one fraction."""
    match left, right:
        case Quotient(above, below), Quotient(other_above, other_below):
            return quotient(product(above, other_above), product(below, other_below))
        case Quotient(above, below), _:
            return quotient(product(above, right), below)
        case _, Quotient(above, below):
            return quotient(product(left, above), below)
        case _:
            return product(left, right)


def _grouped(style: Style, sum_: Laurent) -> list[Expr]:
    """For each symbol that two terms or more share: those terms over the symbol, and the rest."""
    found = []
    width = len(next(iter(sum_)))
    shared_by = [(sum(1 for e in sum_ if e[i] * sign > 0), i, sign) for i in range(width) for sign in (1, -1)]
    useful = [item for item in shared_by if 2 <= item[0] < len(sum_)]
    for _, i, sign in sorted(useful, key=lambda item: -item[0])[:MOST_GROUPS]:
        inside = {e: c for e, c in sum_.items() if e[i] * sign > 0}
        shared = _held_by_all(inside)
        rest = {e: c for e, c in sum_.items() if e not in inside}
        inner = _best(style, tuple(sorted((over(e, shared), c) for e, c in inside.items())))
        group = _scaled(style, shared, inner)
        largest = max(inside, key=style.size)
        parts: list[tuple[Exponents | None, Expr]] = [(largest, group)]
        other = _best(style, tuple(sorted(rest.items())))
        terms = other.terms if isinstance(other, Sum) else (other,)
        parts += [(max(rest, key=style.size), term) for term in terms]
        found.append(sum_in_order(style, parts))
    return found


def _held_by_all(sum_: Laurent) -> Exponents:
    """What stands in every term on the same side of the line."""
    columns = [(min(column), max(column)) for column in zip(*sum_, strict=True)]
    return tuple(low if low > 0 else high if high < 0 else 0 for low, high in columns)


def _bracketed(style: Style, sum_: Laurent) -> list[Expr]:
    """(x + y) · inner + rest, or inner/(x ∥ y) + rest, where two symbols or more stand with the same inner sum."""
    inner_of: dict[tuple[int, frozenset[tuple[Exponents, int]]], list[int]] = {}
    width = len(next(iter(sum_)))
    for i in range(1, width):
        for sign in (1, -1) if style.laws[i] == "resistance" else (1,):
            inside = {_moved(e, i, -sign): c for e, c in sum_.items() if e[i] == sign}
            if len(inside) > (1 if sign > 0 else 0):
                inner_of.setdefault((sign, frozenset(inside.items())), []).append(i)
    found = []
    for (sign, inner), places in inner_of.items():
        if len(places) < 2 or any(e[i] for e, _ in inner for i in places):
            continue
        symbols = [Sym(style.ring.names[i]) for i in sorted(places, key=lambda i: style.place[i])]
        bracket: Expr = Sum(tuple(symbols)) if sign > 0 else Quotient(ONE, Parallel(tuple(symbols)))
        other = _best(style, tuple(sorted(inner)))
        group = multiply(bracket, other) if sign > 0 else multiply(other, bracket)
        taken = {_moved(e, i, sign) for e, _ in inner for i in places}
        rest = {e: c for e, c in sum_.items() if e not in taken}
        parts: list[tuple[Exponents | None, Expr]] = [(max(taken, key=style.size), group)]
        if rest:
            other = _best(style, tuple(sorted(rest.items())))
            terms = other.terms if isinstance(other, Sum) else (other,)
            parts += [(max(rest, key=style.size), term) for term in terms]
        found.append(sum_in_order(style, parts))
    return found


def _moved(exponents: Exponents, place: int, step: int) -> Exponents:
    return tuple(e + step if i == place else e for i, e in enumerate(exponents))


def _parallel(style: Style, sum_: Laurent) -> Expr | None:
    """A sum of bare conductances 1/R as one over the parallel combination; not for transconductances alone."""
    branches = [single_impedance(style, e, c) for e, c in sum_.items()]
    if any(branch is None for branch in branches) or not any(isinstance(b, Sym) for b in branches):
        return None
    return Quotient(ONE, Parallel(in_order(style, [b for b in branches if b is not None])))


def single_impedance(style: Style, exponents: Exponents, coefficient: int) -> Expr | None:
    """R for the admittance 1/R, 1/g for a conductance g; None for anything else."""
    if coefficient != 1:
        return None
    places = [i for i, e in enumerate(exponents) if e]
    if len(places) != 1 or places[0] == 0:
        return None
    symbol, law, power = Sym(style.ring.names[places[0]]), style.laws[places[0]], exponents[places[0]]
    if law == "resistance" and power == -1:
        return symbol
    if law == "conductance" and power == 1:
        return Quotient(ONE, symbol)
    return None


def parallel_of(style: Style, branches: list[Expr]) -> Expr:
    return Parallel(in_order(style, branches))
