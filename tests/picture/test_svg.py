"""Drawings as SVG: well-formed, told in words, nothing unescaped, every pin reached."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from derive.drawing.records import Drawing, Kind, Label, Marks, Voltage
from derive.drawing.symbols import SYMBOLS
from derive.picture.looks import style
from derive.picture.strokes import STROKES, Bow, Line
from derive.picture.svg import svg
from derive.typeset.spelling import Spelling
from tests.drawing.hand_placed import ORIENTATIONS, alone, follower, marks

NASTY = "</text><script>alert(1)</script>&\"'\x00\u202e"
NS = "{http://www.w3.org/2000/svg}"


def write(drawing: Drawing, wanted: Marks | None = None, title: str = "The circuit") -> str:
    spelling = Spelling.of([placed.part.name for placed in drawing.parts])
    return svg(drawing, wanted or Marks(), spelling, title=title, key="one")


def test_it_is_well_formed_and_says_what_it_shows() -> None:
    root = ElementTree.fromstring(write(follower(), marks()))
    assert root.get("role") == "img"
    ids = {element.get("id"): element for element in root.iter() if element.get("id")}
    named = (root.get("aria-labelledby") or "").split()
    assert [ids[name].tag for name in named] == [NS + "title", NS + "desc"]
    words = "".join(ids[named[1]].itertext())
    for told in ("Rg: resistor, 10 MΩ, from gate to boot.", "out 2.31 V", "Loop T, positive", "Removed: Cb"):
        assert told in words
    texts = {"".join(text.itertext()) for text in root.iter(NS + "text")}
    assert texts >= {"Rg", "10 MΩ", "out", "2.31 V", "× 21", "+ T", "− L", "Vcc 15 V"}


def test_no_text_does_more_than_show_itself() -> None:
    drawing = follower()
    first = drawing.parts[0]
    bad = replace(first, part=replace(first.part, value=NASTY), labels=(Label(NASTY, (0, 0)),))
    drawing = replace(drawing, parts=(bad, *drawing.parts[1:]), named=(("out", Label(NASTY, (30, 0))),))
    root = ElementTree.fromstring(write(drawing, Marks((Voltage("out", NASTY),)), NASTY))
    assert not [element for element in root.iter() if element.tag.endswith("script")]
    allowed = {"svg", "title", "desc", "style", "g", "polyline", "polygon", "circle", "rect", "path", "text", "tspan"}
    assert {element.tag.removeprefix(NS) for element in root.iter()} <= allowed
    assert not [name for element in root.iter() for name in element.attrib if name.startswith("on")]


@pytest.mark.parametrize("kind", SYMBOLS)
def test_strokes_reach_every_pin(kind: Kind) -> None:
    ends = {place for shape in STROKES[kind] if isinstance(shape, Line) for place in shape.points}
    ends |= {place for shape in STROKES[kind] if isinstance(shape, Bow) for place in (shape.start, shape.end)}
    assert ends >= {(float(x), float(y)) for _, (x, y) in SYMBOLS[kind].pins}


@pytest.mark.parametrize("kind", SYMBOLS)
def test_strokes_stay_within_the_body_and_its_leads(kind: Kind) -> None:
    left, bottom, right, top = SYMBOLS[kind].box
    places = [place for _, place in SYMBOLS[kind].pins]
    for shape in STROKES[kind]:
        for x, y in shape.points if isinstance(shape, Line) else ():
            inside = left - 0.1 <= x <= right + 0.1 and bottom - 0.1 <= y <= top + 0.1
            assert inside or any(abs(x - px) <= 1.3 and abs(y - py) <= 1.3 for px, py in places)


@pytest.mark.parametrize(("turn", "mirrored"), ORIENTATIONS)
def test_an_op_amps_signs_stand_level(turn: int, mirrored: bool) -> None:
    text = write(alone("op amp", turn, mirrored))  # type: ignore[arg-type]
    (signs,) = re.findall(r"</g>((?:<polyline[^>]*>)+)</g>", text)
    runs = [
        [tuple(map(float, pair.split(","))) for pair in points.split()]
        for points in re.findall('points="([^"]*)"', signs)
    ]
    level = [run for run in runs if run[0][1] == run[1][1]]
    assert len(level) == 2
    assert len(runs) == 3


def test_every_rule_of_style_keeps_to_the_drawing() -> None:
    """Within a page it touches nothing else."""
    bare = re.sub(r"@media[^{]*\{(.*?\})\}", r"\1", style())
    selectors = re.findall(r"([^{}]+)\{", bare)
    assert selectors
    assert all(one.strip().startswith(".schematic") for selector in selectors for one in selector.split(","))
