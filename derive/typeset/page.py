"""A document as a LaTeX page with its pictures.

Enters: a ``Document`` and the names of the sheet's symbols and devices. Leaves: ``Sheet``, the source of the
page and the pictures beside it. Must not know: circuits, TeX's processes.

The templates own the page; each block is rendered from its own template, in which whatever is not marked as
LaTeX is escaped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from math import ceil
from pathlib import Path
from typing import Any

import jinja2

from derive.document.records import (
    Block,
    Comparison,
    Document,
    Family,
    Graph,
    Heading,
    Histograms,
    Ledger,
    LoopPlot,
    Notice,
    Overlaid,
    Overlay,
    Paragraph,
    Picture,
    Plot,
    PolarPlot,
    Row,
    Table,
    TitleBlock,
)
from derive.errors import Defect
from derive.typeset.breaking import fit_lines, portions
from derive.typeset.captions import captioned
from derive.typeset.cutting import Abbreviations
from derive.typeset.escape import RUN, Latex, escape, escape_plain
from derive.typeset.figures import Figures
from derive.typeset.looks import drawing_preamble
from derive.typeset.mentions import spelling_of
from derive.typeset.paper import Paper
from derive.typeset.room import room
from derive.typeset.tables import TEXT_WIDTH, set_table
from derive.typeset.words import ANY_WIDTH, Speaker, text_width, wrap
from derive.words import Reading, Words

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
ALGEBRA = 0.50 * TEXT_WIDTH
RULE = 0.25 * TEXT_WIDTH / 0.925
NUMBER = 0.22 * TEXT_WIDTH
"""Widths of the ledger's columns in em of their own letters, as the template sets them."""
A4 = Paper()
MARGINS = "left=22.95mm,right=22.95mm"
"""Of letter paper: the text has one width on every paper, so that lines break alike."""
LINES_TOGETHER = 12
"""A row with more lines of algebra goes on in a row of its own, so that a page can break there."""
FIELDS = {"number": 0.24, "revision": 0.12, "owner": 0.2, "kind": 0.22, "author": 0.18, "approved": 0.16, "date": 0.14,
          "language": 0.1}  # fmt: skip
"""Shares of the width that the template gives to the narrow data fields."""
TALL, SHORT_ROWS = 2.0, 14.0
"""Height of a line of algebra in lines of text; and the height up to which two rows are kept together."""
LONGEST_RULE = 25
"""A rule with its small print of more lines than this is set across the page."""
LABEL = re.compile(r"[A-Za-z][A-Za-z0-9_]*\Z")
COMMANDS = {1: "section", 2: "subsection"}
ENVIRONMENTS = {"caution": "caution", "warning": "warning", "note": "remark"}


@dataclass(frozen=True)
class Sheet:
    """The source of a page, and its pictures (PDF) by file name."""

    tex: str
    pictures: dict[str, bytes]


def render(
    document: Document,
    symbols: Iterable[str] = (),
    devices: Iterable[str] = (),
    words: Iterable[str] = (),
    *,
    budget: float = 1.0,
    paper: Paper = A4,
) -> Sheet:
    """The document as a standalone LaTeX source with its pictures.

    ``symbols``: names of all symbols of the sheet; ``devices``: names of the parts whose numbers tag their
    quantities (``Q1``); ``words``: symbols to be set whole and upright. Symbols, nodes and questions that the
    document mentions are added. ``budget``: share of the columns' widths that lines may be judged to fill; less
    than one where TeX found one of them too wide. ``paper``: its size and the decimal sign. Raises Defect for a
    name that cannot be spelt.
    """
    spelling = spelling_of(document, symbols, devices, words)
    return _Renderer(Speaker(spelling, Abbreviations(spelling)), budget, paper).sheet(document)


def template_environment() -> jinja2.Environment:
    """How templates are read: marks that TeX knows not, all values escaped."""
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES), undefined=jinja2.StrictUndefined, finalize=escape,
        block_start_string=r"\BLOCK{", block_end_string="}", variable_start_string=r"\VAR{",
        variable_end_string="}", comment_start_string=r"\NOTE{", comment_end_string="}",
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=False, autoescape=False,
    )  # fmt: skip


BRIEF = 3
"""Lines up to which a paragraph before a table announces it."""


