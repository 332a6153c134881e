"""The slips that are made at one place of a formula, and what would be right there.

Enters: a part of a formula, the symbols of the circuit. Leaves: changes, each with the slip that it undoes and how
little plausible it is (a price; the order is common practice, no source). Must not know: whether a change helps.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from derive.expression.tree import (
    ONE,
    Call,
    Expr,
    Num,
    Parallel,
    Product,
    Quotient,
    Sum,
    Sym,
    children,
    is_negative,
    negate,
    product,
    quotient,
    symbols,
    total,
)
from derive.hand.substitute import Place, places

SIGN, TURNED, BESIDE, SLOPE, FACTOR, SYMBOL, EXTRA = 1.0, 1.3, 1.2, 1.15, 1.5, 1.6, 1.7
MOST_TOGETHER = 6
"""Terms of a sum up to which all groups of them are tried in parallel."""
TWO, TEN = Num(Fraction(2)), Num(Fraction(10))


@dataclass(frozen=True)
class Change:
    """``here`` at ``place`` becomes ``there``. ``told``: the pair that the words name, where that is less than the
    whole."""

    slip: str
    price: float
    place: Place
    here: Expr
    there: Expr
    told: tuple[Expr | None, Expr | None] | None = None


def changes(formula: Expr, units: Mapping[str, str]) -> Iterator[Change]:
    """All changes at all places. ``units`` of the symbols that the answer holds."""
    found = dict(places(formula))
    for place, part in found.items():
        above = found.get(place[:-1]) if place else None
        yield from _signs(place, part, above)
        yield from _turned(place, part)
        yield from _beside(place, part)
        yield from _slopes(place, part)
        yield from _factors(place, part, units)
        yield from _symbols(place, part, units)
        yield from _extra(place, part)


def _signs(place: Place, part: Expr, above: Expr | None) -> Iterator[Change]:
    if above is None or isinstance(above, Sum):
        yield Change("sign", SIGN, place, part, negate(part))


def _turned(place: Place, part: Expr) -> Iterator[Change]:
    """Fractions upside down. The whole formula upside down is a slip of its own kind."""
    if not place:
        there = _upside_down(part) if isinstance(part, Quotient) else Quotient(ONE, part)
        yield Change("reciprocal", 1.25, place, part, there)
    elif isinstance(part, Quotient) and not isinstance(part.above, Num):
        yield Change("inverted", TURNED, place, part, _upside_down(part))
    if isinstance(part, Quotient) and place and isinstance(part.above, Num):
        yield Change("inverted", TURNED + 0.2, place, part, _upside_down(part))


def _upside_down(part: Quotient) -> Expr:
    """The fraction upside down, its minus sign still in front."""
    if is_negative(part.above):
        return negate(Quotient(part.below, negate(part.above)))
    return Quotient(part.below, part.above)


def _beside(place: Place, part: Expr) -> Iterator[Change]:
    """Series for parallel, and back: of all, or of some of the parts; and of a product over a sum."""
    if isinstance(part, Sum | Parallel):
        kind, other = ("series", Parallel) if isinstance(part, Sum) else ("parallel", Sum)
        yield Change(kind, BESIDE, place, part, other(children(part)))
        count = len(children(part))
        for size in range(2, count if count <= MOST_TOGETHER else 3):
            for pair in combinations(range(count), size):
                chosen = tuple(children(part)[i] for i in pair)
                rest = tuple(p for i, p in enumerate(children(part)) if i not in pair)
                there = type(part)((*rest, other(chosen)))
                yield Change(kind, BESIDE + 0.2, place, part, there, (type(part)(chosen), other(chosen)))
    match part:
        case Quotient(Product(factors), Sum(terms)) if sorted(map(str, factors)) == sorted(map(str, terms)):
            yield Change("parallel", BESIDE, place, part, part.below)


def _slopes(place: Place, part: Expr) -> Iterator[Change]:
    """gm where 1/gm belongs, and back."""
    match part:
        case Sym(name) if name.startswith("gm"):
            yield Change("gm", SLOPE, place, part, Quotient(ONE, part))
        case Quotient(above, Sym(name)) if name.startswith("gm"):
            there = product(above, part.below)
            yield Change("gm", SLOPE, place, part, there, (Quotient(ONE, part.below), part.below))
        case Product(factors):
            for i, factor in enumerate(factors):
                if isinstance(factor, Sym) and factor.name.startswith("gm"):
                    rest = product(*factors[:i], *factors[i + 1 :])
                    told = (factor, Quotient(ONE, factor))
                    yield Change("gm", SLOPE + 0.01, place, part, Quotient(rest, factor), told)


def _factors(place: Place, part: Expr, units: Mapping[str, str]) -> Iterator[Change]:
    """Factors that are forgotten or written too often: two, ten, and what a transistor's beta brings."""
    for name in [name for name in units if name.startswith("beta_")]:
        beta: Expr = Sym(name)
        more = Sum((beta, ONE))
        if part == beta:
            yield Change("factor", SLOPE, place, part, more)
        if isinstance(part, Sum) and beta in part.terms and ONE in part.terms:
            yield Change("factor", SLOPE, place, part, total(*(t for t in part.terms if t != ONE)), (more, beta))
        for factor in (beta, more, Quotient(beta, more)):
            yield Change("factor", FACTOR, place, part, product(factor, part), (None, factor))
            yield Change("factor", FACTOR, place, part, Quotient(part, factor), (factor, None))
    for number, price in ((TWO, FACTOR - 0.05), (TEN, FACTOR + 0.4)):
        yield Change("factor", price, place, part, product(number, part), (None, number))
        yield Change("factor", price, place, part, Quotient(part, number), (number, None))


