"""Expressions taken apart into runs that a line may break between.

Enters: an expression too wide for its column. Leaves: ``Token`` runs, and the definitions of the names that
had to be given. Must not know: lines, pages, what the pen writes.

Breaks stand before the operator, as in displays by the TeXbook (chapter 18): sums before a sign, products
before a factor (then with ×), parallel parts before ∥. What cannot be broken (a quotient, a root) is printed
by names: N and D for a numerator and a denominator, X for anything else.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import inf

from derive.expression.tree import (
    MINUS_ONE,
    ONE,
    Call,
    Expr,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    children,
    is_negative,
    negate,
    symbols,
)
from derive.typeset.math import Setter, signed
from derive.typeset.pens import LATEX, Pen
from derive.typeset.pieces import BARS, BINARY, EXPONENTIAL, FENCES, PARALLEL, SIGN, Piece, between, fence, root, stack
from derive.typeset.spelling import Spelling

INDENT = 1.0
LOGARITHM = 2.31
"""What follows a left side on a line of its own is set in by a quad."""
LETTERS = (("N", "D", "X"), ("P", "Q", "Y"), ("U", "W", "K"))
"""Names of a numerator, of a denominator, of anything else."""
NARROW = 9.0
"""Where brackets within brackets leave less room than this, what is inside gets a name."""


@dataclass
class Abbreviations:
    """The names N and D that stand for numerators and denominators too wide to print in place.

    One for a sheet: each name is given once, with a number.
    """

    spelling: Spelling
    known: dict[Expr, Piece] = field(default_factory=dict)
    count: int = 0
    pen: Pen = LATEX

    def copy(self) -> Abbreviations:
        return Abbreviations(self.spelling, dict(self.known), self.count, self.pen)

    def letters(self) -> tuple[tuple[str, ...], bool]:
        """The first letters that no symbol of the sheet begins with, and whether they are in script."""
        taken = {latex.partition("_")[0] for latex in self.spelling.taken()}
        free = next((letters for letters in LETTERS if not taken & set(letters)), None)
        return (free, False) if free else (LETTERS[0], True)

    def name(self, expr: Expr, place: int, number: int) -> Piece:
        """The name of an expression: N₁, or N₁(s) where it depends on s."""
        letters, script = self.letters()
        of_s = "s" in symbols(expr)
        width = 1.1 + 0.4 * len(str(number)) + (1.25 if of_s else 0)
        ink = self.pen.helper(letters[place], number, script=script, of_s=of_s)
        return Piece(ink, width, closes=of_s)


@dataclass(frozen=True)
class Token:
    """An unbreakable run. ``lead`` precedes it within a line, ``fresh`` at the beginning of one."""

    ink: str
    width: float
    lead: str = ""
    lead_width: float = 0.0
    fresh: str = ""
    fresh_width: float = 0.0
    depth: int = 0
    nest: int = 0
    """In how many brackets it stands: a line that begins with it is set in by as many quads, two at most."""

    @property
    def set_in(self) -> int:
        return min(self.nest, 2)


@dataclass
class Cutter:
    """Takes one line apart. ``pending`` gathers the definitions that have to follow it."""

    setter: Setter
    names: Abbreviations
    pending: list[tuple[Piece, Expr]] = field(default_factory=list)
    grain: float = inf
    """Em: what would fit and is wider may break too, where no name is needed for it; for screens of any width."""

    @property
    def pen(self) -> Pen:
        return self.setter.pen

    def tokens(self, expr: Expr, limit: float, depth: int = 0) -> list[Token]:
        piece = self.setter.set(expr)
        if piece.width <= min(limit, self.grain) or (piece.width <= limit and not _is_breakable(expr)):
            return [Token(piece.ink, piece.width, depth=depth)]
        if depth and limit < NARROW and piece.width > limit and children(expr):
            name = self._named(expr, 2)
            return [Token(name.ink, name.width, depth=depth)]
        match expr:
            case Sum(terms):
                return self._sum(terms, limit, depth)
            case Product(factors):
                return self._product(factors, limit, depth)
            case Quotient(above, below):
                return self._quotient(above, below, limit, depth)
            case Power(base, exponent) if exponent < 0:
                return self._quotient(ONE, base if exponent == -1 else Power(base, -exponent), limit, depth)
            case Power(base, exponent):
                return self._fenced(base, limit, depth, exponent)
            case Parallel(branches):
                return self._parallel(branches, limit, depth)
            case Call("sqrt", argument):
                name = root(self._named(argument, 2), self.pen)
                return [Token(name.ink, name.width, depth=depth)]
            case Call("abs", argument):
                return self._fenced(argument, limit, depth, bars=True)
            case Call(function, argument):
                inner = self._fenced(argument, limit - 2.4, depth)
                return _prefixed(inner, self.pen.function(function), EXPONENTIAL if function == "exp" else LOGARITHM)
        # A symbol cannot be broken; the spelling keeps it narrower than any column.
        return [Token(piece.ink, piece.width, depth=depth)]

    def _sum(self, terms: tuple[Expr, ...], limit: float, depth: int) -> list[Token]:
        result: list[Token] = []
        for place, (sign, term) in enumerate(signed(terms)):
            run = self._maybe_fenced(term, limit - BINARY, depth + 1, self.setter.loose_term(term))
            if place == 0:
                run = _prefixed(run, self.pen.minus, SIGN) if sign == "-" else run
            else:
                run[0] = replace(run[0], lead=self.pen.sign(sign), lead_width=BINARY,
                                 fresh=self.pen.lead(sign), fresh_width=BINARY, depth=depth)  # fmt: skip
            result += run
        return result

    def _product(self, factors: tuple[Expr, ...], limit: float, depth: int) -> list[Token]:
        if factors[0] == MINUS_ONE:
            rest = Product(factors[1:])
            run = self._maybe_fenced(rest, limit - SIGN, depth, self.setter.set(rest).negative)
            return _prefixed(run, self.pen.minus, SIGN)
        if len(factors) == 1:
            return self._factor(factors[0], limit, depth, first=True)
        result: list[Token] = []
        for place, factor in enumerate(factors):
            run = self._factor(factor, limit - BINARY, depth + 1, first=place == 0)
            if place:
                before = self.setter.factor(factors[place - 1], first=place == 1)
                lead, width = between(before, self.setter.factor(factor, first=False), self.pen)
                run[0] = replace(run[0], lead=lead, lead_width=width, fresh=self.pen.lead("×"), fresh_width=BINARY,
                                 depth=depth)  # fmt: skip
            result += run
        return result

    def _factor(self, factor: Expr, limit: float, depth: int, *, first: bool) -> list[Token]:
        return self._maybe_fenced(factor, limit, depth, self.setter.loose_factor(factor, first=first))

    def _parallel(self, branches: tuple[Expr, ...], limit: float, depth: int) -> list[Token]:
        result: list[Token] = []
        for place, branch in enumerate(branches):
            run = self._maybe_fenced(branch, limit - PARALLEL, depth + 1, self.setter.loose_branch(branch))
            if place:
                run[0] = replace(run[0], lead=self.pen.sign("∥"), lead_width=PARALLEL,
                                 fresh=self.pen.lead("∥"), fresh_width=PARALLEL, depth=depth)  # fmt: skip
            result += run
        return result

    def _maybe_fenced(self, expr: Expr, limit: float, depth: int, loose: bool) -> list[Token]:
        if not loose:
            return self.tokens(expr, limit, depth)
        whole = fence(self.setter.set(expr), self.pen)
        if whole.width <= min(limit - INDENT, self.grain):
            return [Token(whole.ink, whole.width, depth=depth)]
        return self._fenced(expr, limit, depth)

    def _fenced(
        self,
        expr: Expr,
        limit: float,
        depth: int,
        power: int | None = None,
        *,
        bars: bool = False,
    ) -> list[Token]:
        level = self.setter.set(expr).level
        size = (BARS if bars else FENCES)[min(level, 2)]
        power_width = 0.0 if power is None else 0.5 * len(str(power))
        opening, closing = self.pen.opening(level, bars=bars), self.pen.closing(level, bars=bars, power=power)
        inner = self.tokens(expr, limit - 2 * size - power_width - INDENT, depth + 1)
        run = _prefixed([replace(token, nest=token.nest + 1) for token in inner], opening, size)
        run[0] = replace(run[0], nest=0)
        run[-1] = replace(run[-1], ink=run[-1].ink + closing, width=run[-1].width + size + power_width)
        return run

    def _quotient(self, above: Expr, below: Expr, limit: float, depth: int) -> list[Token]:
        if is_negative(above) and not is_negative(negate(above)):
            return _prefixed(self._quotient(negate(above), below, limit - SIGN, depth), self.pen.minus, SIGN)
        inner = self.setter.inner()
        parts = [inner.set(above), inner.set(below)]
        self.names.count += 1
        number = self.names.count
        for place, expr in enumerate((above, below)):
            if parts[place].width > limit / 2:
                parts[place] = self._named(expr, place, number)
        fraction = stack(parts[0], parts[1], self.pen)
        return [Token(fraction.ink, fraction.width, depth=depth)]

    def _named(self, expr: Expr, place: int, number: int | None = None) -> Piece:
        if expr in self.names.known:
            return self.names.known[expr]
        if number is None:
            self.names.count += 1
            number = self.names.count
        name = self.names.name(expr, place, number)
        self.names.known[expr] = name
        self.pending.append((name, expr))
        return name


def _is_breakable(expr: Expr) -> bool:
    """Whether there are places between its parts where a line may break."""
    return isinstance(expr, Sum | Product | Parallel)


def _prefixed(run: list[Token], ink: str, width: float) -> list[Token]:
    return [replace(run[0], ink=ink + run[0].ink, width=width + run[0].width), *run[1:]]
