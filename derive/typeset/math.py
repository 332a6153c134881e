"""Expressions in mathematics: minimal brackets, readable fractions, one spelling.

Enters: expression trees, the sheet's ``Spelling``, a pen. Leaves: ``Piece`` (what the pen wrote with its width).
Must not know: lines, columns, pages, what the pen writes (LaTeX, MathML).

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
from derive.typeset.pens import LATEX, Pen
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

WIDER = 0.23
"""By how much the widest sign of a relation is wider than an equals sign."""

Style = Literal["display", "inner", "inline"]


@dataclass(frozen=True)
class Setter:
    """Sets expressions in one spelling and one style."""

    spelling: Spelling
    style: Style = "display"
    pen: Pen = LATEX

    def inner(self) -> Setter:
        return self if self.style == "inline" else Setter(self.spelling, "inner", self.pen)

    def set(self, expr: Expr) -> Piece:
        """The expression as the pen writes it, with its width."""
        match expr:
            case Num(value):
                return number(value, self.pen)
            case Sym() | Volt() | Name():
                spelt = self.spelling.spell(expr)
                return Piece(self.pen.symbol(spelt), spelt.width, word=spelt.is_word)
            case Infinite():
                return Piece(self.pen.infinity, INFINITY)
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
        ink = left.ink + self.pen.relation(expr.op) + right.ink
        return Piece(ink, width, "sum", max(left.level, right.level))

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
        return self._fence(self.set(expr)) if self.loose_term(expr) else self.set(expr)

    def factor(self, expr: Expr, *, first: bool) -> Piece:
        return self._fence(self.set(expr)) if self.loose_factor(expr, first=first) else self.set(expr)

    def branch(self, expr: Expr) -> Piece:
        return self._fence(self.set(expr)) if self.loose_branch(expr) else self.set(expr)

    def _fence(self, piece: Piece) -> Piece:
        return fence(piece, self.pen)

    def _sum(self, terms: tuple[Expr, ...]) -> Piece:
        if not terms:
            return number(Fraction(0), self.pen)
        ink, width, level = "", 0.0, 0
        for place, (sign, term) in enumerate(signed(terms)):
            piece = self.term(term)
            if place == 0 and sign == "-":
                piece = minus(piece, self.pen)
            ink += piece.ink if place == 0 else self.pen.sign(sign) + piece.ink
            width += piece.width + (BINARY if place else 0)
            level = max(level, piece.level)
        return Piece(ink, width, "sum", level)

    def _product(self, factors: tuple[Expr, ...]) -> Piece:
        if not factors:
            return number(Fraction(1), self.pen)
        if factors[0] == MINUS_ONE and len(factors) > 1:
            rest = factors[1:]
            inner = self.set(Product(rest)) if len(rest) > 1 else self.factor(rest[0], first=False)
            return minus(self._fence(inner) if inner.negative else inner, self.pen)
        if len(factors) == 1:
            return self.set(factors[0])
        return juxtapose([self.factor(factor, first=place == 0) for place, factor in enumerate(factors)], self.pen)

    def _quotient(self, above: Expr, below: Expr) -> Piece:
        if is_negative(above) and not is_negative(negate(above)):
            piece = self._quotient(negate(above), below)
            return minus(piece, self.pen)
        if self.style == "inline" or (self.style == "inner" and _single(above) and _single(below)):
            return self._slashed(above, below)
        inner = self.inner()
        return stack(inner.set(above), inner.set(below), self.pen, outer=self.style == "display")

    def _slashed(self, above: Expr, below: Expr) -> Piece:
        upper, lower = self.set(above), self.set(below)
        if upper.kind in ("sum", "parallel", "slash"):
            upper = self._fence(upper)
        if lower.kind != "atom" or lower.negative:
            lower = self._fence(lower)
        ink = self.pen.slash(upper.ink, lower.ink)
        return Piece(ink, upper.width + lower.width + 0.5, "slash", number=upper.number, opens=upper.opens,
                     closes=lower.closes)  # fmt: skip

    def _power(self, base: Expr, exponent: int) -> Piece:
        if exponent < 0:
            return self._quotient(ONE, base if exponent == -1 else Power(base, -exponent))
        if exponent == 1:
            return self.set(base)
        script = sum(ROMAN[digit][1] for digit in str(exponent)) / 1000 + SCRIPT_SPACE
        if isinstance(base, Sym | Volt | Name):
            spelt = self.spelling.spell(base)
            width = spelt.base_width + max(spelt.sub_width, script)
            return Piece(self.pen.symbol(spelt, exponent), width, word=spelt.is_word)
        piece = self.set(base)
        bare = isinstance(base, Num) and base.value >= 0 and base.value.denominator == 1
        if not bare and not (isinstance(base, Call) and base.function == "abs"):
            piece = self._fence(piece)
        ink = self.pen.raised(piece.ink, exponent)
        return Piece(ink, piece.width + script, "atom", piece.level, number=bare, opens=piece.opens)

    def _parallel(self, branches: tuple[Expr, ...]) -> Piece:
        pieces = [self.branch(branch) for branch in branches]
        if len(pieces) == 1:
            return pieces[0]
        width = sum(piece.width for piece in pieces) + PARALLEL * (len(pieces) - 1)
        ink = self.pen.sign("∥").join(piece.ink for piece in pieces)
        level = max(piece.level for piece in pieces)
        return Piece(ink, width, "parallel", level, opens=pieces[0].opens, closes=pieces[-1].closes)

    def _call(self, function: str, argument: Expr) -> Piece:
        if function == "sqrt":
            return root(self.inner().set(argument) if self.style != "inline" else self.set(argument), self.pen)
        piece = self.set(argument)
        if function == "abs":
            return bars(piece, self.pen)
        inner = self._fence(piece)
        width = inner.width + (EXPONENTIAL if function == "exp" else LOGARITHM)
        return Piece(self.pen.function(function) + inner.ink, width, "atom", inner.level, word=True, closes=True)


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
