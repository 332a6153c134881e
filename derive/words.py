"""Words with algebra and numbers among them, and lines of algebra: what steps and pages are made of.

Enters: nothing. Leaves: records. Must not know: circuits and kernels on one side, LaTeX on the other. A symbol
is an expression tree, a number is a value with its unit; how they look is decided by whoever renders.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.expression.tree import Expr, Relation


@dataclass(frozen=True)
class Formula:
    """Algebra within a line of words; a relation is a statement such as ``gm*R >> 1``."""

    expr: Expr | Relation


@dataclass(frozen=True)
class Reading:
    """A number with its unit in SI base units, printed in engineering notation with ``digits`` digits.

    ``unit``: "Ω", "S", "F", "H", "V", "A", "s", "Hz", "V/V", "1" (a ratio), "1/s", "s^2" (a power of s),
    "dB", "°", "%" (the value is then already in that unit). ``style``: "plain"; "magnitude": a complex value
    as its magnitude and, unless it is real and positive, its phase in degrees (a real negative value prints
    as a negative number); "stated": an author's value, without trailing zeros.
    """

    value: complex
    unit: str
    digits: int = 4
    style: Literal["plain", "magnitude", "stated"] = "plain"


@dataclass(frozen=True)
class Node:
    """The name of a node, or a pin, in upright letters."""

    name: str


@dataclass(frozen=True)
class Code:
    """Text as it stands in the description, in a typewriter face."""

    text: str


@dataclass(frozen=True)
class Strong:
    text: str


Inline: TypeAlias = str | Formula | Reading | Node | Code | Strong
Words: TypeAlias = tuple[Inline, ...]


@dataclass(frozen=True)
class Line:
    """One line of algebra: ``left sign right``; ``left`` None continues the line above."""

    left: Expr | None
    sign: Literal["=", "≈", ":="]
    right: Expr
