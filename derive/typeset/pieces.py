"""Pieces of set algebra: what a pen wrote together with its width, so that the two cannot drift apart.

Enters: fragments. Leaves: joined, fenced and stacked fragments with their widths in em.
Must not know: expressions, symbols, what the pen writes (LaTeX, MathML).

Widths follow the TeXbook: appendix G, rules 11 to 15 for radicals, fractions and fences, and chapter 18 for
the spaces between atoms. Fences have stated sizes (``\\biggl``) and are never ``\\left … \\right``: their
widths are then known, no space creeps in, and a line may break between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from derive.typeset.pens import LATEX, Pen

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
FENCES = (0.389, 0.737, 0.792)
BARS = (0.278, 0.334, 0.334)


@dataclass(frozen=True)
class Piece:
    """Set algebra. ``level`` counts the fractions stacked in it; ``kind`` says how loosely it holds."""

    ink: str
    width: float
    kind: Kind = "atom"
    level: int = 0
    negative: bool = False
    word: bool = False
    """Begins or ends with a word, so that a product must keep a thin space there."""
    number: bool = False
    """Begins with a digit."""
    opens: bool = False
    """Begins with a bracket."""
    closes: bool = False
    """Ends with a bracket or a bar."""

    @property
    def apart(self) -> bool:
        """Whether neighbours in a product stand off by a thin space."""
        return self.word or self.level > 0 or self.closes


def fence(inner: Piece, pen: Pen = LATEX) -> Piece:
    """The piece in brackets of its height."""
    width = inner.width + 2 * FENCES[min(inner.level, 2)]
    return Piece(pen.fence(inner.ink, inner.level), width, "atom", inner.level, opens=True, closes=True)


def bars(inner: Piece, pen: Pen = LATEX) -> Piece:
    """The piece between upright bars."""
    width = inner.width + 2 * BARS[min(inner.level, 2)]
    return Piece(pen.fence(inner.ink, inner.level, bars=True), width, "atom", inner.level)


def stack(above: Piece, below: Piece, pen: Pen = LATEX, *, outer: bool = True) -> Piece:
    """A fraction, ``outer`` where it stands in no other."""
    width = max(above.width, below.width) + FRACTION
    level = 1 + max(above.level, below.level)
    return Piece(pen.fraction(above.ink, below.ink, outer=outer), width, "atom", level)


def root(inner: Piece, pen: Pen = LATEX) -> Piece:
    return Piece(pen.root(inner.ink), inner.width + RADICAL, "atom", inner.level)


def minus(inner: Piece, pen: Pen = LATEX) -> Piece:
    """Minus the piece, as the first thing of an expression."""
    kind: Kind = "slash" if inner.kind == "slash" else "product"
    return Piece(pen.minus + inner.ink, inner.width + SIGN, kind, inner.level, negative=True, closes=inner.closes)


def juxtapose(factors: list[Piece], pen: Pen = LATEX) -> Piece:
    """A product without signs of multiplication but where two numbers would run together."""
    ink, width = factors[0].ink, factors[0].width
    for before, factor in pairwise(factors):
        space, gap = between(before, factor, pen)
        ink, width = ink + space + factor.ink, width + gap + factor.width
    return Piece(
        ink, width, "product", max(f.level for f in factors),
        negative=factors[0].negative, word=factors[-1].word or factors[0].word, number=factors[0].number,
        opens=factors[0].opens, closes=factors[-1].closes,
    )  # fmt: skip


def between(before: Piece, factor: Piece, pen: Pen = LATEX) -> tuple[str, float]:
    """What stands between two factors, and its width."""
    if factor.number:
        return pen.sign("·"), 0.278 + 2 * MEDIUM
    if before.apart or factor.word or factor.level > 0 or factor.opens:
        return pen.thin, THIN
    return pen.beside, 0.0
