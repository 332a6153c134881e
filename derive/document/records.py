"""The worksheet as a document: blocks of words, algebra, numbers, tables and pictures.

Enters: nothing. Leaves: the records that ``derive.document.compose`` fills and ``derive.typeset`` renders.
Must not know: circuits and kernels on one side, LaTeX and HTML on the other. A symbol is an expression
tree here, a number is a value with its unit; how they look is decided by whoever renders.

Words are tuples of inline pieces: plain text (escaped when rendered), algebra, readings, node names.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.document.figures import Comparison, Histograms, Overlaid
from derive.drawing.records import Drawing, Marks
from derive.drawing.scan import Scanned
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
    approximations and from lines that only say something. ``link``: the label of the heading under which it is derived.
    """

    rule: Words
    algebra: tuple[Line, ...]
    number: Words
    note: Words = ()
    kind: Literal["law", "equal", "approximate", "remark"] = "equal"
    link: str = ""


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
class Mark:
    """A place on a curve that is named by a number: ``frequency`` in Hz, ``number`` degrees of phase margin, or the
    factor that a gain margin is."""

    frequency: float
    number: float


@dataclass(frozen=True)
class LoopPlot:
    """A return ratio over frequency with its margins: ``unity`` where its magnitude passes one (phase margins),
    ``critical`` where it is real and negative (factors)."""

    plot: Plot
    unity: tuple[Mark, ...]
    critical: tuple[Mark, ...]


@dataclass(frozen=True)
class Locus:
    """The curve of a return ratio in its plane, from the lowest frequency to the highest (Nyquist's plot).

    ``turns``: how often the whole curve, with its mirror image, goes round -1 clockwise; None where it passes through.
    """

    curve: Curve
    spot: float
    unity: tuple[float, ...]
    turns: int | None


@dataclass(frozen=True)
class RootMap:
    """Poles and zeros in rad/s."""

    poles: tuple[complex, ...]
    zeros: tuple[complex, ...]


@dataclass(frozen=True)
class PolarPlot:
    """A locus beside a map of roots, each with true angles and a logarithmic radius; one of them may be missing."""

    stem: str
    title: Words
    locus: Locus | None
    roots: RootMap | None
    caption: Words = ()


@dataclass(frozen=True)
class Picture:
    """A drawn circuit with its marks. ``stem`` names it among the pictures of the sheet; ``tall``: its most height on
    paper in mm, None for what a page allows."""

    stem: str
    title: Words
    drawing: Drawing
    marks: Marks
    caption: Words = ()
    tall: float | None = None


@dataclass(frozen=True)
class Overlay:
    """The author's own picture of the circuit with marks over it."""

    stem: str
    title: Words
    scan: Scanned
    marks: Marks
    caption: Words = ()


@dataclass(frozen=True)
class Series:
    """One line of a family: a label, positive values; ``whole``: what the others are parts of."""

    label: str
    values: tuple[float, ...]
    whole: bool = False


@dataclass(frozen=True)
class Family:
    """Several magnitudes over frequency in one frame, in ``unit`` on a logarithmic axis, such as densities of noise
    under their sum. ``quantity``: what stands on the axis, in a word or two; ``key`` tells how to read the lines."""

    stem: str
    title: Words
    quantity: str
    unit: str
    frequencies: tuple[float, ...]
    series: tuple[Series, ...]
    band: tuple[float, float]
    spot: float
    key: Words = ()


@dataclass(frozen=True)
class Notice:
    """A framed remark: a caution of safety, a warning that something claimed does not hold, a plain note."""

    kind: Literal["caution", "warning", "note"]
    words: Words


Graph: TypeAlias = Plot | LoopPlot | PolarPlot | Family | Histograms | Comparison | Overlaid
"""What is drawn from samples."""
Block: TypeAlias = Heading | Paragraph | Ledger | Table | Graph | Picture | Overlay | Notice


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
    "Comparison",
    "Curve",
    "Document",
    "Family",
    "Formula",
    "Graph",
    "Heading",
    "Histograms",
    "Inline",
    "Ledger",
    "Line",
    "Locus",
    "LoopPlot",
    "Mark",
    "Node",
    "Notice",
    "Overlaid",
    "Overlay",
    "Paragraph",
    "Picture",
    "Plot",
    "PolarPlot",
    "Reading",
    "RootMap",
    "Row",
    "Series",
    "Strong",
    "Table",
    "TitleBlock",
    "Words",
    "direct",
]
