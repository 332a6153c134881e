"""Expressions as LaTeX: minimal brackets, readable fractions, one spelling.

Enters: expression trees and the sheet's ``Spelling``. Leaves: ``Piece`` (LaTeX with its width).
Must not know: lines, columns, pages.

Three styles. *display*: quotients are built-up fractions. *inner*: inside a fraction, where a quotient of
two single symbols is slashed (1/g_m) and any other is built up at full size. *inline*: within a line of
words, where every quotient is slashed and nothing disturbs the spacing of lines.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from derive.expression.tree import (
    MINUS_ONE,
    ONE,
    Call,
    Expr,
    Infinite,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    Volt,
    is_negative,
    negate,
)
from derive.typeset.glyphs import SCRIPT_SPACE
from derive.typeset.metrics import ROMAN
from derive.typeset.pieces import (
    BINARY,
    INFINITY,
    LOGARITHM,
    PARALLEL,
    Piece,
    bars,
    fence,
    juxtapose,
    minus,
    root,
    stack,
)
from derive.typeset.spelling import Spelling

Style = Literal["display", "inner", "inline"]


@dataclass(frozen=True)
class Setter:
    """Sets expressions in one spelling and one style."""

    spelling: Spelling
    style: Style = "display"

    def inner(self) -> Setter:
        return self if self.style == "inline" else Setter(self.spelling, "inner")

    def set(self, expr: Expr) -> Piece:
        """The expression as LaTeX in mathematics mode, with its width."""
        match expr:
            case Num(value):
                return number(value)
            case Sym() | Volt() | Name():
                spelt = self.spelling.spell(expr)
                return Piece(spelt.latex, spelt.width, word=spelt.is_word)
            case Infinite():
                return Piece(r"\infty", INFINITY)
            case Sum(terms):
                return self._sum(terms)
            case Product(factors):
                return self._product(factors)
            case Quotient(above, below):
                return self._quotient(above, below)
            case Power(base, exponent):
                return self._power(base, exponent)
            case Parallel(branches):
                return self._parallel(branches)
            case Call(function, argument):
                return self._call(function, argument)

    def term(self, expr: Expr) -> Piece:
        """A term of a sum (its sign already taken): brackets round sums and parallel parts."""
        piece = self.set(expr)
        return fence(piece) if piece.kind in ("sum", "parallel") or piece.negative else piece

    def factor(self, expr: Expr, *, first: bool) -> Piece:
        """A factor: brackets round whatever binds more loosely than a product."""
        piece = self.set(expr)
        loose = piece.kind in ("sum", "parallel", "slash") or (piece.negative and not first)
        return fence(piece) if loose else piece

    def branch(self, expr: Expr) -> Piece:
        """A part of a parallel connection."""
        piece = self.set(expr)
        simple = piece.kind == "slash" and isinstance(expr, Quotient) and _single(expr.above) and _single(expr.below)
        loose = piece.kind in ("sum", "parallel") or piece.negative or (piece.kind == "slash" and not simple)
        return fence(piece) if loose else piece

    def _sum(self, terms: tuple[Expr, ...]) -> Piece:
        latex, width, level = "", 0.0, 0
        for place, (sign, term) in enumerate(signed(terms)):
            piece = self.term(term)
            if place == 0 and sign == "-":
                piece = minus(piece)
            latex += piece.latex if place == 0 else f" {sign} {piece.latex}"
            width += piece.width + (BINARY if place else 0)
            level = max(level, piece.level)
        return Piece(latex, width, "sum", level)

    def _product(self, factors: tuple[Expr, ...]) -> Piece:
        if factors[0] == MINUS_ONE and len(factors) > 1:
            rest = factors[1:]
            inner = self.set(Product(rest)) if len(rest) > 1 else self.factor(rest[0], first=False)
            return minus(inner)
        if len(factors) == 1:
            return self.set(factors[0])
        return juxtapose([self.factor(factor, first=place == 0) for place, factor in enumerate(factors)])

    def _quotient(self, above: Expr, below: Expr) -> Piece:
        if is_negative(above):
            piece = self._quotient(negate(above), below)
            return minus(piece)
        if self.style == "inline" or (self.style == "inner" and _single(above) and _single(below)):
            return self._slashed(above, below)
        inner = self.inner()
        return stack(inner.set(above), inner.set(below), r"\frac" if self.style == "display" else r"\dfrac")

    def _slashed(self, above: Expr, below: Expr) -> Piece:
        upper, lower = self.set(above), self.set(below)
        if upper.kind in ("sum", "parallel", "slash"):
            upper = fence(upper)
        if lower.kind != "atom" or lower.negative:
            lower = fence(lower)
        return Piece(f"{upper.latex}/{lower.latex}", upper.width + lower.width + 0.5, "slash", number=upper.number)

    def _power(self, base: Expr, exponent: int) -> Piece:
        if exponent < 0:
            return self._quotient(ONE, base if exponent == -1 else Power(base, -exponent))
        if exponent == 1:
            return self.set(base)
        script = sum(ROMAN[digit][1] for digit in str(exponent)) / 1000 + SCRIPT_SPACE
        if isinstance(base, Sym | Volt | Name):
            spelt = self.spelling.spell(base)
            width = spelt.base_width + max(spelt.sub_width, script)
            return Piece(f"{spelt.latex}^{{{exponent}}}", width, word=spelt.is_word)
        piece = self.set(base)
        bare = isinstance(base, Num) and base.value >= 0 and base.value.denominator == 1
        if not bare and not (isinstance(base, Call) and base.function == "abs"):
            piece = fence(piece)
        return Piece(f"{piece.latex}^{{{exponent}}}", piece.width + script, "atom", piece.level, number=bare)

    def _parallel(self, branches: tuple[Expr, ...]) -> Piece:
        pieces = [self.branch(branch) for branch in branches]
        if len(pieces) == 1:
            return pieces[0]
        width = sum(piece.width for piece in pieces) + PARALLEL * (len(pieces) - 1)
        latex = r" \parallel ".join(piece.latex for piece in pieces)
        return Piece(latex, width, "parallel", max(piece.level for piece in pieces))

    def _call(self, function: str, argument: Expr) -> Piece:
        if function == "sqrt":
            return root(self.inner().set(argument) if self.style != "inline" else self.set(argument))
        piece = self.set(argument)
        if function == "abs":
            return bars(piece)
        inner = fence(piece)
        return Piece(r"\log_{10}" + inner.latex, inner.width + LOGARITHM, "atom", inner.level, word=True)


def signed(terms: tuple[Expr, ...]) -> list[tuple[str, Expr]]:
    """The terms of a sum with their signs taken off."""
    return [("-", negate(term)) if is_negative(term) else ("+", term) for term in terms]


def number(value: Fraction) -> Piece:
    """An exact number: whole, a short decimal, a small fraction, or digits times a power of ten."""
    if value < 0:
        return minus(number(-value))
    if value.denominator == 1 and value < 10**6:
        return _digits(str(value.numerator))
    if value.numerator < 10 and value.denominator < 10:
        width = (max(ROMAN["0"][1], 0) / 1000) + FRACTION_SMALL
        return Piece(rf"\tfrac{{{value.numerator}}}{{{value.denominator}}}", width, "atom", 0, number=True)
    decimal = _short_decimal(value)
    if decimal is not None:
        return decimal
    return stack(_digits(str(value.numerator)), _digits(str(value.denominator)), r"\dfrac")


FRACTION_SMALL = 0.241


def _short_decimal(value: Fraction) -> Piece | None:
    """The number as a decimal of at most eight significant digits, None where it has more."""
    power = 0
    while value >= 10:
        value, power = value / 10, power + 1
    while value < 1:
        value, power = value * 10, power - 1
    scaled = value * 10**7
    if scaled.denominator != 1:
        return None
    digits = str(scaled.numerator).rstrip("0")
    if -4 <= power < 6:
        point = power + 1
        whole = digits[:point].ljust(point, "0") if point > 0 else "0"
        part = digits[point:] if point > 0 else "0" * -point + digits
        return _digits(whole + ("." + part if part else ""))
    head = digits[0] + ("." + digits[1:] if digits[1:] else "")
    mantissa = _digits(head)
    script = (len(str(power)) * 0.4 + 0.25 * (power < 0)) + SCRIPT_SPACE
    return Piece(
        rf"{mantissa.latex} \times 10^{{{power}}}", mantissa.width + BINARY + 1.0 + script, "product", number=True
    )


def _digits(text: str) -> Piece:
    return Piece(text, sum(ROMAN[digit][0] for digit in text) / 1000, number=True)


def _single(expr: Expr) -> bool:
    """Whether the expression is one symbol or a small whole number."""
    match expr:
        case Num(value):
            return value.denominator == 1 and 0 <= value < 1000
        case Sym() | Volt() | Name():
            return True
        case _:
            return False
