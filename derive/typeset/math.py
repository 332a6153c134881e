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
    Relation,
    Sum,
    Sym,
    Volt,
    is_negative,
    negate,
)
from derive.typeset.digits import number
from derive.typeset.glyphs import SCRIPT_SPACE
from derive.typeset.metrics import ROMAN
from derive.typeset.pieces import (
    BINARY,
    EXPONENTIAL,
    INFINITY,
    LOGARITHM,
    PARALLEL,
    RELATION,
    Piece,
    bars,
    fence,
    juxtapose,
    minus,
    root,
    stack,
)
from derive.typeset.spelling import Spelling

RELATIONS = {">>": r"\gg", "<<": r"\ll", "->": r"\to", "=": "="}
WIDER = 0.23
"""By how much the widest of these signs is wider than an equals sign."""

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

    def state(self, expr: Expr | Relation) -> Piece:
        """An expression, or a relation such as ``gm R ≫ 1``."""
        if not isinstance(expr, Relation):
            return self.set(expr)
        left, right = self.set(expr.left), self.set(expr.right)
        width = left.width + right.width + RELATION + WIDER
        latex = f"{left.latex} {RELATIONS[expr.op]} {right.latex}"
        return Piece(latex, width, "sum", max(left.level, right.level))

    def loose_term(self, expr: Expr) -> bool:
        """Whether a term of a sum (its sign taken off) needs brackets."""
        piece = self.set(expr)
        return piece.kind in ("sum", "parallel") or piece.negative

    def loose_factor(self, expr: Expr, *, first: bool) -> bool:
        """Whether a factor needs brackets: whatever binds more loosely than a product."""
        piece = self.set(expr)
        return piece.kind in ("sum", "parallel", "slash") or (piece.negative and not first)

    def loose_branch(self, expr: Expr) -> bool:
        """Whether a part of a parallel connection needs brackets; 1/g_m does not."""
        piece = self.set(expr)
        simple = isinstance(expr, Quotient) and _single(expr.above) and _single(expr.below)
        return piece.kind in ("sum", "parallel") or piece.negative or (piece.kind == "slash" and not simple)

    def term(self, expr: Expr) -> Piece:
        return fence(self.set(expr)) if self.loose_term(expr) else self.set(expr)

    def factor(self, expr: Expr, *, first: bool) -> Piece:
        return fence(self.set(expr)) if self.loose_factor(expr, first=first) else self.set(expr)

    def branch(self, expr: Expr) -> Piece:
        return fence(self.set(expr)) if self.loose_branch(expr) else self.set(expr)

    def _sum(self, terms: tuple[Expr, ...]) -> Piece:
        if not terms:
            return number(Fraction(0))
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
        if not factors:
            return number(Fraction(1))
        if factors[0] == MINUS_ONE and len(factors) > 1:
            rest = factors[1:]
            inner = self.set(Product(rest)) if len(rest) > 1 else self.factor(rest[0], first=False)
            return minus(fence(inner) if inner.negative else inner)
        if len(factors) == 1:
            return self.set(factors[0])
        return juxtapose([self.factor(factor, first=place == 0) for place, factor in enumerate(factors)])

    def _quotient(self, above: Expr, below: Expr) -> Piece:
        if is_negative(above) and not is_negative(negate(above)):
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
        if function == "exp":
            return Piece(r"\exp" + inner.latex, inner.width + EXPONENTIAL, "atom", inner.level, word=True)
        return Piece(r"\log_{10}" + inner.latex, inner.width + LOGARITHM, "atom", inner.level, word=True)


def signed(terms: tuple[Expr, ...]) -> list[tuple[str, Expr]]:
    """The terms of a sum with their signs taken off."""
    return [("-", negate(term)) if is_negative(term) else ("+", term) for term in terms]


def _single(expr: Expr) -> bool:
    """Whether the expression is one symbol or a small whole number."""
    match expr:
        case Num(value):
            return value.denominator == 1 and 0 <= value < 1000
        case Sym() | Volt() | Name():
            return True
        case _:
            return False
