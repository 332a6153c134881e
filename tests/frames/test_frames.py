"""Frames of a video: which steps they show, in which order, what is said; that nothing jumps; the files."""

from __future__ import annotations

import re
import shutil
import struct
import subprocess
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from derive.command import app
from derive.derivation.analyse import analyse
from derive.description.reader import read_text
from derive.document.compose import answers
from derive.document.records import Ledger
from derive.frames import files, render
from derive.frames.page import COLOURS, Setter
from derive.frames.records import Frame, Series
from derive.frames.scenes import frames_of
from derive.frames.script import script_of
from derive.typeset.compile import compile_pdf

DIVIDER = """
[about]
title = "Jetty divider 50 %_#"
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "3 kΩ", between = ["in", "out"] }
C1 = { capacitor = "10 nF", between = ["out", "gnd"] }
R2 = { resistor = "30 Ω", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
[[assume]]
that = "R1 >> R2"
"""
POPPLER = pytest.mark.skipif(shutil.which("pdftocairo") is None, reason="poppler-utils is missing")
TEX = pytest.mark.skipif(shutil.which("pdflatex") is None, reason="TeX is missing")


@pytest.fixture(scope="module")
def series() -> Series:
    analysis = analyse(read_text(DIVIDER, "sheet.toml"))
    frames = frames_of(analysis.derivations[0], analysis, None, None)
    return Series("Jetty divider 50 %_#", tuple(frames), tuple(analysis.network.symbols), ())


def test_every_line_of_algebra_of_the_section_is_shown_once_and_the_answer_last(series: Series) -> None:
    analysis = analyse(read_text(DIVIDER, "sheet.toml"))
    blocks = answers.blocks(analysis.derivations[0], analysis)
    expected = [row for block in blocks if isinstance(block, Ledger) for row in block.rows if row.algebra]
    shown = [frame.row for frame in series.frames[:-1] if frame.row is not None]
    assert sorted(map(repr, shown)) == sorted(map(repr, expected))
    assert series.frames[0].row is None
    assert series.frames[-1].large


def test_what_is_said_has_the_algebra_and_the_number(series: Series) -> None:
    said = script_of(next(frame for frame in series.frames if frame.part == "Kirchhoff's equations"))
    assert said.startswith("A: gain from in to out – Kirchhoff's equations\n")
    assert "(v(out) - v(in))/R1" in said
    assert "In numbers: v(out)/v(in) = " in said


def test_names_sort_in_order(series: Series) -> None:
    names = [files.name_of(place, frame) for place, frame in enumerate(series.frames)]
    assert names == sorted(names)
    assert names[0] == "001-A"


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("dark", [False, True])
def test_letters_stand_out_from_the_ground(dark: bool) -> None:
    """WCAG 2.2: 7 to 1 for what is current (AAA), 4.5 to 1 for earlier steps (1.4.3); on halos as well."""
    colours = COLOURS[dark]

    def ratio(ink: str, ground: str) -> float:
        high, low = sorted((luminance(colours[ink]), luminance(colours[ground])), reverse=True)
        return (high + 0.05) / (low + 0.05)

    assert all(ratio(ink, "white") >= 7 for ink in ("black", "accent", "faint"))
    assert ratio("calm", "white") >= 4
    assert ratio("black", "glow") >= 7


@TEX
@POPPLER
@pytest.mark.tex
def test_a_step_stays_where_it_appeared(series: Series, tmp_path: Path) -> None:
    """What stands on a frame stands at the same place on the next of its part; this one's parts fit their screens."""
    (tmp_path / "frames.pdf").write_bytes(compile_pdf(Setter(series, "light").frames(), {}))
    boxes = subprocess.run(
        ["pdftotext", "-bbox", "frames.pdf", "-"], cwd=tmp_path, capture_output=True, text=True, check=True
    ).stdout
    pages = [
        {
            (round(float(w[0])), round(float(w[1])), w[2])
            for w in re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)".*?>([^<]*)</word>', page)
        }
        for page in boxes.split("<page ")[1:]
    ]
    assert len(pages) == len(series.frames)
    kept = [
        (before, after)
        for before, after, frame in zip(pages, pages[1:], series.frames[1:], strict=False)
        if frame.row is not None and not frame.begins and not frame.large
    ]
    assert kept
    for before, after in kept:
        # Words beside each other may be parted or joined otherwise by the reader of the page.
        assert len(before & after) >= 0.9 * len(before)


