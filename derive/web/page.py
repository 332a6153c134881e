"""A document as one HTML file that needs no network.

Enters: a ``Document``, the names of the sheet's symbols and devices, what may be varied. Leaves: the page.
Must not know: circuits.

The templates own the page and escape whatever is not ``Markup``. A block of a new kind is rendered by a method of
``Renderer`` entered in ``BLOCKS``; ``tests/web`` fails while one is missing.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from derive.document.records import (
    Block,
    Comparison,
    Document,
    Family,
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
    Table,
)
from derive.errors import Defect
from derive.expression.tree import Sym
from derive.live.records import Live
from derive.picture.looks import style as drawing_style
from derive.picture.looks import variables
from derive.picture.scanned import overlay
from derive.picture.svg import svg
from derive.plots.picture import picture as drawn_plot
from derive.plots.saving import to_svg
from derive.spoken import spoken
from derive.typeset.captions import captioned
from derive.typeset.mentions import spelling_of
from derive.web import live as scripts
from derive.web.escape import text
from derive.web.outline import Part, outline
from derive.web.plots import SLIM, WIDE, draw
from derive.web.words import Speaker
from derive.words import Reading, Words

TEMPLATES = Path(__file__).resolve().parents[2] / "templates" / "web"
WORDS = {"caution": "Caution", "warning": "Attention", "note": "Note"}
FIELDS = (
    ("document number", "number"), ("revision", "revision"), ("owner", "owner"), ("document type", "kind"),
    ("creator", "author"), ("approved by", "approved"), ("date of issue", "date"), ("language", "language"),
)  # fmt: skip


def render(
    document: Document,
    symbols: Iterable[str] = (),
    devices: Iterable[str] = (),
    words: Iterable[str] = (),
    *,
    live: Live | None = None,
    watched: str = "",
) -> str:
    """The document as HTML; parameters as for ``derive.typeset.page.render``.

    ``live``: what may be varied, and how numbers follow. ``watched``: the stamp of a page that is rebuilt while its
    description is being written, and reloads itself.
    """
    return Renderer(Speaker(spelling_of(document, symbols, devices, words)), live).page(document, watched)


def bare(watched: str) -> str:
    """A page without a sheet, which waits for one."""
    return environment().get_template("bare.html").render(
        watched=watched, style=source("style.css"), watching=source("watch.js")
    )


def environment() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES), undefined=jinja2.StrictUndefined, autoescape=True,
        trim_blocks=True, lstrip_blocks=True, finalize=_cleaned,
    )  # fmt: skip


def _cleaned(value: Any) -> Any:
    """What is not marked as HTML is text, of which nothing stays hidden."""
    return text(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def source(name: str) -> Markup:
    """A style sheet or a script of ours, which stands in the page as it is."""
    return Markup((TEMPLATES / name).read_text("utf-8"))


@dataclass(frozen=True)
class Entry:
    """A section as the template takes it."""

    label: str
    number: int
    words: Markup
    plain: Markup
    blocks: list[Markup]


class Renderer:
    """Renders the blocks of one document, counting steps, tables and figures as the sheet on paper does."""

    def __init__(self, speaker: Speaker, live: Live | None) -> None:
        self.speaker, self.live, self.environment = speaker, live, environment()
        self.steps = self.tables = self.figures = 0
        self.geometry: dict[str, dict[str, Any]] = {}

    def page(self, document: Document, watched: str) -> str:
        parts = outline(document.blocks)
        opening = [self.block(block) for block in parts[0].blocks]
        sections = [self.section(part, number) for number, part in enumerate(parts[1:], start=1)]
        title = document.title
        fields = [(name, text(getattr(title, key) or "–")) for name, key in FIELDS]
        sliders = self.sliders()
        return self.environment.get_template("worksheet.html").render(
            title=text(title.title), purpose=text(title.purpose or ""), language=title.language, fields=fields,
            opening=opening, sections=sections,
            style=source("style.css"), script=source("page.js"), drawing_style=_drawing_style(document),
            colophon=[(text(name), text(value)) for name, value in document.colophon],
            sliders=sliders, live=self.live_script(), watched=watched,
            watching=source("watch.js") if watched else "",
        )  # fmt: skip

    def section(self, part: Part, number: int) -> Entry:
        assert part.heading is not None
        blocks = [self.block(block) for block in part.blocks]
        words = self.speaker.say(part.heading.words)
        for place, inner in enumerate(part.parts, start=1):
            assert inner.heading is not None
            content = [self.block(block) for block in inner.blocks]
            blocks.append(self.fill("fold.html", words=self.speaker.say(inner.heading.words), blocks=content,
                                    number=f"{number}.{place}", label=f"part-{number}-{place}"))  # fmt: skip
        return Entry(f"section-{number}", number, words, self.speaker.silently(part.heading.words), blocks)

    def fill(self, template: str, **values: Any) -> Markup:
        return Markup(self.environment.get_template(template).render(**values))

    def block(self, block: Block) -> Markup:
        try:
            method = BLOCKS[type(block)]
        except KeyError:
            raise Defect(f"the page has no way to show a {type(block).__name__}") from None
        return method(self, block)

    def paragraph(self, block: Paragraph) -> Markup:
        return self.fill("paragraph.html", words=self.speaker.say(block.words))

    def notice(self, block: Notice) -> Markup:
        return self.fill("notice.html", kind=block.kind, word=WORDS[block.kind], words=self.speaker.say(block.words))

    def ledger(self, block: Ledger) -> Markup:
        rows = []
        for row in block.rows:
            self.steps += 1
            rows.append({
                "step": self.steps,
                "kind": row.kind,
                "rule": self.speaker.say(row.rule),
                "note": self.speaker.say(row.note),
                "algebra": self.speaker.algebra(row.algebra) if row.algebra else "",
                "number": self.number(row.number),
            })  # fmt: skip
        return self.fill("ledger.html", rows=rows)

    def number(self, words: Words) -> Markup:
        """The number's cell: each number on a line of its own where there are several."""
        if ", " not in words:
            return self.speaker.say(words)
        place = words.index(", ")
        return self.speaker.say(words[:place]) + Markup("<br>") + self.number(words[place + 1 :])

    def table(self, block: Table) -> Markup:
        if block.caption:
            self.tables += 1
        heads = [(self.speaker.say(column.head), column.align, column.width is not None) for column in block.columns]
        rows = [[(self.speaker.say(words), block.columns[place].align) for place, words in enumerate(row)]
                for row in block.rows]  # fmt: skip
        numeric = all(_is_short(row[0]) for row in block.rows)
        return self.fill("table.html", heads=heads, rows=rows, number=self.tables, headed=numeric,
                         caption=self.speaker.say(block.caption), label=spoken(block.columns[0].head))  # fmt: skip

    def plot(self, block: Plot) -> Markup:
        self.figures += 1
        name = f"figure{self.figures}"
        pictures = []
        for width in (WIDE, SLIM):
            picture, geometry = draw(block, name, width)
            pictures.append(picture)
            self.geometry.setdefault(name, {"stem": block.stem})["wide" if width == WIDE else "slim"] = geometry
        return self.fill("plot.html", pictures=pictures, number=self.figures, title=self.speaker.say(block.title),
                         caption=self.speaker.say(captioned(block)))  # fmt: skip

    def image(self, block: LoopPlot | PolarPlot | Family | Histograms | Comparison | Overlaid) -> Markup:
        """A plot that no slider moves, as a picture of its own."""
        self.figures += 1
        data = base64.b64encode(drawn_plot(block, to_svg)).decode("ascii")
        title = (block.plot if isinstance(block, LoopPlot) else block).title
        picture = self.fill("image.html", data=data, words=spoken(title))
        return self.fill("plot.html", pictures=[picture], number=self.figures, title=self.speaker.say(title),
                         caption=self.speaker.say(captioned(block)))  # fmt: skip

    def picture(self, block: Picture) -> Markup:
        drawn = svg(block.drawing, block.marks, self.speaker.spelling, title=spoken(block.title) or "The circuit",
                    key=f"drawing{self.figures + 1}", alone=False)  # fmt: skip
        return self.figure(block, drawn)

    def overlay(self, block: Overlay) -> Markup:
        drawn = overlay(block.scan, block.marks, title=spoken(block.title) or "The circuit",
                        key=f"drawing{self.figures + 1}", alone=False)  # fmt: skip
        return self.figure(block, drawn)

    def figure(self, block: Picture | Overlay, drawn: str) -> Markup:
        """A drawing of ours, which brings its own escaping."""
        self.figures += 1
        return self.fill("plot.html", pictures=[Markup(drawn)], number=self.figures,
                         title=self.speaker.say(block.title), caption=self.speaker.say(block.caption))  # fmt: skip

    def sliders(self) -> list[dict[str, Any]]:
        if self.live is None:
            return []
        return [{"words": self.speaker.formula(Sym(slider.name)), "shown": scripts.shown(slider), "place": place}
                for place, slider in enumerate(self.live.sliders)]  # fmt: skip

    def live_script(self) -> Markup:
        if self.live is None:
            return Markup("")
        return scripts.script(self.live, self.speaker.readings, self.geometry, source("calculus.js"), source("live.js"))


def _drawing_style(document: Document) -> Markup:
    """The looks of drawings, where there is one."""
    drawn = any(isinstance(block, Picture | Overlay) for block in document.blocks)
    return Markup(f"{drawing_style()}@media print{{.schematic{{{variables(False)}}}}}" if drawn else "")


def _is_short(words: Words) -> bool:
    return not any(isinstance(piece, Reading) for piece in words)


BLOCKS: dict[type, Any] = {
    Paragraph: Renderer.paragraph, Notice: Renderer.notice, Ledger: Renderer.ledger, Table: Renderer.table,
    Plot: Renderer.plot, Picture: Renderer.picture, Overlay: Renderer.overlay,
    LoopPlot: Renderer.image, PolarPlot: Renderer.image, Family: Renderer.image,
    Histograms: Renderer.image, Comparison: Renderer.image, Overlaid: Renderer.image,
}  # fmt: skip
"""How each kind of block is shown; headings make the sections that hold them."""
STRUCTURE = (Heading,)

