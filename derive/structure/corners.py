"""Factors in s with their corners: 1 + s/ω, or 1 + s/(Q ω) + s²/ω², each corner a formula with a name.

Enters: the coefficients of a factor. Leaves: a tree, its pieces. Must not know: the rest of the form, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from derive.algebra.ratio import lowest_terms
from derive.algebra.ring import Polynomial, Ring
from derive.expression.tree import (
    ONE,
    Call,
    Expr,
    Name,
    Power,
    Quotient,
    S,
    negate,
    product,
    quotient,
    total,
)
from derive.forms.laurent import Style
from derive.forms.present import write as write_ratio
from derive.structure.factored import in_numbers
from derive.structure.records import Piece

PIECE = 15.0
"""Cost above which a named piece cannot be read."""


@dataclass
class Names:
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


def corner_of(ring: Ring, factor: Polynomial, numbers: Mapping[str, Fraction]) -> float:
    """Where a factor in s has its corner, so that the lowest is written first; zero without s."""
    values = in_numbers(ring, factor, numbers)
    order = len(values) - 1
    return abs(float(values[0] / values[-1])) ** (1 / order) if order and values[-1] else 0.0


def with_corner(style: Style, coefficients: list[Polynomial], letter: str, names: Names) -> Expr | None:
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
    if any(piece.name == name and piece.tree != whole for piece in names.pieces):
        # Numerator and denominator may share a frequency and not a quality, as those of a notch do.
        name = names.enter(f"Q_{letter}", whole, quality, "1", "quality", len(coefficients[1]))
    elif not any(piece.name == name for piece in names.pieces):
        names.pieces.append(Piece(name, whole, quality, "1", "quality", len(coefficients[1])))
    return total(ONE, quotient(S, product(name, centre)), second)
