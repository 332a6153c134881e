"""The imaginary unit taken into s: jω is s.

Enters: a tree with the symbol j in it. Leaves: a tree in s without it, or None where j is left over.
Must not know: circuits.

Where j stands, an even power of ω is one of s as well: 1 - ω²LC + jωRC is 1 + s²LC + sRC.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.expression.tree import (
    ONE,
    Call,
    Expr,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    S,
    Sum,
    Sym,
    is_negative,
    negate,
    symbols,
)
from derive.hand.readings import settle

J = Sym("j")
"""The imaginary unit, which no symbol of a circuit can be called."""
_W, _F, _TWO, _PI = Sym("w"), Sym("f"), Num(Fraction(2)), Sym("pi")

Turned = tuple[int, Expr]
"""A power of j, and what it multiplies."""


def without_j(expr: Expr) -> Expr | None:
    """The tree in s, None where j cannot be taken into it.

    >>> without_j(Product((J, _W, Sym("C1"))))
    Product(factors=(Sym(name='s'), Sym(name='C1')))
    """
    if J.name not in symbols(expr):
        return expr
    found = _fold(expr)
    return None if found is None else _settled(found)


def _fold(expr: Expr) -> Turned | None:
    match expr:
        case Sym():
            return (1, ONE) if expr == J else (0, expr)
        case Product(factors):
            return _fold_product(factors)
        case Quotient(above, below):
            upper, lower = _fold(above), _fold(below)
            if upper is None or lower is None:
                return None
            return _eager(upper[0] - lower[0], settle(Quotient(upper[1], lower[1])))
        case Power(base, exponent):
            if base == _W and exponent % 2 == 0:
                return _eager(-exponent, Power(S, exponent))
            inner = _fold(base)
            return None if inner is None else _eager(inner[0] * exponent, Power(inner[1], exponent))
        case Sum(terms):
            together = _fold_terms(terms)
            return None if together is None else (together[0], Sum(together[1]))
        case Parallel(branches):
            together = _fold_terms(branches)
            return None if together is None else (together[0], Parallel(together[1]))
        case Call(function, argument):
            inside = _fold(argument)
            if inside is None:
                return None
            settled = inside[1] if function == "abs" else _settled(inside)
            return None if settled is None else (0, Call(function, settled))
        case _:
            return 0, expr


def _fold_product(factors: tuple[Expr, ...]) -> Turned | None:
    turns, kept = 0, list[Expr]()
    for factor in factors:
        found = _fold(factor)
        if found is None:
            return None
        turns, value = turns + found[0], found[1]
        if is_negative(value):
            turns, value = turns + 2, negate(value)
        if value != ONE:
            kept.append(value)
    return _eager(turns, _product(kept))


def _fold_terms(terms: tuple[Expr, ...]) -> tuple[int, tuple[Expr, ...]] | None:
    """Terms with one power of j before them all: none, where each can do without."""
    found = [_fold(term) for term in terms]
    turned = [pair for pair in found if pair is not None]
    if len(turned) < len(found):
        return None
    settled = [_settled(pair) for pair in turned]
    whole = tuple(term for term in settled if term is not None)
    if len(whole) == len(turned):
        return 0, whole
    if len({turns % 4 for turns, _ in turned}) == 1:
        return turned[0][0], tuple(term for _, term in turned)
    return None


def _eager(turns: int, expr: Expr) -> Turned:
    settled = _settled((turns, expr))
    return (turns % 4, expr) if settled is None else (0, settled)


def _settled(turned: Turned) -> Expr | None:
    """The tree where its power of j is a sign, or goes into s."""
    turns, expr = turned[0] % 4, turned[1]
    if turns % 2:
        absorbed = _times_j(expr)
        if absorbed is None:
            return None
        turns, expr = turns - 1, absorbed
    return settle(negate(expr)) if turns == 2 else expr


def _times_j(expr: Expr) -> Expr | None:
    """j times the tree, as a tree in s."""
    match expr:
        case Sym():
            return S if expr == _W else Quotient(S, Product((_TWO, _PI))) if expr == _F else None
        case Product(factors):
            return _product_times_j(factors)
        case Quotient(above, below):
            upper = _times_j(above)
            if upper is not None:
                return Quotient(upper, below)
            lower = _times_j(below)
            return None if lower is None else settle(Quotient(negate(above), lower))
        case Power(base, exponent) if base == _W and exponent % 2:
            return Power(S, exponent) if exponent % 4 == 1 else settle(negate(Power(S, exponent)))
        case Sum(terms):
            found = _all_times_j(terms)
            return None if found is None else Sum(found)
        case Parallel(branches):
            found = _all_times_j(branches)
            return None if found is None else Parallel(found)
    return None


def _product_times_j(factors: tuple[Expr, ...]) -> Expr | None:
    if all(part in factors for part in (_TWO, _PI, _F)):
        kept = list(factors)
        kept[kept.index(_F)] = S
        kept.remove(_TWO)
        kept.remove(_PI)
        return _product(kept)
    for place, factor in enumerate(factors):
        absorbed = _times_j(factor)
        if absorbed is not None:
            return settle(_product([*factors[:place], absorbed, *factors[place + 1 :]]))
    return None


def _all_times_j(terms: Sequence[Expr]) -> tuple[Expr, ...] | None:
    found = [absorbed for term in terms if (absorbed := _times_j(term)) is not None]
    return tuple(found) if len(found) == len(terms) else None


def _product(factors: list[Expr]) -> Expr:
    return ONE if not factors else factors[0] if len(factors) == 1 else Product(tuple(factors))
