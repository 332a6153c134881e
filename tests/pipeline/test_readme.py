"""The README's examples work as they stand."""

from __future__ import annotations

import re
from math import pi
from pathlib import Path

import pytest

import derive
from derive.derivation.analyse import prepare
from derive.description.drawing import read_drawing
from derive.description.scan import read_scan
from derive.description.source import load, source_of_text
from derive.opinion.numeric import value_by_nodal_matrix

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)


def test_the_job_is_told_in_the_first_paragraph() -> None:
    first = README.split("\n\n")[1]
    assert "circuit" in first
    assert "worksheet" in first


@pytest.mark.tex
def test_the_description_makes_a_worksheet() -> None:
    text = blocks("toml")[0]
    sheet = derive.make(derive.read_text(text, "readme.toml"))
    assert not sheet.something_false
    assert {v.outcome for v in sheet.second_opinion} == {"confirmed"}
    assert sheet.files["worksheet.pdf"].startswith(b"%PDF")


def test_the_hints_of_the_drawing_are_read() -> None:
    drawing, scan = (source_of_text(text, "readme.toml") for text in blocks("toml")[1:])
    assert read_drawing(load(drawing)["drawing"], drawing).turned == {"R1": 90}
    assert read_scan(load(scan)["scan"], scan).nodes == {"gate": (0.31, 0.42)}


def test_the_python_example_names_what_exists() -> None:
    (text,) = blocks("python")
    names = re.search(r"from derive import (.*)", text)
    assert names is not None
    for name in names.group(1).split(", "):
        assert callable(getattr(derive, name))
    circuit = derive.read(Path(__file__).parents[2] / "worked" / "harbour_hydrophone.toml")
    exact = derive.answer(circuit, "Zin")
    plain = value_by_nodal_matrix(exact.inquiry, prepare(circuit).network.values(), 2j * pi * 1e3)
    assert exact.spectrum.at_frequency(1e3) == pytest.approx(plain, rel=1e-6)