@TEX
@POPPLER
@pytest.mark.tex
@pytest.mark.parametrize(("ground", "clear"), [("dark", False), ("clear-dark", True)])
def test_the_files_of_a_frame(series: Series, ground: str, clear: bool) -> None:
    few = Series(series.title, series.frames[:3], series.symbols, series.devices)
    made = files.files_of(few, "1080", ground)  # type: ignore[arg-type]
    assert {name.rpartition(".")[2] for name in made} == {"png", "svg", "txt"}
    for name, content in made.items():
        if name.endswith(".png"):
            width, height, _, kind = struct.unpack(">IIBB", content[16:26])
            assert (width, height) == (1920, 1080)
            assert (kind == 6) == clear, "only a clear ground has an alpha channel"
        if name.endswith(".svg"):
            assert ElementTree.fromstring(content).tag.endswith("svg")
    again = files.files_of(few, "1080", ground)  # type: ignore[arg-type]
    assert again == made, "the same frames give the same bytes"


def test_a_missing_tool_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "jetty.toml").write_text(DIVIDER, encoding="utf-8")
    monkeypatch.setattr(files, "require_engine", lambda: "pdflatex")
    monkeypatch.setattr(render, "TOOL", "a-program-that-is-nowhere")
    result = CliRunner().invoke(app, ["frames", "jetty.toml"])
    assert result.exit_code == 3
    assert "poppler-utils" in result.output
    assert not (tmp_path / "build").exists()


def test_a_question_that_is_not_there_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "jetty.toml").write_text(DIVIDER, encoding="utf-8")
    result = CliRunner().invoke(app, ["frames", "jetty.toml", "--of", "B"])
    assert result.exit_code == 2
    assert "there is no question B" in result.output


def test_a_step_too_long_for_a_frame_is_left_to_the_worksheet(series: Series, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("derive.frames.page.MOST_LINES", 0)
    source = Setter(series, "light").frames()
    assert source.count("too long for a frame") == sum(
        isinstance(f, Frame) and f.row is not None for f in series.frames
    )


def test_helpers_names_are_explained_where_they_stand_and_given_once(series: Series) -> None:
    """In so narrow a column each step needs names; each is defined on its own frame, under a number of its own."""
    setter = Setter(series, "light", budget=0.12)
    rows = [frame.row for frame in series.frames if frame.row is not None]
    given: list[str] = []
    for row in rows:
        source, _ = setter.algebra(row, 76, 11)
        used = set(re.findall(r"[NDX]_\{?\d+\}?", source))
        defined = re.findall(r"^ *(?:\\hphantom\{[^&]*\})?([NDX]_\{?\d+\}?)(?:\(s\))? *&", source, re.MULTILINE)
        assert used == set(defined)
        assert not used & set(given)
        given += sorted(used)
    assert given


@TEX
@POPPLER
@pytest.mark.tex
def test_a_tall_step_and_an_answer_without_a_form_are_set(series: Series) -> None:
    """What is taller than the screen is made smaller; an answer too long to print has a number alone."""
    stepped = next(frame for frame in series.frames if frame.row is not None and frame.row.algebra)
    assert stepped.row is not None
    tall = replace(stepped, row=replace(stepped.row, algebra=stepped.row.algebra * 6), begins=True)
    bare = replace(series.frames[-1], row=replace(stepped.row, algebra=(), kind="remark"))
    few = Series(series.title, (series.frames[0], tall, tall, bare), series.symbols, series.devices)
    made = files.files_of(few, "1080", "light")
    assert sum(name.endswith(".png") for name in made) == 4
    assert sum(name.endswith(".svg") for name in made) == 2
