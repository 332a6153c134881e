"""Frames as LaTeX: every frame a page, all places the same from frame to frame.

Enters: a series. Leaves: the sources of its frames and of its equations. Must not know: circuits, files, PNG.

A page is 160 mm by 90 mm. Steps stand one below the other, the newest in full ink; the templates count how many a
screen holds, so that a step that has appeared stays where it is until the screen is full.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from derive.document.records import Block, Document, Ledger, Paragraph, Picture, Row, TitleBlock
from derive.drawing.inks import ARROW, BADGE, LOOPS, PALE, VOLTAGE
from derive.drawing.marks import place
from derive.drawing.rooms import body_of, widened
from derive.frames.records import Frame, Ground, Series
from derive.typeset.breaking import fit_lines
from derive.typeset.cutting import Abbreviations
from derive.typeset.drawn import UNIT, fitting, number, picture, point
from derive.typeset.escape import Latex
from derive.typeset.looks import drawing_preamble
from derive.typeset.mentions import spelling_of
from derive.typeset.page import template_environment
from derive.typeset.words import ANY_WIDTH, Speaker

WHOLE, BESIDE, DRAWN = 142.0, 76.0, 62.0
"""Widths in mm: of a step alone, of one beside the drawing, of the drawing there."""
TALL, UNDER_WORDS = 66.0, 51.0
"""Heights in mm of a drawing beside a step, and of one below a sentence."""
LEGIBLE = 0.5
"""A drawing is not shown smaller than this share of its natural size: its letters would be under 19 dots high."""
POINTS, LARGE = 11.0, 17.0
EM_MM = 0.3515
"""Millimetres of a point of letter size."""
INDENT_MM = 4.0
MOST_LINES, FEW_LINES = 6, 4
"""Lines of algebra that a frame shows, and those that it shows beside a drawing."""
TOO_LONG = Latex("too long for a frame: it stands in the worksheet")
COLOURS: dict[bool, dict[str, str]] = {
    False: {"white": "FBFAF7", "black": "16191B", "accent": "005668", "faint": "4A4F52", "calm": "767B7E",
            "hair": "B8BCBE", "glow": "CFE6EA"},
    True: {"white": "14181B", "black": "F3F2EE", "accent": "7FD3E0", "faint": "B9BEC1", "calm": "8A9094",
           "hair": "4A5054", "glow": "20505A"},
}  # fmt: skip
"""By whether the ground is dark. Letters have 7 to 1 against the ground, earlier steps 4.5 to 1."""


@dataclass
class Setter:
    """Sets the frames of a series; keeps the drawings that were met. ``budget``: as for a sheet."""

    series: Series
    ground: Ground
    budget: float = 1.0
    pictures: dict[str, Latex] = field(default_factory=dict)
    names: dict[tuple[str, float, float], str] = field(default_factory=dict)
    count: int = 0
    """Helpers' names given on the frames of this question: a number is never given twice on one screen."""

    def __post_init__(self) -> None:
        series = self.series
        blocks = [b for frame in series.frames for b in _blocks(frame)]
        document = Document(_untitled(series.title), tuple(blocks), ())
        self.spelling = spelling_of(document, series.symbols, series.devices)
        self.speaker = Speaker(self.spelling, Abbreviations(self.spelling))
        self.environment = template_environment()

    def frames(self) -> str:
        """The source of all frames, a page each."""
        shown = [self.page(frame) for frame in _together(self.series.frames, self)]
        return self.fill("frames.tex", title=self.series.title, frames=shown, pictures=list(self.pictures.items()),
                         drawing=drawing_preamble(self.environment))  # fmt: skip

    def equations(self) -> str:
        """The source of the equations, a page each, in the order of the frames that have a step."""
        shown = []
        for row in (frame.row for frame in self.series.frames if frame.row is not None and frame.row.algebra):
            self.count = 0
            shown.append(self.algebra(row, WHOLE, POINTS)[0])
        self.count = 0
        return self.fill("equations.tex", equations=shown)

    def fill(self, template: str, **values: Any) -> str:
        dark = self.ground in ("dark", "clear-dark")
        colours = {**COLOURS[dark], **_inks(dark)}
        clear = self.ground.startswith("clear")
        shown = [(Latex(name), Latex(colour)) for name, colour in colours.items()]
        return self.environment.get_template(template).render(colours=shown, clear=clear, **values) + "\n"

    def algebra(self, row: Row, width: float, points: float) -> tuple[Latex, int]:
        """The lines of a step for a width in mm, and how many they are."""
        ems = (width - INDENT_MM) / (EM_MM * points) * self.budget
        # A step that needs names for its parts has them itself, with their meaning: no frame refers to another.
        names = Abbreviations(self.spelling, {}, self.count)
        lines = fit_lines(row.algebra, ems, self.spelling, names)
        self.count = names.count
        body = " \\\\[2pt]\n".join(lines)
        return Latex(f"\\begin{{algebra}}\n{body}\n\\end{{algebra}}"), len(lines)

    def page(self, frame: Frame) -> dict[str, Any]:
        if frame.row is None:
            self.count = 0
        beside = frame.picture if frame.row is not None else None
        width = BESIDE if beside else WHOLE
        told: dict[str, Any] = {
            "begins": frame.begins or frame.large, "step": frame.row is not None, "width": width,
            "heading": self.say(frame.heading), "part": frame.part, "words": "", "drawing": "", "halos": "",
        }  # fmt: skip
        if frame.row is not None:
            told |= self.step(frame, frame.row, width)
        elif frame.words:
            told["words"] = self.say(frame.words, WHOLE)
        if frame.picture is not None:
            told |= self.drawn(frame, frame.picture)
        return told

    def step(self, frame: Frame, row: Row, width: float) -> dict[str, Any]:
        points = LARGE if frame.large else POINTS
        algebra, lines = self.algebra(row, width, points)
        return {
            "rule": self.say(row.rule), "note": self.say(row.note), "number": self.say(row.number), "size": points,
            "algebra": (algebra if lines <= MOST_LINES else TOO_LONG) if row.algebra else Latex(""),
        }  # fmt: skip

    def drawn(self, frame: Frame, block: Picture) -> dict[str, Any]:
        """The drawing's place: below the words, or on the right of a step."""
        beside = frame.row is not None
        width, height = (DRAWN, TALL) if beside else (WHOLE, UNDER_WORDS)
        key = block.stem, width, height
        if key not in self.names:
            self.names[key] = f"drawing{_letters(len(self.names))}"
            drawing = picture(block.drawing, block.marks, self.spelling, width=width, height=height)
            self.pictures[self.names[key]] = drawing
        across, up = (151 - DRAWN / 2, 73.5 - TALL / 2) if beside else (80.0, 7.5 + UNDER_WORDS / 2)
        return {"drawing": Latex(self.names[key]), "across": across, "up": up,
                "halos": halos(block, frame.lit, width, height)}  # fmt: skip

    def say(self, words: Any, width: float = ANY_WIDTH) -> Latex:
        return self.speaker.say(words, width)


