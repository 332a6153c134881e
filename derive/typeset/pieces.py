"""Pieces of set algebra: LaTeX together with its width, so that the two cannot drift apart.

Enters: LaTeX fragments. Leaves: joined, fenced and stacked fragments with their widths in em.
Must not know: expressions, symbols.

Widths follow the TeXbook: appendix G, rules 11 to 15 for radicals, fractions and fences, and chapter 18 for
the spaces between atoms. Fences have stated sizes (``\\biggl``) and are never ``\\left … \\right``: their
widths are then known, no space creeps in, and a line may break between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

Kind = Literal["atom", "product", "slash", "parallel", "sum"]

THIN, MEDIUM, THICK = 1 / 6, 2 / 9, 5 / 18
SIGN = 0.778
BINARY = SIGN + 2 * MEDIUM
RELATION = SIGN + 2 * THICK
PARALLEL = 0.5 + 2 * THICK
FRACTION = 0.241
RADICAL = 1.001
LOGARITHM = 2.14 + THIN
EXPONENTIAL = 1.53
INFINITY = 1.0
FENCES = ((0.389, "", ""), (0.737, r"\biggl", r"\biggr"), (0.792, r"\Biggl", r"\Biggr"))
BARS = (0.278, 0.334, 0.334)


@dataclass(frozen=True)
class Piece:
    """Set algebra. ``level`` counts the fractions stacked in it; ``kind`` says how loosely it holds."""

    latex: str
    width: float
    kind: Kind = "atom"
    level: int = 0
    negative: bool = False
    word: bool = False
    """Begins or ends with a word, so that a product must keep a thin space there."""
    number: bool = False
    """Begins with a digit."""

    @property
    def apart(self) -> bool:
        """Whether neighbours in a product stand off by a thin space."""
        return self.word or self.level > 0 or self.latex.endswith((")", "|"))


def fence(inner: Piece, *, power: str = "") -> Piece:
    """The piece in brackets of its height."""
    size, opening, closing = FENCES[min(inner.level, 2)]
    latex = f"{opening}({inner.latex}{closing}){power}"
    return Piece(latex, inner.width + 2 * size, "atom", inner.level)


def fence_ends(level: int) -> tuple[str, str, float]:
    """Opening and closing bracket of a height, and the width of one."""
    size, opening, closing = FENCES[min(level, 2)]
    return f"{opening}(", f"{closing})", size


def bars(inner: Piece) -> Piece:
    """The piece between upright bars."""
    level = min(inner.level, 2)
    _, opening, closing = FENCES[level]
    return Piece(rf"{opening}\lvert {inner.latex}{closing}\rvert", inner.width + 2 * BARS[level], "atom", inner.level)


def stack(above: Piece, below: Piece, command: str) -> Piece:
    """A fraction."""
    width = max(above.width, below.width) + FRACTION
    level = 1 + max(above.level, below.level)
    return Piece(rf"{command}{{{above.latex}}}{{{below.latex}}}", width, "atom", level)


def root(inner: Piece) -> Piece:
    return Piece(rf"\sqrt{{{inner.latex}}}", inner.width + RADICAL, "atom", inner.level)


def minus(inner: Piece) -> Piece:
    """Minus the piece, as the first thing of an expression."""
    kind: Kind = "slash" if inner.kind == "slash" else "product"
    return Piece("-" + inner.latex, inner.width + SIGN, kind, inner.level, negative=True)


def juxtapose(factors: list[Piece]) -> Piece:
    """A product without signs of multiplication but where two numbers would run together."""
    latex, width = factors[0].latex, factors[0].width
    for before, factor in pairwise(factors):
        space, gap = between(before, factor)
        latex, width = latex + space + factor.latex, width + gap + factor.width
    return Piece(
        latex, width, "product", max(f.level for f in factors),
        negative=factors[0].negative, word=factors[-1].word or factors[0].word, number=factors[0].number,
    )  # fmt: skip


def between(before: Piece, factor: Piece) -> tuple[str, float]:
    """What stands between two factors, and its width."""
    if factor.number:
        return r" \cdot ", 0.278 + 2 * MEDIUM
    opens = factor.latex.startswith(("(", r"\biggl", r"\Biggl"))
    if before.apart or factor.word or factor.level > 0 or opens:
        return r"\,", THIN
    return " ", 0.0
