"""Lines of algebra cut to the width of a column, so that nothing is ever overfull.

Enters: ``Line`` records, a width in em. Leaves: lines of LaTeX for ``aligned``, each ``left & right``.
Must not know: pages, words.

Sums break before a sign, products before a factor (then with ×), parallel parts before ∥: breaks stand
before the operator, as in displays by the TeXbook (chapter 18). A quotient too wide becomes a fraction of
names, and lines N = … and D = … follow. Breaks are chosen for the fewest lines, then for the outermost.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from derive.document.records import Line
from derive.errors import Defect
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
    is_negative,
    negate,
    symbols,
)
from derive.typeset.math import Setter, signed
from derive.typeset.pieces import BINARY, PARALLEL, RELATION, SIGN, THIN, Piece, fence_ends, root, stack
from derive.typeset.spelling import Spelling

INDENT = 1.0
"""What follows a left side on a line of its own is set in by a quad."""
WIDEST_LEFT = 0.38
"""A left side wider than this share of the column gets a line of its own."""
SIGNS = {"=": "=", "≈": r"\approx", ":=": r"\coloneqq"}
SIGN_WIDTHS = {"=": RELATION, r"\approx": RELATION, r"\coloneqq": RELATION + 0.3}
LETTERS = (("N", "D"), ("P", "Q"), ("U", "W"), ("X", "Y"))


@dataclass
class Abbreviations:
    """The names N and D that stand for numerators and denominators too wide to print in place.

    One for a sheet: each name is given once, with a number.
    """

    spelling: Spelling
    known: dict[Expr, Piece] = field(default_factory=dict)
    count: int = 0

    def copy(self) -> Abbreviations:
        return Abbreviations(self.spelling, dict(self.known), self.count)

    def letters(self) -> tuple[str, str]:
        """The first pair of letters that no symbol of the sheet begins with."""
        taken = {latex.partition("_")[0] for latex in self.spelling.taken()}
        return next((pair for pair in LETTERS if not taken & set(pair)), (r"\mathcal{N}", r"\mathcal{D}"))

    def name(self, expr: Expr, letter: str, number: int) -> Piece:
        """The name of an expression: N₁, or N₁(s) where it depends on s."""
        of_s = "(s)" if "s" in symbols(expr) else ""
        width = 1.15 + 0.45 * len(str(number)) + (1.25 if of_s else 0)
        return Piece(f"{letter}_{{{number}}}{of_s}", width)


@dataclass(frozen=True)
class Token:
    """An unbreakable run. ``lead`` precedes it within a line, ``fresh`` at the beginning of one."""

    latex: str
    width: float
    lead: str = ""
    lead_width: float = 0.0
    fresh: str = ""
    fresh_width: float = 0.0
    depth: int = 0


@dataclass
class Cutter:
    """Takes one line apart. ``pending`` gathers the definitions that have to follow it."""

    setter: Setter
    names: Abbreviations
    pending: list[tuple[Piece, Expr]] = field(default_factory=list)

    def tokens(self, expr: Expr, limit: float, depth: int = 0) -> list[Token]:
        piece = self.setter.set(expr)
        if piece.width <= limit:
            return [Token(piece.latex, piece.width, depth=depth)]
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
                return self._fenced(base, limit, depth, f"^{{{exponent}}}", 0.5 * len(str(exponent)))
            case Parallel(branches):
                return self._parallel(branches, limit, depth)
            case Call("sqrt", argument):
                name = root(self._named(argument, 0))
                return [Token(name.latex, name.width, depth=depth)]
            case Call("abs", argument):
                return self._fenced(argument, limit, depth, bars=True)
            case Call(_, argument):
                inner = self._fenced(argument, limit - 2.4, depth)
                return _prefixed(inner, r"\log_{10}", 2.31)
        raise Defect(f"a symbol is wider than its column: {piece.latex}")

    def _sum(self, terms: tuple[Expr, ...], limit: float, depth: int) -> list[Token]:
        result: list[Token] = []
        for place, (sign, term) in enumerate(signed(terms)):
            loose = self.setter.set(term).kind in ("sum", "parallel")
            run = self._maybe_fenced(term, limit - BINARY, depth + 1, loose)
            if place == 0:
                run = _prefixed(run, "-", SIGN) if sign == "-" else run
            else:
                run[0] = replace(run[0], lead=f" {sign} ", lead_width=BINARY,
                                 fresh=f"{sign} ", fresh_width=BINARY, depth=depth)  # fmt: skip
            result += run
        return result

    def _product(self, factors: tuple[Expr, ...], limit: float, depth: int) -> list[Token]:
        if factors[0] == MINUS_ONE:
            return _prefixed(self.tokens(Product(factors[1:]), limit - SIGN, depth), "-", SIGN)
        if len(factors) == 1:
            return self._factor(factors[0], limit, depth, first=True)
        result: list[Token] = []
        for place, factor in enumerate(factors):
            run = self._factor(factor, limit - BINARY, depth + 1, first=place == 0)
            if place:
                number = run[0].latex[0].isdigit()
                lead, width = (r" \cdot ", 0.73) if number else (r"\,", THIN)
                run[0] = replace(run[0], lead=lead, lead_width=width, fresh=r"\times ", fresh_width=BINARY, depth=depth)
            result += run
        return result

    def _factor(self, factor: Expr, limit: float, depth: int, *, first: bool) -> list[Token]:
        piece = self.setter.set(factor)
        loose = piece.kind in ("sum", "parallel", "slash") or (piece.negative and not first)
        return self._maybe_fenced(factor, limit, depth, loose)

    def _parallel(self, branches: tuple[Expr, ...], limit: float, depth: int) -> list[Token]:
        result: list[Token] = []
        for place, branch in enumerate(branches):
            piece = self.setter.set(branch)
            run = self._maybe_fenced(branch, limit - PARALLEL, depth + 1, piece.kind in ("sum", "parallel"))
            if place:
                run[0] = replace(run[0], lead=r" \parallel ", lead_width=PARALLEL,
                                 fresh=r"\parallel ", fresh_width=PARALLEL, depth=depth)  # fmt: skip
            result += run
        return result

    def _maybe_fenced(self, expr: Expr, limit: float, depth: int, loose: bool) -> list[Token]:
        return self._fenced(expr, limit, depth) if loose else self.tokens(expr, limit, depth)

    def _fenced(
        self, expr: Expr, limit: float, depth: int, power: str = "", power_width: float = 0.0, *, bars: bool = False
    ) -> list[Token]:
        opening, closing, size = fence_ends(self.setter.set(expr).level)
        if bars:
            opening, closing = opening[:-1] + r"\lvert ", closing[:-1] + r"\rvert "
        run = _prefixed(self.tokens(expr, limit - 2 * size - power_width, depth + 1), opening, size)
        run[-1] = replace(
            run[-1], latex=run[-1].latex + closing + power, width=run[-1].width + size + power_width
        )
        return run

    def _quotient(self, above: Expr, below: Expr, limit: float, depth: int) -> list[Token]:
        if is_negative(above):
            return _prefixed(self._quotient(negate(above), below, limit - SIGN, depth), "-", SIGN)
        inner = self.setter.inner()
        parts = [inner.set(above), inner.set(below)]
        self.names.count += 1
        number = self.names.count
        for place, expr in enumerate((above, below)):
            if parts[place].width > limit / 2:
                parts[place] = self._named(expr, place, number)
        fraction = stack(parts[0], parts[1], r"\frac")
        return [Token(fraction.latex, fraction.width, depth=depth)]

    def _named(self, expr: Expr, place: int, number: int | None = None) -> Piece:
        if expr in self.names.known:
            return self.names.known[expr]
        if number is None:
            self.names.count += 1
            number = self.names.count
        name = self.names.name(expr, self.names.letters()[place], number)
        self.names.known[expr] = name
        self.pending.append((name, expr))
        return name


def _prefixed(run: list[Token], latex: str, width: float) -> list[Token]:
    return [replace(run[0], latex=latex + run[0].latex, width=width + run[0].width), *run[1:]]


def fill(tokens: list[Token], first: float, rest: float) -> list[str]:
    """Fills lines with tokens: fewest lines, then breaks at the least depth, then the fullest early lines.

    ``first`` and ``rest``: widths of the first line and of those that follow.
    """
    best: list[tuple[tuple[float, ...], int]] = [((0.0, 0.0, 0.0), 0)]
    for end in range(1, len(tokens) + 1):
        options = []
        for start in range(end - 1, -1, -1):
            width = _line_width(tokens, start, end)
            room = first if start == 0 else rest
            if width > room and start < end - 1:
                break
            lines, depth, slack = best[start][0]
            cost = (lines + 1, depth + (tokens[start].depth if start else 0), slack + (room - width) ** 2)
            options.append((cost, start))
        best.append(min(options))
    cuts, end = [len(tokens)], len(tokens)
    while end > 0:
        end = best[end][1]
        cuts.insert(0, end)
    return [_line_latex(tokens, start, end) for start, end in zip(cuts, cuts[1:], strict=False)]


def _line_width(tokens: list[Token], start: int, end: int) -> float:
    head = (tokens[start].fresh_width if start else 0.0) + tokens[start].width
    return head + sum(token.lead_width + token.width for token in tokens[start + 1 : end])


def _line_latex(tokens: list[Token], start: int, end: int) -> str:
    head = (tokens[start].fresh if start else "") + tokens[start].latex
    return head + "".join(token.lead + token.latex for token in tokens[start + 1 : end])


def fit(line: Line, width: float, spelling: Spelling, names: Abbreviations | None = None) -> list[str]:
    """One line of algebra as lines for ``aligned`` (``left & right``) no wider than ``width`` em."""
    return fit_lines((line,), width, spelling, names)


def fit_lines(
    lines: tuple[Line, ...], width: float, spelling: Spelling, names: Abbreviations | None = None
) -> list[str]:
    """Lines of algebra, aligned at their signs, as lines for ``aligned`` no wider than ``width`` em."""
    names = names if names is not None else Abbreviations(spelling)
    setter = Setter(spelling)
    lefts = [setter.set(line.left).width for line in lines if line.left is not None]
    hang = max((left for left in lefts if left <= WIDEST_LEFT * width), default=0.0)
    trial = names.copy()
    result, widest = _attempt(lines, width, hang, setter, trial)
    if widest > hang:
        trial = names.copy()
        result, _ = _attempt(lines, width, widest, setter, trial)
    names.known, names.count = trial.known, trial.count
    return result


def _attempt(
    lines: tuple[Line, ...], width: float, hang: float, setter: Setter, names: Abbreviations
) -> tuple[list[str], float]:
    """The lines cut, with a first column of ``hang`` em; and the width that this column would need."""
    room = width - hang
    result: list[str] = []
    widest = hang
    queue: list[tuple[Piece | Expr | None, str, Expr]] = [(line.left, SIGNS[line.sign], line.right) for line in lines]
    while queue:
        left, sign, right = queue.pop(0)
        cutter = Cutter(setter, names)
        head, indent = "", ""
        if isinstance(left, Piece):
            head, widest = left.latex, max(widest, left.width)
        elif left is not None:
            piece = setter.set(left)
            head = piece.latex
            if piece.width > WIDEST_LEFT * width:
                cut = fill(cutter.tokens(left, room - INDENT), room, room - INDENT)
                result += [f"& {cut[0]}", *(rf"& \quad {part}" for part in cut[1:])]
                head, indent = "", r"\quad "
        space = room - SIGN_WIDTHS[sign] - (INDENT if indent else 0.0)
        cut = fill(cutter.tokens(right, space), space, space)
        result.append(f"{head} & {indent}{sign} {cut[0]}".strip())
        # A continued line begins under the first term of its right side.
        result += [rf"& {indent}\continued {part}" for part in cut[1:]]
        queue[0:0] = [(name, "=", expr) for name, expr in cutter.pending]
    return result, widest


def fit_expr(expr: Expr, width: float, spelling: Spelling, names: Abbreviations) -> list[str]:
    """An expression without a left side, cut to the width; each line begins in the second column."""
    setter = Setter(spelling)
    cutter = Cutter(setter, names)
    cut = fill(cutter.tokens(expr, width - INDENT), width - INDENT, width - INDENT)
    result = [f"& {cut[0]}", *(rf"& \quad {part}" for part in cut[1:])]
    for name, meaning in cutter.pending:
        room = width - RELATION - name.width
        inner = Cutter(setter, names, cutter.pending)
        parts = fill(inner.tokens(meaning, room), room, room)
        result.append(f"& {name.latex} = {parts[0]}")
        result += [rf"& \quad {part}" for part in parts[1:]]
    return result
