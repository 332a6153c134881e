"""What someone wrote on paper, read.

Enters: nothing. Leaves: the records that a verdict is given on. Must not know: answers, how they were read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.expression.tree import Expr

Sign = Literal["=", "≈"]


@dataclass(frozen=True)
class Definition:
    """A name that the author introduced (``Rx = R1 || R2``), with earlier definitions put in.

    ``name`` in plain letters (``R_load`` for ``R_{\\mathrm{load}}``); ``text``: what stands right of the sign, as
    written; ``line`` counted from one.
    """

    name: str
    value: Expr
    text: str
    line: int


@dataclass(frozen=True)
class Link:
    """One side of a chain of equalities, with the sign that stands before it, all definitions put in."""

    sign: Sign
    value: Expr
    text: str
    line: int


@dataclass(frozen=True)
class Hand:
    """A result by hand: the name left of the first sign (None where only expressions were written), and the chain.

    All symbols are the circuit's own, or ``s``, ``w``, ``f`` and ``pi``; every link has the same dimension.
    """

    target: str | None
    definitions: tuple[Definition, ...]
    links: tuple[Link, ...]