def halos(block: Picture, lit: Iterable[str], width: float, height: float) -> Latex:
    """A glow behind each part that is spoken of, in a picture as large as the drawing."""
    marked = place(block.drawing, block.marks)
    left, bottom, right, top = marked.extent
    scale = fitting(marked, width, height)
    chosen = set(lit)
    lines = [f"\\useasboundingbox {point((left, bottom))} rectangle {point((right, top))};"]
    for part in block.drawing.parts:
        if part.part.name in chosen:
            x0, y0, x1, y1 = widened(body_of(part), 0.45)
            lines.append(f"\\fill[glow, rounded corners=2pt] {point((x0, y0))} rectangle {point((x1, y1))};")
    step = f"{number(UNIT * scale)}mm"
    body = "\n".join(lines)
    return Latex(f"\\begin{{tikzpicture}}[x={step}, y={step}]\n{body}\n\\end{{tikzpicture}}")


def _together(frames: Iterable[Frame], setter: Setter) -> list[Frame]:
    """Steps of one part all stand beside the drawing, or none does, so that nothing jumps."""
    groups: list[list[Frame]] = []
    for frame in frames:
        if groups and frame.row is not None and not frame.begins and not frame.large and groups[-1][-1].row is not None:
            groups[-1].append(frame)
        else:
            groups.append([frame])
    found = []
    for group in groups:
        fits = all(_fits_beside(frame, setter) for frame in group)
        found += [frame if fits or frame.row is None else replace(frame, picture=None, lit=()) for frame in group]
    return found


def _fits_beside(frame: Frame, setter: Setter) -> bool:
    if frame.row is None or frame.picture is None:
        return True
    marked = place(frame.picture.drawing, frame.picture.marks)
    if fitting(marked, DRAWN, TALL) < LEGIBLE:
        return False
    before = setter.count
    lines = setter.algebra(frame.row, BESIDE, POINTS)[1]
    setter.count = before
    return lines <= FEW_LINES


def _blocks(frame: Frame) -> list[Block]:
    """What a frame mentions, as far as the spelling has to know."""
    found: list[Block] = [Paragraph(frame.heading), Paragraph(frame.words)]
    found += [Ledger((frame.row,))] if frame.row is not None else []
    return found + ([frame.picture] if frame.picture is not None else [])


def _untitled(title: str) -> TitleBlock:
    return TitleBlock(title, None, None, None, None, None, None, None, "en")


def _inks(dark: bool) -> dict[str, str]:
    """The inks of marks for the ground."""
    inks = {"voltage ink": VOLTAGE, "arrow ink": ARROW, "badge ink": BADGE, "pale": PALE}
    inks |= {f"loop ink {place}": ink for place, ink in enumerate(LOOPS)}
    return {name: (ink.light if dark else ink.dark).upper() for name, ink in inks.items()}


def _letters(place: int) -> str:
    """A name for TeX that has letters only.

    >>> [_letters(n) for n in (0, 25, 26)]
    ['a', 'z', 'ba']
    """
    text = ""
    while True:
        text, place = chr(ord("a") + place % 26) + text, place // 26
        if not place:
            return text
