"""Marks over a picture of the author's own keep clear of its ink."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ElementTree

import pytest
from PIL import Image

from derive.document.records import Document, Overlay, TitleBlock
from derive.drawing.marks import place_on
from derive.drawing.records import Arrow, Badge, Loop, Marks, Voltage
from derive.drawing.rooms import overlap
from derive.drawing.scan import Scanned, stage_of_scan
from derive.picture.scanned import overlay
from derive.typeset.page import render
from derive.typeset.sheet import typeset


def scanned() -> Scanned:
    stream = io.BytesIO()
    Image.new("L", (600, 400), 255).save(stream, "PNG")
    ink = tuple((0.1, 0.05 * n, 0.9, 0.05 * n + 0.01) for n in range(3, 16, 4))
    pins = ((("Q1", "base"), "in"), (("Q1", "emitter"), "out"), (("R1", "first"), "out"), (("R1", "second"), "in"))
    return Scanned(stream.getvalue(), "png", (600, 400), (("in", (0.3, 0.35)), ("out", (0.7, 0.35))),
                   (("Q1", (0.5, 0.2)), ("R1", (0.5, 0.7))), pins, ink)  # fmt: skip


AROUND = (("Q1", "base"), ("Q1", "emitter"), ("R1", "first"), ("R1", "second"))
MARKS = Marks(
    (Voltage("in", "1.20 V"), Voltage("out", "0.55 V"), Voltage("elsewhere", "9 V")),
    (Arrow("in", True, 1.0, "1.00"), Arrow("out", False, 0.2, "−0.20")),
    (Loop("T", AROUND, True, 0),),
    (Badge("R1", "× 30"),),
)


def test_marks_keep_clear_of_ink_and_stay_within() -> None:
    scan = scanned()
    width, height = scan.units
    marked = place_on(stage_of_scan(scan), MARKS)
    assert len(marked.notes) == 6
    ink = [(*scan.on_page((a, d)), *scan.on_page((c, b))) for a, b, c, d in scan.ink]
    for note in marked.notes:
        assert not any(overlap(note.box, other) for other in ink)
        assert note.box[0] >= 0 <= note.box[1]
        assert note.box[2] <= width
        assert note.box[3] <= height


def test_a_loop_goes_from_part_to_node_to_part() -> None:
    scan = scanned()
    (run,) = stage_of_scan(scan).trace(Loop("T", AROUND, True, 0))
    q1, r1 = (scan.on_page(place) for _, place in scan.parts)
    first, second = (scan.on_page(place) for _, place in scan.nodes)
    assert len(run) == 5
    for place, wanted in zip(run, (q1, second, r1, first, q1), strict=True):
        assert place == pytest.approx(wanted)


def test_places_are_fractions_from_the_upper_left() -> None:
    scan = scanned()
    width, height = scan.units
    assert scan.on_page((0, 0)) == (0, height)
    assert scan.on_page((1, 1)) == pytest.approx((width, 0))
    assert width / height == pytest.approx(600 / 400)


def test_svg_holds_the_picture_itself() -> None:
    root = ElementTree.fromstring(overlay(scanned(), MARKS, title="<b>", key="k"))
    (image,) = root.iter("{http://www.w3.org/2000/svg}image")
    assert (image.get("href") or "").startswith("data:image/png;base64,iVBOR")
    assert "in 1.20 V" in "".join(root.itertext())


@pytest.mark.tex
def test_a_page_with_a_marked_picture_compiles() -> None:
    block = Overlay("scan", ("The author's own picture",), scanned(), MARKS)
    document = Document(TitleBlock("Sheet", None, None, None, None, None, None, None, "en"), (block,), ())
    assert re.search(r"\\includegraphics\[[^]]*\]\{scan.png\}", render(document).tex)
    assert typeset(document)[1].startswith(b"%PDF")