def _symbols(place: Place, part: Expr, units: Mapping[str, str]) -> Iterator[Change]:
    """One symbol for another of the same unit."""
    if isinstance(part, Sym) and part.name in units:
        for name, unit in units.items():
            if unit == units[part.name] and name != part.name:
                yield Change("symbol", SYMBOL, place, part, Sym(name))


def _extra(place: Place, part: Expr) -> Iterator[Change]:
    """A term, a branch or a factor too many."""
    if isinstance(part, Sum | Parallel | Product) and len(children(part)) > 1:
        for i, one in enumerate(children(part)):
            rest = (*children(part)[:i], *children(part)[i + 1 :])
            if one == Num(Fraction(-1)) and isinstance(part, Product):
                continue
            there = product(*rest) if isinstance(part, Product) else type(part)(rest) if len(rest) > 1 else rest[0]
            pure = isinstance(part, Product) and is_bare_factor(one)
            slip, price = ("factor", FACTOR - 0.1) if pure else ("extra", EXTRA + 0.1 * (len(symbols(one)) - 1))
            yield Change(slip, price, place, part, there, (one, None))
    if isinstance(part, Quotient) and symbols(part.below):
        pure = is_bare_factor(part.below)
        below = (Quotient(ONE, part.below), None)
        yield Change("factor" if pure else "extra", FACTOR if pure else EXTRA + 0.1, place, part, part.above, below)
        if isinstance(part.below, Product):
            for i, one in enumerate(part.below.factors):
                left = product(*part.below.factors[:i], *part.below.factors[i + 1 :])
                pure = is_bare_factor(one)
                lighter = quotient(part.above, left)
                yield Change(
                    "factor" if pure else "extra", FACTOR if pure else EXTRA + 0.05, place, part, lighter,
                    (Quotient(ONE, one), None),
                )  # fmt: skip


def is_bare_factor(expr: Expr) -> bool:
    """A number, or something made of beta alone."""
    if any(isinstance(p, Call) for _, p in places(expr)):
        return False
    return all(name.startswith("beta_") for name in symbols(expr))
