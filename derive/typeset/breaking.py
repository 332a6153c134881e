"""Lines of algebra cut to the width of a column, so that nothing is ever overfull.

Enters: ``Line`` records, a width in em. Leaves: lines of LaTeX for ``aligned``, each ``left & right``.
Must not know: pages, words.

Breaks are chosen for the fewest lines, then for the outermost, then for lines of like length. Where a
quotient was too wide and became a fraction of names, lines N = … and D = … follow.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from derive.expression.tree import Expr, Relation
from derive.typeset.cutting import INDENT, Abbreviations, Cutter, Token
from derive.typeset.math import WIDER, Setter
from derive.typeset.pens import RELATIONS
from derive.typeset.pieces import RELATION, Piece
from derive.typeset.spelling import Spelling
from derive.words import Line

WIDEST_LEFT = 0.38
"""A left side wider than this share of the column gets a line of its own."""
SHORT_RIGHT = 2.0
"""A right side up to this width (a zero, a current) shares the last line of a long left side."""
SIGNS = {"=": "=", "≈": r"\approx", ":=": r"\coloneqq"}
SIGN_WIDTHS = {"=": RELATION, r"\approx": RELATION, r"\coloneqq": RELATION + 0.3}


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
    return [_line_latex(tokens, start, end) for start, end in pairwise(cuts)]


def _line_width(tokens: list[Token], start: int, end: int) -> float:
    first = tokens[start]
    head = (first.fresh_width + INDENT * first.set_in if start else 0.0) + first.width
    return head + sum(token.lead_width + token.width for token in tokens[start + 1 : end])


def _line_latex(tokens: list[Token], start: int, end: int) -> str:
    first = tokens[start]
    head = (r"\quad " * first.set_in + first.fresh if start else "") + first.ink
    return head + "".join(token.lead + token.ink for token in tokens[start + 1 : end])


def fit(line: Line, width: float, spelling: Spelling, names: Abbreviations | None = None) -> list[str]:
    """One line of algebra as lines for ``aligned`` (``left & right``) no wider than ``width`` em."""
    return fit_lines((line,), width, spelling, names)


def fit_lines(
    lines: tuple[Line, ...], width: float, spelling: Spelling, names: Abbreviations | None = None
) -> list[str]:
    """Lines of algebra, aligned at their signs, as lines for ``aligned`` no wider than ``width`` em."""
    names = names if names is not None else Abbreviations(spelling)
    setter = Setter(spelling)
    lefts = [setter.set(line.left) for line in lines if line.left is not None]
    hang = max((left.width for left in lefts if left.width <= WIDEST_LEFT * width), default=0.0)
    trial = names.copy()
    result, widest = _attempt(lines, width, hang, setter, trial)
    if widest > hang:
        # A name of a numerator is wider than the left sides that were given: once more, with its room.
        trial = names.copy()
        result, _ = _attempt(lines, width, widest, setter, trial)
    names.known, names.count = trial.known, trial.count
    return result


def portions(lines: list[str], most: int) -> list[list[str]]:
    """Lines for ``aligned`` in portions of at most ``most``, whose signs stand under one another.

    The longest left side leads each further portion as a phantom, so that its first column is as wide.
    """
    cut = [lines[start : start + most] for start in range(0, len(lines), most)]
    heads = [line.partition("&")[0].strip() for line in lines]
    longest = max(heads, key=lambda head: len(re.sub(r"\\mathrm|[\\{}_^ ]", "", head)), default="")
    if not longest:
        return cut
    for portion in cut[1:]:
        head, _, rest = portion[0].partition("&")
        own = rf"\mathllap{{{head.strip()}}}" if head.strip() else ""
        portion[0] = rf"\hphantom{{{longest}}}{own} &{rest}"
    return cut


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
            head, widest = left.ink, max(widest, left.width)
        elif left is not None:
            piece = setter.set(left)
            head = piece.ink
            whole = setter.set(right)
            if piece.width > hang and piece.width + SIGN_WIDTHS[sign] + whole.width <= room:
                result.append(f"& {head} {sign} {whole.ink}")
                continue
            if piece.width > WIDEST_LEFT * width:
                joined = whole.width <= SHORT_RIGHT
                tail, wider = (f" {sign} {whole.ink}", SIGN_WIDTHS[sign] + whole.width) if joined else ("", 0.0)
                # "= 0" stays with the last term of what it closes, and each term leaves room for it.
                tokens = cutter.tokens(left, room - INDENT - wider)
                tokens[-1] = replace(tokens[-1], ink=tokens[-1].ink + tail, width=tokens[-1].width + wider)
                cut = fill(tokens, room, room - INDENT)
                result += [f"& {cut[0]}", *(rf"& \quad {part}" for part in cut[1:])]
                if joined:
                    queue[0:0] = [(name, "=", expr) for name, expr in cutter.pending]
                    continue
                head, indent = "", r"\quad "
        space = room - SIGN_WIDTHS[sign] - (INDENT if indent else 0.0)
        cut = fill(cutter.tokens(right, space), space, space)
        result.append(f"{head} & {indent}{sign} {cut[0]}".strip())
        # A continued line begins under the first term of its right side.
        result += [rf"& {indent}\continued {part}" for part in cut[1:]]
        queue[0:0] = [(name, "=", expr) for name, expr in cutter.pending]
    return result, widest


def fit_expr(expr: Expr | Relation, width: float, spelling: Spelling, names: Abbreviations) -> list[str]:
    """An expression without a left side, or a relation, cut to the width; all in the second column."""
    setter = Setter(spelling)
    cutter = Cutter(setter, names)
    sides = (
        [("", expr)] if not isinstance(expr, Relation) else [("", expr.left), (RELATIONS[expr.op] + " ", expr.right)]
    )
    result: list[str] = []
    for sign, side in sides:
        room = width - (INDENT + RELATION + WIDER if sign else INDENT)
        for part in fill(cutter.tokens(side, room), room, room):
            result.append("& " + (r"\quad " if result else "") + sign + part)
            sign = r"\quad " if sign else ""
    for name, meaning in cutter.pending:
        room = width - RELATION - name.width
        # What has to be named within is appended to the list that is being read, and so follows.
        inner = Cutter(setter, names, cutter.pending)
        parts = fill(inner.tokens(meaning, room), room, room)
        result.append(f"& {name.ink} = {parts[0]}")
        result += [rf"& \quad {part}" for part in parts[1:]]
    return result