class _Renderer:
    """Renders the blocks of one document; keeps the pictures as they come up."""

    def __init__(self, speaker: Speaker, budget: float, paper: Paper) -> None:
        self.speaker, self.budget, self.environment = speaker, budget, template_environment()
        self.paper = paper
        self.figures = Figures(speaker.spelling, paper)
        self.labels: set[str] = set()
        self.openings: dict[int, float] = {}
        self.lines: dict[int, float] = {}
        self.tables: dict[int, float] = {}

    def sheet(self, document: Document) -> Sheet:
        title = document.title
        self.labels = {block.label for block in document.blocks if isinstance(block, Heading) and block.label}
        blocks = [self.block(block, place) for place, block in enumerate(document.blocks)]
        for place, block in enumerate(document.blocks):
            if isinstance(block, Heading):
                blocks[place] = self.heading(block, room(document.blocks, place, self.openings, self.lines))
            elif isinstance(block, Paragraph) and self.tables.get(place + 1) and self.lines[place] <= BRIEF:
                # A sentence that announces a table stays on its page.
                lines = ceil(self.lines[place] + self.tables[place + 1]) + 1
                blocks[place] = Latex(rf"\Needspace{{{lines}\baselineskip}}" + "\n" + blocks[place])
        tex = self.fill(
            "worksheet.tex",
            paper=self.paper,
            margins=Latex(MARGINS),
            title={entry.name: self.given(getattr(title, entry.name), entry.name) for entry in fields(TitleBlock)},
            plain_title=escape_plain(title.title),
            plain_author=escape_plain(title.author or ""),
            plain_kind=escape_plain(title.kind),
            running_title=_shortened(title.title, 80),
            running_revision=f"revision {_shortened(title.revision, 24)}" if title.revision else "",
            running_number=_shortened(title.number or "", 48),
            drawing=drawing_preamble(self.environment) if _has_drawings(document) else "",
            blocks=blocks,
            colophon=document.colophon,
        )
        return Sheet(re.sub(r"\n{3,}", "\n\n", tex) + "\n", self.figures.files)

    def given(self, value: str | None, name: str) -> Latex:
        """A data field, an en dash where it was not given; a word too long for its cell may break early."""
        return escape(value or "–", run=min(RUN, FIELDS.get(name, 1.0) * TEXT_WIDTH - 1))

    def fill(self, template: str, **values: Any) -> Latex:
        return Latex(self.environment.get_template(template).render(**values))

    def heading(self, heading: Heading, lines: int) -> Latex:
        return self.fill("blocks/heading.tex", command=Latex(COMMANDS[heading.level]), room=lines,
                         words=self.say(heading.words, ANY_WIDTH), plain=self.speaker.plain(heading.words),
                         label=Latex(rf"\label{{{_label(heading.label)}}}") if heading.label else "")  # fmt: skip

    def block(self, block: Block, place: int) -> Latex:
        match block:
            case Heading():
                # Its room depends on what follows, which has to be set first.
                return Latex("")
            case Paragraph(words):
                self.lines[place] = ceil(text_width(words, self.speaker.spelling) / TEXT_WIDTH)
                return self.fill("blocks/paragraph.tex", words=wrap(self.say(words, TEXT_WIDTH)))
            case Ledger(rows):
                parted = _kept([part for row in rows for part in self.row(row)])
                self.openings[place] = sum(
                    row["tall"] for row in parted[:1] + [row for row in parted[1:2] if row["kept"]]
                )
                return self.fill("blocks/ledger.tex", rows=parted)
            case Table(_, _, caption):
                parts = set_table(block, self.speaker, self.budget)
                # A table that is not broken has no room of its own: its rows, head and rules are what it takes.
                self.tables[place] = parts.room or len(block.rows) + 3
                return self.fill("blocks/table.tex", caption=wrap(self.say(caption, TEXT_WIDTH)),
                                 room=parts.room, size=parts.size, table=parts.latex)  # fmt: skip
            case Notice(kind, words):
                return self.fill("blocks/notice.tex", environment=Latex(ENVIRONMENTS[kind]),
                                 words=wrap(self.say(words, TEXT_WIDTH - 3), "  "))  # fmt: skip
            case Plot() | LoopPlot() | PolarPlot() | Family() | Histograms() | Comparison() | Overlaid():
                return self.plot(block)
            case Overlay(_, title, _, _, caption):
                drawn, self.lines[place] = self.figures.overlaid(block)
                return self.figure(title, drawn, caption)
            case Picture(_, title, _, _, caption, _):
                drawn, self.lines[place] = self.figures.drawn(block)
                return self.figure(title, drawn, caption)

    def say(self, words: Words, width: float) -> Latex:
        return self.speaker.say(words, width * self.budget)

    def plot(self, block: Graph) -> Latex:
        plot = block.plot if isinstance(block, LoopPlot) else block
        name = self.figures.plotted(block)
        return self.fill("blocks/plot.tex", file=Latex(name), title=wrap(self.say(plot.title, ANY_WIDTH)),
                         caption=wrap(self.say(captioned(block), TEXT_WIDTH / 0.85)))  # fmt: skip

    def figure(self, title: Words, drawn: Latex, caption: Words) -> Latex:
        """A drawing under its title, with its small print."""
        return self.fill("blocks/picture.tex", title=wrap(self.say(title, ANY_WIDTH)), drawn=drawn,
                         caption=wrap(self.say(caption, TEXT_WIDTH / 0.85)))  # fmt: skip

    def number(self, words: Words) -> Latex:
        """The number's cell: one line a number; where label and value do not fit one, the value begins the next."""
        if ", " in words:
            place = words.index(", ")
            return Latex(rf"{self.number(words[:place])}\\ {self.number(words[place + 1 :])}")
        last = len(words) - 1
        fits = text_width(words, self.speaker.spelling) <= NUMBER * self.budget
        if len(words) < 2 or not isinstance(words[last], Reading) or fits:
            return self.say(words, NUMBER)
        return Latex(rf"{self.say(words[:last], NUMBER).rstrip()}\\ {self.say(words[last:], NUMBER)}")

    def row(self, row: Row) -> list[dict[str, Any]]:
        """A row of the ledger as the pieces of its template; a rule too long for it has its own row."""
        words = (*row.rule, *row.note)
        if row.algebra and text_width(words, self.speaker.spelling) > LONGEST_RULE * RULE:
            ahead = replace(row, algebra=(), number=(), kind="remark")
            return [*self.row(ahead), *self.row(replace(row, rule=("as said above",), note=()))]
        column = ALGEBRA * self.budget
        lines = fit_lines(row.algebra, column, self.speaker.spelling, self.speaker.names) if row.algebra else []
        bare = not lines and not row.number
        chunks = portions(lines, LINES_TOGETHER)
        # Without algebra the rule may use that column too.
        width = TEXT_WIDTH if bare else RULE if lines else RULE + ALGEBRA
        return [{
            "bare": bare,
            "tall": max(TALL * len(lines), text_width(words, self.speaker.spelling) / width + 2),
            "kind": Latex(row.kind if lines else "wide"),
            "rule": wrap(self.say(row.rule, width), "   "),
            "note": wrap(self.say(row.note, width * 1.1 if lines else width), "   "),
            "algebra": _aligned(chunks[0]) if chunks else "",
            "further": [_aligned(chunk) for chunk in chunks[1:]],
            "number": wrap(self.number(row.number), "   "),
            "link": Latex(rf"\derivedin{{{_label(row.link)}}}") if row.link in self.labels else "",
        }]  # fmt: skip


def _kept(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The rows, told which of them stays on the page of the one before: neither the first nor the last is alone."""
    ends = {1, len(rows) - 1} - {0}
    return [
        row | {"kept": place in ends and rows[place - 1]["tall"] + row["tall"] <= SHORT_ROWS}
        for place, row in enumerate(rows)
    ]


def _aligned(lines: list[str]) -> Latex:
    body = " \\\\\n".join(f"     {line}" for line in lines)
    return Latex(f"   \\begin{{algebra}}\n{body}\n   \\end{{algebra}}")


def _label(name: str) -> str:
    """The label of a heading as TeX may have it."""
    if not LABEL.match(name):
        raise Defect(f"{name!r} cannot label a heading")
    return f"section:{name}"


def _has_drawings(document: Document) -> bool:
    return any(isinstance(block, Picture | Overlay) for block in document.blocks)


def _shortened(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"
