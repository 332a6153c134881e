"""The ways in which a product can be read whose brackets were left out.

Enters: factors and the sign before each. Leaves: trees, the reading of our own grammar first.
Must not know: units, which tell the readings apart.

``gm*Rc || RL`` is gm*(Rc || RL), for || binds tighter than a product; but ``Rb || beta*Re`` is meant with the product
first. ``1/gm Rc`` is read from left to right, or with all that stands side by side below the line. Where units allow
both, factors side by side without a sign hold together tighter than ||, as in print.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.expression.tree import Expr, Num, Parallel, Product, Quotient, is_negative, negate


def readings(factors: Sequence[Expr], signs: Sequence[str]) -> list[Expr]:
    """The different trees of a product. ``signs[i]`` stands before ``factors[i]``: ``*``, ``/``, ``||``, or none."""
    found: list[Expr] = []
    for loose_slash in (False, True):
        for loose_beside in (False, True):
            tree = (_products_first if loose_beside else _parallels_first)(factors, signs, loose_slash)
            if tree not in found:
                found.append(tree)
    return found


def side_by_side(factors: Sequence[Expr], signs: Sequence[str]) -> Expr | None:
    """The reading as in print, where no sign but || stands between factors; None where another does."""
    return _products_first(factors, signs, False) if set(signs) <= {"", "||"} else None


def _parallels_first(factors: Sequence[Expr], signs: Sequence[str], loose_slash: bool) -> Expr:
    grouped, outer = _grouped(factors, signs, "||")
    return _product([_parallel(group) for group in grouped], outer, loose_slash)


def _products_first(factors: Sequence[Expr], signs: Sequence[str], loose_slash: bool) -> Expr:
    branches: list[tuple[list[Expr], list[str]]] = [([], [])]
    for factor, sign in zip(factors, signs, strict=True):
        if sign == "||":
            branches.append(([], []))
        branches[-1][0].append(factor)
        branches[-1][1].append("" if sign == "||" else sign)
    return _parallel([_product(own, between, loose_slash) for own, between in branches])


def _product(factors: Sequence[Expr], signs: Sequence[str], loose_slash: bool) -> Expr:
    if loose_slash:
        grouped, signs = _grouped(factors, signs, "")
        factors = [_times(group) for group in grouped]
    run = [factors[0]]
    for sign, factor in zip(signs[1:], factors[1:], strict=True):
        run = [divide(_times(run), factor)] if sign == "/" else [*run, factor]
    return _times(run)


def _grouped(factors: Sequence[Expr], signs: Sequence[str], by: str) -> tuple[list[list[Expr]], list[str]]:
    """Factors gathered that one sign joins, and the signs that are left before the groups."""
    groups: list[list[Expr]] = []
    outer: list[str] = []
    for place, (factor, sign) in enumerate(zip(factors, signs, strict=True)):
        if place and sign == by:
            groups[-1].append(factor)
        else:
            groups.append([factor])
            outer.append(sign)
    return groups, outer


def _parallel(branches: Sequence[Expr]) -> Expr:
    return branches[0] if len(branches) == 1 else Parallel(tuple(branches))


def _times(factors: Sequence[Expr]) -> Expr:
    return factors[0] if len(factors) == 1 else settle(Product(tuple(factors)))


def divide(above: Expr, below: Expr) -> Expr:
    """A quotient; one of two numbers is a number."""
    if isinstance(above, Num) and isinstance(below, Num):
        return Num(above.value / below.value)
    return settle(Quotient(above, below))


def settle(expr: Expr) -> Expr:
    """Bring a minus sign to the one place where a product or quotient carries it."""
    while is_negative(expr):
        again = negate(negate(expr))
        if again == expr:
            return expr
        expr = again
    return expr
