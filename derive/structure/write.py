"""A product of factors as algebra: in one piece where that is short, else with a name for each sum.

Enters: a product of factors, the style, numbers. Leaves: a tree, checked to have the product's value.
Must not know: how the factors were found, words, LaTeX.

Factors in s are written with their corners: 1 + s/ω_1; 1 + s/(Q ω_0) + s²/ω_0² for one of second order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

import mpmath

from derive.algebra.ratio import lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring, evaluate
from derive.errors import Defect
from derive.expression.text import write as write_text
from derive.expression.tree import (
    ONE,
    Call,
    Expr,
    Name,
    Power,
    Quotient,
    S,
    Sum,
    negate,
    product,
    quotient,
    total,
    walk,
)
from derive.expression.tree import evaluate as value_of
from derive.forms.factors import shortest_way
from derive.forms.laurent import Style, laurent, monomial, times
from derive.forms.present import write as write_ratio
from derive.forms.trial import points
from derive.structure.factored import Factored, gathered, in_numbers
from derive.structure.records import Piece, Written
from derive.structure.units import unit_of, with_betas

ONE_LINE = 17.0
"""Cost up to which a form is written in one piece: about one line of a page."""
PIECE = 15.0
"""Cost above which a named piece cannot be read."""
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


@dataclass
class _Names:
    """The names given so far, and what stands for what."""

    numbers: Mapping[str, Fraction]
    taken: Sequence[Piece] = ()
    pieces: list[Piece] = field(default_factory=list)

    def enter(self, letter: str, tree: Expr, value: complex, unit: str, kind: str, terms: int) -> Name:
        known = next((p.name for p in self.pieces if p.tree == tree), None)
        if known is not None:
            return known
        count = 1 + sum(1 for p in (*self.taken, *self.pieces) if p.name.name.rstrip("0123456789") == letter)
        name = Name(f"{letter}{count}")
        self.pieces.append(Piece(name, tree, value, unit, kind, terms))  # type: ignore[arg-type]
        return name


def _in_pieces(
    style: Style, factored: Factored, numbers: Mapping[str, Fraction], taken: Sequence[Piece]
) -> Written | None:
    """K · Π(1 + s/ω)/Π(1 + s/ω), the sums within K named where K is long."""
    ring = style.ring
    flat: list[tuple[Polynomial, int]] = []
    upper: list[Expr] = []
    lower: list[Expr] = []
    names = _Names(numbers, taken)
    shift = 0
    for factor, power in sorted(factored.factors, key=lambda item: _corner(ring, item[0], numbers)):
        coefficients = ring.by_powers_of_s(factor)
        if len(coefficients) == 1:
            flat.append((factor, power))
        elif len(factor) == 1:
            shift += power
        else:
            tree = _with_corner(style, coefficients, "z" if power > 0 else "p", names)
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


def _corner(ring: Ring, factor: Polynomial, numbers: Mapping[str, Fraction]) -> float:
    """Where a factor in s has its corner, so that the lowest is written first; zero without s."""
    values = in_numbers(ring, factor, numbers)
    order = len(values) - 1
    return abs(float(values[0] / values[-1])) ** (1 / order) if order and values[-1] else 0.0


def _put_together(leading: Expr, upper: list[Expr], lower: list[Expr]) -> Expr:
    if not upper and not lower:
        return leading
    if leading == ONE or (not upper and not isinstance(leading, Sum)):
        return quotient(product(leading, *upper), product(*lower))
    return product(leading, quotient(product(*upper), product(*lower)))


def _leading(style: Style, factored: Factored, names: _Names) -> Expr | None:
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


def _with_corner(style: Style, coefficients: list[Polynomial], letter: str, names: _Names) -> Expr | None:
    """1 + s/ω, or 1 + s/(Q ω_0) + s²/ω_0²; None for a higher order or a formula too long to read."""
    ring = style.ring
    if len(coefficients) > 3 or any(c.is_zero() for c in (coefficients[0], coefficients[-1])):
        return None
    if len(coefficients) == 2:
        corner = lowest_terms(ring, coefficients[0], coefficients[1])
        value = float(corner.value(names.numbers))
        tree = write_ratio(style, corner if value > 0 else lowest_terms(ring, -coefficients[0], coefficients[1]), PIECE)
        if tree is None:
            return None
        held = len(coefficients[0]) + len(coefficients[1])
        name = names.enter(f"omega_{letter}", tree, abs(value), "1/s", "corner", held)
        step = quotient(S, name)
        return total(ONE, step if value > 0 else negate(step))
    square = lowest_terms(ring, coefficients[0], coefficients[2])
    tree = write_ratio(style, square, PIECE)
    value = float(square.value(names.numbers))
    if tree is None or value <= 0:
        return None
    held = len(coefficients[0]) + len(coefficients[2])
    root: Expr = Call("sqrt", tree)
    if isinstance(tree, Quotient) and tree.above == ONE:
        root = quotient(ONE, Call("sqrt", tree.below))
    centre = names.enter(f"omega_{letter}", root, value**0.5, "1/s", "corner", held)
    second = quotient(Power(S, 2), Power(centre, 2))
    if coefficients[1].is_zero():
        return total(ONE, second)
    # Q = ω_0 c_2/c_1, so that it is a corner over a frequency.
    rest = lowest_terms(ring, coefficients[2], coefficients[1])
    other = write_ratio(style, rest, PIECE)
    if other is None:
        return None
    quality = float(rest.value(names.numbers)) * value**0.5
    high, low = (other.above, other.below) if isinstance(other, Quotient) else (other, ONE)
    whole = quotient(product(centre, high), low)
    name = Name(centre.name.replace("omega_", "Q_"))
    if not any(piece.name == name for piece in names.pieces):
        names.pieces.append(Piece(name, whole, quality, "1", "quality", len(coefficients[1])))
    return total(ONE, quotient(S, product(name, centre)), second)


def require_value(ring: Ring, found: Written, factored: Factored) -> None:
    """Raises Defect unless the form has the product's value at random points, to fifty digits."""
    for point in points(ring.names):
        wanted = factored.scale
        for factor, power in factored.factors:
            wanted *= evaluate(factor, ring.values(point, point["s"])) ** power
        if not near(found, point, wanted):
            raise Defect(f"a short form is not equal to its product: {write_text(found.tree)}")


def near(found: Written, point: Mapping[str, Fraction], wanted: Fraction) -> bool:
    """Whether a form has a value at a point: exactly, or to fifty digits where it has roots in it."""
    if not any(isinstance(part, Call) for piece in found.pieces for part in walk(piece.tree)):
        exact: dict[Any, Any] = dict(point)
        for piece in found.pieces:
            exact[piece.name] = value_of(piece.tree, exact)
        return bool(value_of(found.tree, exact) == wanted)
    with mpmath.workdps(70):
        values: dict[Any, Any] = {name: _long(value) for name, value in point.items()}
        for piece in found.pieces:
            values[piece.name] = value_of(piece.tree, values, {"sqrt": mpmath.sqrt}, _long)
        made = value_of(found.tree, values, {"sqrt": mpmath.sqrt}, _long)
        return bool(abs(made - _long(wanted)) <= abs(_long(wanted)) * mpmath.mpf(10) ** -50)


def _long(value: Fraction) -> Any:
    return mpmath.mpf(value.numerator) / value.denominator
