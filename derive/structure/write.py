"""A product of factors as algebra: in one piece where that is short, else with a name for each sum.

Enters: a product of factors, the style, numbers. Leaves: a tree, checked to have the product's value.
Must not know: how the factors were found, words, LaTeX.

Factors in s are written with their corners: 1 + s/ω_1; 1 + s/(Q ω_0) + s²/ω_0² for one of second order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from derive.algebra.ring import Exponents, Polynomial
from derive.expression.tree import (
    ONE,
    Expr,
    Power,
    S,
    Sum,
    negate,
    product,
    quotient,
)
from derive.expression.tree import evaluate as value_of
from derive.forms.factors import shortest_way
from derive.forms.laurent import Style, laurent, monomial, times
from derive.forms.present import write as write_ratio
from derive.structure.corners import PIECE, Names, corner_of, with_corner
from derive.structure.equality import require_value
from derive.structure.factored import Factored, gathered
from derive.structure.records import Piece, Written
from derive.structure.units import unit_of, with_betas

ONE_LINE = 17.0
"""Cost up to which a form is written in one piece: about one line of a page."""
MULTIPLIED = 60
"""Terms up to which a product is multiplied out to look for a shorter way to write it."""
LONG = 60
"""Symbols, written as they are, above which no form in one piece is looked for."""
NAMED = 1.0
"""What a name costs a reader beside what it stands for."""


def written(
    style: Style, factored: Factored, numbers: Mapping[str, Fraction], taken: Sequence[Piece] = ()
) -> Written | None:
    """The form as algebra, the cheaper of the ways to write it; None where a piece of it is too long to read.

    ``taken``: pieces whose names are given away already.
    """
    ways = (_in_one_piece(style, factored), _in_pieces(style, factored, numbers, taken))
    found = [w for w in ways if w is not None]
    if not found:
        return None
    chosen = min(found, key=lambda w: w.cost)
    require_value(style.ring, chosen, factored)
    return chosen


def _in_one_piece(style: Style, factored: Factored) -> Written | None:
    ratio = factored.ratio(MULTIPLIED)
    if ratio is None or factored.symbols > LONG or max(ratio.above.degrees()[0], ratio.below.degrees()[0]) > 1:
        return None
    tree = write_ratio(style, ratio, ONE_LINE)
    return None if tree is None else Written(tree, (), style.cost(tree))


def _in_pieces(
    style: Style, factored: Factored, numbers: Mapping[str, Fraction], taken: Sequence[Piece]
) -> Written | None:
    """K · Π(1 + s/ω)/Π(1 + s/ω), the sums within K named where K is long."""
    ring = style.ring
    flat: list[tuple[Polynomial, int]] = []
    upper: list[Expr] = []
    lower: list[Expr] = []
    names = Names(numbers, taken)
    shift = 0
    for factor, power in sorted(factored.factors, key=lambda item: corner_of(ring, item[0], numbers)):
        coefficients = ring.by_powers_of_s(factor)
        if len(coefficients) == 1:
            flat.append((factor, power))
        elif len(factor) == 1:
            shift += power
        else:
            tree = with_corner(style, coefficients, "z" if power > 0 else "p", names)
            if tree is None:
                return None
            flat.append((coefficients[0], power))
            (upper if power > 0 else lower).append(tree if abs(power) == 1 else Power(tree, abs(power)))
    leading = _leading(style, gathered(ring, flat, factored.scale), names)
    if leading is None:
        return None
    if shift:
        step: Expr = S if abs(shift) == 1 else Power(S, abs(shift))
        (upper if shift > 0 else lower).insert(0, step)
    tree = _put_together(leading, upper, lower)
    cost = style.cost(tree) + sum(style.cost(p.tree) + NAMED for p in names.pieces)
    return Written(tree, tuple(names.pieces), cost)


def _put_together(leading: Expr, upper: list[Expr], lower: list[Expr]) -> Expr:
    if not upper and not lower:
        return leading
    if leading == ONE or (not upper and not isinstance(leading, Sum)):
        return quotient(product(leading, *upper), product(*lower))
    return product(leading, quotient(product(*upper), product(*lower)))


def _leading(style: Style, factored: Factored, names: Names) -> Expr | None:
    """The part without s: in one piece where short, else each sum by a name."""
    ratio = factored.ratio(MULTIPLIED)
    if ratio is not None:
        tree = write_ratio(style, ratio, ONE_LINE)
        if tree is not None:
            return tree
    base: Exponents = (0,) * len(style.ring.names)
    for factor, power in factored.factors:
        if len(factor) == 1:
            base = times(base, tuple(e * power for e in next(iter(laurent(factor)))))
    above: list[Expr] = []
    below: list[Expr] = []
    for factor, power in factored.sums:
        outside, tree, sign = shortest_way(style, factor, power, base)
        if style.cost(tree) > PIECE:
            return None
        base = times(base, outside)
        unit = unit_of(style, tree) or "1"
        value = complex(float(value_of(tree, with_betas(names.numbers))))
        letter = "Z_" if unit == "Ω" else "G_" if unit == "S" else "F_"
        name = names.enter(letter, tree, value, unit, "factor", len(factor))
        (above if sign > 0 else below).append(name if abs(power) == 1 else Power(name, abs(power)))
    scale = factored.scale
    number = abs(scale)
    above.insert(0, monomial(style, tuple(max(e, 0) for e in base), Fraction(number.numerator)))
    below.insert(0, monomial(style, tuple(max(-e, 0) for e in base), Fraction(number.denominator)))
    tree = quotient(product(*above), product(*below))
    return negate(tree) if scale < 0 else tree
