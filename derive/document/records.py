"""The worksheet as a document: blocks of words, algebra, numbers, tables and pictures.

Enters: nothing. Leaves: the records that ``derive.document.compose`` fills and ``derive.typeset`` renders.
Must not know: circuits and kernels on one side, LaTeX and HTML on the other. A symbol is an expression
tree here, a number is a value with its unit; how they look is decided by whoever renders.

Words are tuples of inline pieces: plain text (escaped when rendered), algebra, readings, node names.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.document.figures import Comparison, Histograms, Overlay
from derive.expression.tree import Volt
from derive.words import Code, Formula, Inline, Line, Node, Reading, Strong, Words

DIRECT = "dc "
"""Before the name of a node where its direct voltage is meant and not its signal; no node's name has a blank."""


def direct(node: str) -> Volt:
    """The direct voltage of a node, which is spelt with a large V.

    >>> direct("out")
    Volt(node='dc out')
    """
    return Volt(DIRECT + node)


@dataclass(frozen=True)
class Row:
    """A row of the ledger: the rule in words, the algebra, the number beside it.

    ``note`` is small print under the rule (a condition, a measured error). ``kind`` tells equalities from
    approximations and from lines that only say something.
    """

    rule: Words
    algebra: tuple[Line, ...]
    number: Words
    note: Words = ()
    kind: Literal["law", "equal", "approximate", "remark"] = "equal"


@dataclass(frozen=True)
class Ledger:
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Heading:
    level: Literal[1, 2]
    words: Words
    label: str = ""


@dataclass(frozen=True)
class Paragraph:
    words: Words


@dataclass(frozen=True)
class Column:
    """A column of a table. ``width``: share of the text width for wrapped words, None for as wide as needed."""

    head: Words
    align: Literal["left", "right", "centre"] = "left"
    width: float | None = None


@dataclass(frozen=True)
class Table:
    columns: tuple[Column, ...]
    rows: tuple[tuple[Words, ...], ...]
    caption: Words = ()


@dataclass(frozen=True)
class Curve:
    """Samples of one response: frequencies in Hz, complex values."""

    name: Literal["exact", "approximate", "error"]
    frequencies: tuple[float, ...]
    values: tuple[complex, ...]


@dataclass(frozen=True)
class Plot:
    """Magnitude and phase over frequency, exact and approximate.

    ``unit`` "V/V" or "1" plots in decibels, "Ω" on a logarithmic axis of ohms; "%" plots one curve, an error, alone.
    ``agree``: the band (Hz) in which the approximate answer stays within ``tolerance`` (a fraction) of the exact one
    around the spot, or None; ``agree_again``: further such bands.
    ``band`` the author's band, ``spot`` the frequency of the numbers.
    """

    stem: str
    title: Words
    unit: str
    curves: tuple[Curve, ...]
    band: tuple[float, float]
    spot: float
    agree: tuple[float, float] | None = None
    agree_again: tuple[tuple[float, float], ...] = ()
    tolerance: float | None = None
    caption: Words = ()


@dataclass(frozen=True)
class Notice:
    """A framed remark: a caution of safety, a warning that something claimed does not hold, a plain note."""

    kind: Literal["caution", "warning", "note"]
    words: Words


Block: TypeAlias = Heading | Paragraph | Ledger | Table | Plot | Notice | Histograms | Comparison | Overlay


@dataclass(frozen=True)
class TitleBlock:
    """The data fields of ISO 7200 (title block of a technical document) that apply; None where not given.

    ``sheet`` counts are added when the page is set.
    """

    title: str
    purpose: str | None
    owner: str | None
    number: str | None
    revision: str | None
    date: str | None
    author: str | None
    approved: str | None
    language: str
    kind: str = "Derivation worksheet"


@dataclass(frozen=True)
class Document:
    title: TitleBlock
    blocks: tuple[Block, ...]
    colophon: tuple[tuple[str, str], ...]
    """Name and value of versions and of the sha256 of the description, printed at the end."""


__all__ = [
    "DIRECT",
    "Block",
    "Code",
    "Column",
    "Curve",
    "Document",
    "Formula",
    "Heading",
    "Inline",
    "Ledger",
    "Line",
    "Node",
    "Notice",
    "Paragraph",
    "Plot",
    "Reading",
    "Row",
    "Strong",
    "Table",
    "TitleBlock",
    "Words",
    "direct",
]
