"""Resistances that an answer holds only in parallel or only in series, taken as one symbol.

Enters: a ratio in lowest terms. Leaves: the same ratio in fewer symbols, and what the symbols stand for.
Must not know: how the ratio is written, LaTeX.

R1 and R2 stand only in parallel when the ratio for R2 infinite, with R1 ∥ R2 put for R1, is the ratio itself;
only in series (capacitances: only in parallel) when the ratio for R2 zero, with R1 + R2 put for R1, is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import combinations
from math import comb

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents
from derive.expression.tree import Expr, Parallel, Power, Product, Quotient, Sum, Sym, product, quotient, total
from derive.forms.laurent import Laurent, Style, in_order, laurent

Sides = tuple[Laurent, Laurent]


def merge(style: Style, ratio: Ratio) -> tuple[Style, Ratio]:
    """The ratio in the ring of only those symbols that it needs: the search is quicker there, and finds more."""
    sides: Sides = (laurent(ratio.above), laurent(ratio.below))
    stands: dict[str, Expr] = {}
    scales: dict[int, float] = {}
    found = True
    while found:
        found = False
        for first, second in combinations(_used(sides), 2):
            merged = _merged(style, sides, first, second)
            if merged is not None:
                together, sides = merged
                _note(style, stands, scales, (first, second), together)
                found = True
                break
    used = (0, *_used(sides))
    inner = style.within(used, stands, scales)
    small = [inner.ring.polynomial({tuple(e[i] for i in used): c for e, c in side.items()}) for side in sides]
    return inner, Ratio(inner.ring, *small)


def restore(style: Style, inner: Style, expr: Expr) -> Expr:
    """The tree with every symbol that stands for more replaced by it."""
    parts = dict(inner.parts)
    return _restored(style, expr, parts) if parts else expr


def _used(sides: Sides) -> tuple[int, ...]:
    columns = zip(*sides[0], *sides[1], strict=True)
    return tuple(i for i, column in enumerate(columns) if i and any(column))


def _merged(style: Style, sides: Sides, first: int, second: int) -> tuple[bool, Sides] | None:
    """Whether the two stand together in parallel, and the sides with the first for both."""
    law = style.laws[first]
    if law != style.laws[second] or not all(_symmetric(side, first, second) for side in sides):
        return None
    top = max(e[second] for side in sides for e in side)
    if law in ("resistance", "inductance"):
        short = tuple(_part(side, second, top) for side in sides)
        if all(short) and all(
            _spread(part, first, second, top, True) == side for part, side in zip(short, sides, strict=True)
        ):
            return True, (short[0], short[1])
    short = tuple(_part(side, second, 0) for side in sides)
    if all(_spread(part, first, second, top, False) == side for part, side in zip(short, sides, strict=True)):
        return False, (short[0], short[1])
    return None


def _symmetric(side: Laurent, first: int, second: int) -> bool:
    for exponents, coefficient in side.items():
        if exponents[first] != exponents[second]:
            other = list(exponents)
            other[first], other[second] = other[second], other[first]
            if side.get(tuple(other)) != coefficient:
                return False
    return True


def _part(side: Laurent, place: int, power: int) -> dict[Exponents, int]:
    """The coefficient of a power of one generator."""
    return {_with(e, {place: 0}): c for e, c in side.items() if e[place] == power}


def _spread(part: Laurent, first: int, second: int, top: int, parallel: bool) -> dict[Exponents, int]:
    """The part with a + b, or ab/(a + b) cleared of (a + b)^top, put for a."""
    found: dict[Exponents, int] = {}
    for exponents, coefficient in part.items():
        power = exponents[first]
        degree, kept = (top - power, power) if parallel else (power, 0)
        for k in range(degree + 1):
            key = _with(exponents, {first: kept + k, second: kept + degree - k})
            found[key] = found.get(key, 0) + coefficient * comb(degree, k)
    return {e: c for e, c in found.items() if c}


def _with(exponents: Exponents, changed: Mapping[int, int]) -> Exponents:
    return tuple(changed.get(i, e) for i, e in enumerate(exponents))


def _note(
    style: Style, stands: dict[str, Expr], scales: dict[int, float], places: tuple[int, int], parallel: bool
) -> None:
    names = [style.ring.names[i] for i in places]
    pair = [stands.pop(name, Sym(name)) for name in names]
    first, second = (_unit(style, i) * scales.get(i, 1.0) for i in places)
    value = first * second / (first + second) if parallel else first + second
    stands[names[0]] = _joined(style, Parallel if parallel else Sum, pair)
    scales[places[0]] = value / _unit(style, places[0])


def _unit(style: Style, place: int) -> float:
    return style.size(tuple(1 if i == place else 0 for i in range(len(style.ring.names))))


def _joined(style: Style, kind: Callable[[tuple[Expr, ...]], Expr], parts: list[Expr]) -> Expr:
    """Parts in parallel, or a sum, without one of its kind inside."""
    flat: list[Expr] = []
    for part in parts:
        inside = part.branches if isinstance(part, Parallel) else part.terms if isinstance(part, Sum) else ()
        flat += inside if inside and kind is type(part) else (part,)
    return kind(in_order(style, flat))


def _restored(style: Style, expr: Expr, parts: Mapping[str, Expr]) -> Expr:
    def inside(expr: Expr) -> Expr:
        match expr:
            case Sym(name):
                return parts.get(name, expr)
            case Sum(terms):
                flat = total(*(inside(term) for term in terms))
                plain = isinstance(flat, Sum) and all(isinstance(term, Sym) for term in flat.terms)
                return Sum(in_order(style, list(flat.terms))) if plain and isinstance(flat, Sum) else flat
            case Product(factors):
                return product(*(inside(factor) for factor in factors))
            case Quotient(above, below):
                return quotient(inside(above), inside(below))
            case Power(base, exponent):
                return Power(inside(base), exponent)
            case Parallel(branches):
                return _joined(style, Parallel, [inside(branch) for branch in branches])
            case _:
                return expr

    return inside(expr)
