"""Trees with parts replaced: by name everywhere, or at one place.

Enters: a tree. Leaves: a tree. Must not know: circuits, why it is changed.

A place is the path of child numbers from the root.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from derive.expression.tree import Call, Expr, Parallel, Power, Product, Quotient, Sum, Sym, children

Place: TypeAlias = tuple[int, ...]


def with_children(expr: Expr, parts: tuple[Expr, ...]) -> Expr:
    """The same operation on other parts; a sum, product or parallel of one part is that part."""
    match expr:
        case Sum():
            return parts[0] if len(parts) == 1 else Sum(parts)
        case Product():
            return parts[0] if len(parts) == 1 else Product(parts)
        case Parallel():
            return parts[0] if len(parts) == 1 else Parallel(parts)
        case Quotient():
            return Quotient(*parts)
        case Power(_, exponent):
            return Power(parts[0], exponent)
        case Call(function, _):
            return Call(function, parts[0])
        case _:
            return expr


def put_in(expr: Expr, known: Mapping[str, Expr]) -> Expr:
    """The tree with expressions for some symbols.

    >>> put_in(Sum((Sym("a"), Sym("b"))), {"a": Sym("b")})
    Sum(terms=(Sym(name='b'), Sym(name='b')))
    """
    if isinstance(expr, Sym):
        return known.get(expr.name, expr)
    parts = children(expr)
    return with_children(expr, tuple(put_in(part, known) for part in parts)) if parts else expr


def places(expr: Expr) -> Iterator[tuple[Place, Expr]]:
    """Every part of a tree with its place, outermost first."""
    yield (), expr
    for number, part in enumerate(children(expr)):
        for place, inner in places(part):
            yield (number, *place), inner


def replaced(expr: Expr, place: Place, new: Expr) -> Expr:
    """The tree with another part at one place."""
    if not place:
        return new
    parts = list(children(expr))
    parts[place[0]] = replaced(parts[place[0]], place[1:], new)
    return with_children(expr, tuple(parts))
