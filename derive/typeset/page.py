"""A document as a LaTeX page with its pictures.

Enters: a ``Document`` and the names of the sheet's symbols and devices. Leaves: ``Sheet``, the source of the
page and the pictures beside it. Must not know: circuits, TeX's processes.

The templates own the page; each block is rendered from its own template, in which whatever is not marked as
LaTeX is escaped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any

import jinja2

from derive.document.records import (
    Block,
    Document,
    Formula,
    Heading,
    Ledger,
    Line,
    Notice,
    Paragraph,
    Plot,
    Row,
    Table,
    TitleBlock,
    Words,
)
from derive.errors import Defect
from derive.expression.tree import Expr
from derive.typeset.breaking import Abbreviations, fit_lines
from derive.typeset.escape import Latex, escape, escape_plain
from derive.typeset.spelling import Spelling, atoms_of
from derive.typeset.tables import TEXT_WIDTH, set_table
from derive.typeset.words import Speaker, wrap

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
ALGEBRA = 0.50 * TEXT_WIDTH
RULE = 0.26 * TEXT_WIDTH / 0.92
NUMBER = 0.20 * TEXT_WIDTH
"""Widths of the ledger's columns in em of their own letters, as the template sets them."""
LINES_TOGETHER = 12
"""A row with more lines of algebra goes on in a row of its own, so that a page can break there."""
STEM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_\-]*\Z")
COMMANDS = {1: "section", 2: "subsection"}
ENVIRONMENTS = {"caution": "caution", "warning": "warning", "note": "remark"}


@dataclass(frozen=True)
class Sheet:
    """The source of a page, and its pictures (PDF) by file name."""

    tex: str
    pictures: dict[str, bytes]


def render(
    document: Document, symbols: Iterable[str] = (), devices: Iterable[str] = (), words: Iterable[str] = ()
) -> Sheet:
    """The document as a standalone LaTeX source with its pictures.

    ``symbols``: names of all symbols of the sheet; ``devices``: names of the parts whose numbers tag their
    quantities (``Q1``); ``words``: symbols to be set whole and upright. Symbols, nodes and questions that the
    document mentions are added. Raises Defect for a name that cannot be spelt.
    """
    spelling = spelling_of(document, symbols, devices, words)
    return _Renderer(Speaker(spelling, Abbreviations(spelling))).sheet(document)


def spelling_of(
    document: Document, symbols: Iterable[str] = (), devices: Iterable[str] = (), words: Iterable[str] = ()
) -> Spelling:
    """The one spelling of a document's symbols, for whichever medium."""
    found, nodes, names = atoms_of(_expressions(document))
    return Spelling.of({*symbols, *found}, devices, nodes, names, words)


def _expressions(record: Any) -> Iterator[Expr]:
    """All expressions of a document, wherever they stand."""
    match record:
        case Formula(expr):
            yield expr
        case Line(left, _, right):
            yield from (left, right) if left is not None else (right,)
        case tuple():
            for part in record:
                yield from _expressions(part)
        case _ if is_dataclass(record):
            for entry in fields(record):
                yield from _expressions(getattr(record, entry.name))


def _environment() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES), undefined=jinja2.StrictUndefined, finalize=escape,
        block_start_string=r"\BLOCK{", block_end_string="}", variable_start_string=r"\VAR{",
        variable_end_string="}", comment_start_string=r"\NOTE{", comment_end_string="}",
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=False, autoescape=False,
    )  # fmt: skip


class _Renderer:
    """Renders the blocks of one document; keeps the pictures as they come up."""

    def __init__(self, speaker: Speaker) -> None:
        self.speaker, self.environment = speaker, _environment()
        self.pictures: dict[str, bytes] = {}

    def sheet(self, document: Document) -> Sheet:
        title = document.title
        blocks = [self.block(block) for block in document.blocks]
        tex = self.fill(
            "worksheet.tex",
            title={entry.name: _given(getattr(title, entry.name)) for entry in fields(TitleBlock)},
            plain_title=escape_plain(title.title),
            plain_author=escape_plain(title.author or ""),
            plain_kind=escape_plain(title.kind),
            running_title=_shortened(title.title, 80),
            running_revision=f"revision {_shortened(title.revision, 24)}" if title.revision else "",
            running_number=_shortened(title.number or "", 48),
            blocks=blocks,
            colophon=document.colophon,
        )
        return Sheet(re.sub(r"\n{3,}", "\n\n", tex) + "\n", self.pictures)

    def fill(self, template: str, **values: Any) -> Latex:
        return Latex(self.environment.get_template(template).render(**values))

    def block(self, block: Block) -> Latex:
        match block:
            case Heading(level, words, _):
                return self.fill("blocks/heading.tex", command=Latex(COMMANDS[level]),
                                 words=self.say(words, TEXT_WIDTH / 1.3), plain=self.speaker.plain(words))  # fmt: skip
            case Paragraph(words):
                return self.fill("blocks/paragraph.tex", words=wrap(self.say(words, TEXT_WIDTH)))
            case Ledger(rows):
                return self.fill("blocks/ledger.tex", rows=[self.row(row) for row in rows])
            case Table(_, _, caption):
                parts = set_table(block, self.speaker)
                return self.fill("blocks/table.tex", caption=self.say(caption, TEXT_WIDTH),
                                 size=parts.size, table=parts.latex)  # fmt: skip
            case Notice(kind, words):
                return self.fill("blocks/notice.tex", environment=Latex(ENVIRONMENTS[kind]),
                                 words=wrap(self.say(words, TEXT_WIDTH - 3), "  "))  # fmt: skip
            case Plot():
                return self.plot(block)

    def say(self, words: Words, width: float) -> Latex:
        return self.speaker.say(words, width)

    def plot(self, plot: Plot) -> Latex:
        from derive.plots.bode import draw

        name = f"{plot.stem}.pdf"
        if not STEM.match(plot.stem) or name in self.pictures:
            raise Defect(f"{plot.stem!r} cannot name a picture of this sheet")
        self.pictures[name] = draw(plot)
        return self.fill("blocks/plot.tex", file=Latex(name), title=wrap(self.say(plot.title, TEXT_WIDTH - 8), "   "),
                         caption=wrap(self.say(plot.caption, TEXT_WIDTH / 0.85), "   "))  # fmt: skip

    def row(self, row: Row) -> dict[str, Any]:
        """A row of the ledger as the pieces of its template."""
        lines = fit_lines(row.algebra, ALGEBRA, self.speaker.spelling, self.speaker.names) if row.algebra else []
        bare = not lines and not row.number
        chunks = [lines[start : start + LINES_TOGETHER] for start in range(0, len(lines), LINES_TOGETHER)]
        return {
            "bare": bare,
            "kind": Latex(row.kind),
            "rule": wrap(self.say(row.rule, TEXT_WIDTH if bare else RULE), "   "),
            "note": wrap(self.say(row.note, TEXT_WIDTH if bare else RULE * 1.1), "   "),
            "algebra": _aligned(chunks[0]) if chunks else "",
            "further": [_aligned(chunk) for chunk in chunks[1:]],
            "number": wrap(self.say(row.number, NUMBER), "   "),
        }


def _aligned(lines: list[str]) -> Latex:
    body = " \\\\\n".join(f"     {line}" for line in lines)
    return Latex(f"   \\begin{{algebra}}\n{body}\n   \\end{{algebra}}")


def _given(value: str | None) -> str:
    """A data field, an en dash where it was not given."""
    return value if value else "–"


def _shortened(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"
