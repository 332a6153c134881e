"""Paper of two sizes with one width of text, the decimal comma, and links from numbers to where they are derived."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pikepdf
import pytest

from derive.document.records import Document, Heading, Ledger, Picture, Row, TitleBlock
from derive.drawing.records import Marks, Voltage
from derive.errors import Defect
from derive.expression.tree import Name
from derive.typeset.page import render
from derive.typeset.paper import Paper
from derive.typeset.sheet import typeset
from derive.words import Line, Reading
from tests.drawing.hand_placed import follower

TITLE = TitleBlock("Sheet", None, None, None, None, None, None, None, "en")
COMMA = Paper(decimal="comma")


def glance(link: str) -> Document:
    row = Row(("gain",), (Line(Name("A"), "=", Name("A")),), (Reading(-9.275, "V/V"),), link=link)
    return Document(TITLE, (Ledger((row,)), Heading(1, ("A: gain",), "A")), ())


def test_values_get_a_comma_and_names_do_not() -> None:
    drawing = follower()
    changed = COMMA.drawing(drawing)
    assert [p.part.value for p in changed.parts][-1] == "4,7 kΩ"
    assert {p.part.name for p in changed.parts} == {p.part.name for p in drawing.parts}
    assert COMMA.marks(Marks((Voltage("Q1.drain", "2.31 V"),))).voltages == (Voltage("Q1.drain", "2,31 V"),)
    assert Paper().drawing(drawing) is drawing


def test_a_number_says_where_it_is_derived() -> None:
    assert r"\derivedin{section:A}" in render(glance("A")).tex
    assert r"\label{section:A}" in render(glance("A")).tex
    assert r"\derivedin{" not in render(glance("B")).tex.split(r"\begin{document}")[1]


def test_no_label_but_a_name() -> None:
    with pytest.raises(Defect, match="cannot label"):
        render(Document(TITLE, (Heading(1, ("x",), r"a}\input{b"),), ()))


@pytest.mark.tex
def test_links_lead_somewhere() -> None:
    with pikepdf.open(io.BytesIO(typeset(glance("A"))[1])) as pdf:
        targets = [str(note.A.D) for page in pdf.pages for note in page.get("/Annots", ()) if "/A" in note]
    assert "section.1" in targets


@pytest.mark.tex
@pytest.mark.parametrize(("size", "width", "height"), [("a4", 595.28, 841.89), ("letter", 612, 792)])
def test_paper(size: str, width: float, height: float) -> None:
    with pikepdf.open(io.BytesIO(typeset(glance("A"), paper=Paper(size=size))[1])) as pdf:  # type: ignore[arg-type]
        box = [float(side) for side in pdf.pages[0].mediabox]
    assert box[2:] == pytest.approx([width, height], abs=0.1)


@pytest.mark.tex
def test_every_number_of_a_sheet_has_a_comma(
    sample: ModuleType, text_of: Callable[[bytes, Path], str], tmp_path: Path
) -> None:
    drawn = Picture("circuit", ("The circuit",), follower(), Marks((Voltage("out", "2.31 V"),)))
    document = replace(glance("A"), blocks=(*glance("A").blocks, sample.gain_ledger(), drawn))
    pdf = typeset(document, sample.SYMBOLS, sample.DEVICES, paper=COMMA)[1]
    text = text_of(pdf, tmp_path)
    assert "9,275" in text
    assert "2,31 V" in text
    assert "4,7 k" in text
    assert not re.search(r"[0-9]\.[0-9]", text)


def test_plots_have_the_comma_too() -> None:
    from derive.plots.looks import decimal_sign
    from derive.plots.looks import typeset as plotted

    with decimal_sign("comma"):
        assert plotted("0.1 %") == "0,1 %"
        assert plotted("1.5°") == r"$1{,}5^\circ$"
    assert plotted("0.1 %") == "0.1 %"
