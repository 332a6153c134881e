"""Drawings as circuitikz: the source, its escaping, and that TeX's leads end at the grid's pins."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from derive.document.records import Document, Picture, TitleBlock
from derive.drawing.records import Drawing, Label, Marks, Terminal, Voltage, Wire
from derive.drawing.symbols import TRANSISTORS, pins
from derive.typeset.drawn import NODES, TWO_TERMINAL, UNIT, picture
from derive.typeset.looks import drawing_preamble
from derive.typeset.page import render, template_environment
from derive.typeset.sheet import typeset
from derive.typeset.spelling import Spelling
from tests.drawing.hand_placed import ORIENTATIONS, alone, follower, marks, part

NASTY = r"\input{/etc/passwd} & 50 % $x$ #1 ~^_"


def source(drawing: Drawing, wanted: Marks | None = None, width: float = 170) -> str:
    spelling = Spelling.of([placed.part.name for placed in drawing.parts])
    return picture(drawing, wanted or Marks(), spelling, width=width, height=150)


def document(*blocks: Picture) -> Document:
    return Document(TitleBlock("Sheet", None, None, None, None, None, None, None, "en"), blocks, ())


def test_the_source_is_what_a_person_would_write() -> None:
    divider = Drawing(
        (part("R1", "resistor", ("in", "out"), (2, 0), value="4.7 kΩ"),
         part("R2", "resistor", ("out", "gnd"), (6, -2), 270)),
        (Wire("out", ((4, 0), (8, 0))),), (), (Terminal("gnd", (6, -4), "below", None),), (),
    )  # fmt: skip
    assert source(divider).split("\n")[2:-1] == [
        r"  \draw (4,0) -- (8,0);",
        r"  \draw (0,0) to[european resistor] (4,0);",
        r"  \draw (6,0) to[european resistor] (6,-4);",
        r"  \node[ground] at (6,-4) {};",
        r"  \node[anchor=center, words] at (2,2.275) {$R_{1}$};",
        r"  \node[anchor=center, words] at (2,1.225) {4.7 k\textohm{}};",
        r"  \node[anchor=west, words] at (6.85,-2) {$R_{2}$};",
    ]


def test_words_are_escaped() -> None:
    drawing = follower()
    bad = replace(drawing.parts[0], labels=(Label(NASTY, (0, 0)),))
    drawing = replace(drawing, parts=(bad, *drawing.parts[1:]), named=(("out", Label(NASTY, (30, 0))),))
    text = source(drawing, Marks((Voltage("out", NASTY),)))
    assert r"\input" not in text
    assert text.count(r"\textbackslash{}input") == 3


def test_a_wide_drawing_is_made_smaller_as_a_whole() -> None:
    assert "scale=" not in source(follower())
    assert re.search(r"scale=0\.[0-9]+, transform shape", source(follower(), width=60))


def test_a_page_without_drawings_loads_nothing_for_them() -> None:
    assert "circuitikz" not in render(document()).tex
    assert "circuitikz" in render(document(Picture("circuit", ("The circuit",), follower(), Marks()))).tex


@pytest.mark.tex
def test_a_page_with_a_marked_drawing_compiles() -> None:
    block = Picture("circuit", ("The circuit",), follower(), marks(), ("Blue: direct voltages.",))
    assert typeset(document(block))[1].startswith(b"%PDF")


@pytest.mark.tex
def test_leads_of_circuitikz_end_at_the_pins(tmp_path: Path) -> None:
    """Asked of TeX itself: where each anchor of each transistor lies, in every orientation."""
    anchors = {"base": "B", "collector": "C", "emitter": "E", "gate": "G", "drain": "D", "source": "S"}
    cases = [(kind, turn, mirrored) for kind in sorted(TRANSISTORS) for turn, mirrored in ORIENTATIONS]
    lines, wanted = [], []
    for kind, turn, mirrored in cases:
        body = source(alone(kind, turn, mirrored)).split("\n")
        lines += [
            r"\begin{tikzpicture}[schematic]",
            *(line for line in body if line.startswith(r"  \node[" + NODES[kind])),
        ]
        for pin, place in pins(kind, turn, mirrored).items():
            lines.append(rf"\pgfpointanchor{{X1}}{{{anchors[pin]}}}\tell")
            wanted.append(place)
        lines.append(r"\end{tikzpicture}")
    tell = r"\makeatletter\def\tell{\typeout{AT \the\pgf@x\space\the\pgf@y}}\makeatother"
    head = r"\documentclass{article}\usepackage{xcolor}" + drawing_preamble(template_environment())
    (tmp_path / "a.tex").write_text("\n".join([head, tell, r"\begin{document}", *lines, r"\end{document}"]))
    run = ["pdflatex", "-no-shell-escape", "-interaction=nonstopmode", "-halt-on-error", "a.tex"]
    subprocess.run(run, cwd=tmp_path, capture_output=True, check=True, timeout=60, stdin=subprocess.DEVNULL)
    log = (tmp_path / "a.log").read_text("utf-8", "replace")
    points = 72.27 / 25.4 * UNIT
    found = [(float(x) / points, float(y) / points) for x, y in re.findall(r"AT (\S+)pt (\S+)pt", log)]
    assert len(found) == len(wanted) == 3 * len(cases)
    for at, place in zip(found, wanted, strict=True):
        assert at == pytest.approx(place, abs=0.02)


def test_every_kind_has_a_symbol() -> None:
    from derive.drawing.symbols import SYMBOLS

    assert set(SYMBOLS) == set(TWO_TERMINAL) | set(NODES)
