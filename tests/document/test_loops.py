"""Loops on the page: sentences that follow from numbers, the notice at the top, and what the record keeps."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from derive.derivation.analyse import Prepared, prepare
from derive.document.compose.connections import added
from derive.document.compose.loops import loop_blocks, loop_notices
from derive.document.records import Heading, LoopPlot, Notice, Paragraph, PolarPlot, Table
from derive.explain.loop_survey import Survey, survey
from derive.record_loops import survey_record
from derive.spoken import spoken
from derive.typeset.page import render
from tests.networks import circuit
from tests.reference.test_loops import SHIFT

PAIR = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Rs = { resistor = "1 kΩ", between = ["in", "b1"] }
Q1 = { bjt = "npn", base = "b1", collector = "c1", emitter = "e1", beta = 200, ic = "0.2 mA", cmu = "3 pF" }
R1 = { resistor = "33 kΩ", between = ["c1", "vcc"] }
R2 = { resistor = "470 Ω", between = ["e1", "gnd"] }
Q2 = { bjt = "npn", base = "c1", collector = "out", emitter = "e2", beta = 200, ic = "1 mA", cmu = "3 pF" }
R3 = { resistor = "4.7 kΩ", between = ["out", "vcc"] }
R4 = { resistor = "1.8 kΩ", between = ["e2", "gnd"] }
Ce = { capacitor = "470 µF", between = ["e2", "gnd"] }
Rf = { resistor = "22 kΩ", between = ["out", "e1"] }
Vcc = { supply = "15 V", at = "vcc" }
"""
ASKED = (
    'A: gain = { from = "in", to = "out" }', 'Zin: impedance = { at = "b1", without = ["Rs"] }',
    'bypass: connection = { part = "Ce", end = "e2", loop = "gm_Q1" }',
    'cable: stability = { at = "out", capacitance = ["10 pF", "10 nF"] }',
)  # fmt: skip


@pytest.fixture(scope="module")
def stage() -> tuple[Prepared, Survey]:
    prepared = prepare(circuit(PAIR, *ASKED))
    return prepared, survey(prepared)


def oscillator(gain: int) -> tuple[Prepared, Survey]:
    prepared = prepare(circuit(SHIFT.replace("GAIN", str(gain)), 'T: return_ratio = { of = "U1" }'))
    return prepared, survey(prepared, ())


def told(prepared: Prepared, found: Survey) -> str:
    return "\n".join(spoken(b.words) for b in loop_blocks(found, prepared.ground) if isinstance(b, Paragraph))


def test_the_bypass_is_a_sentence_with_both_numbers_and_both_formulas(stage: tuple[Prepared, Survey]) -> None:
    prepared, found = stage
    (compared,) = found.cuts
    assert compared.loop is not None
    assert compared.loop.of == "gm_Q1"
    text = told(prepared, found)
    whole, without = (abs(s.spot or 0) for s in (compared.loop.answer.whole, compared.loop.answer.cut))
    verb = "raises" if whole > without else "lowers"
    assert f"the connection of Ce at e2 {verb} abs(T_Q1) of gm_Q1 from" in text
    assert compared.loop.answer.whole.written is not None
    assert compared.loop.answer.cut.written is not None
    assert "poles of the network" not in text


def test_sections_have_their_blocks(stage: tuple[Prepared, Survey]) -> None:
    prepared, found = stage
    made = loop_blocks(found, prepared.ground, (1j, -1j))
    headings = [spoken(b.words) for b in made if isinstance(b, Heading) and b.level == 1]
    assert headings[0] == "Loops"
    assert "Connections" in headings
    assert headings[-1].startswith("cable: stability over a capacitance from out to ground")
    assert sum(isinstance(b, LoopPlot) for b in made) == 1
    (plane,) = [b for b in made if isinstance(b, PolarPlot)]
    assert plane.roots is not None
    assert plane.roots.zeros == (1j, -1j)
    assert all(len(row) == len(b.columns) for b in made if isinstance(b, Table) for row in b.rows)


def test_a_stable_circuit_has_no_notice(stage: tuple[Prepared, Survey]) -> None:
    assert loop_notices(stage[1]) == []


@pytest.mark.parametrize(("gain", "words"), [(30, "2 poles of the network lie in the right half plane"),
                                             (29, "Poles of the network lie on the imaginary axis")])  # fmt: skip
def test_an_oscillator_is_announced_with_its_frequency_and_gain(gain: int, words: str) -> None:
    _, found = oscillator(gain)
    (notice,) = loop_notices(found)
    assert isinstance(notice, Notice)
    text = spoken(notice.words)
    assert words in text
    assert "A steady oscillation at 649.7 Hz needs U1 times" in text
    assert f"which is 29.00 instead of {gain}" in text
    assert loop_notices(oscillator(20)[1]) == []


def test_what_a_connection_adds_has_a_rule() -> None:
    """By how much of T is left without it, and by |1 + T| with it and without."""
    assert added(50, 0.2) == "carries the loop: negative feedback"
    assert added(-0.8, 0) == "carries the loop: positive feedback"
    assert added(50, 40) == "raises |1 + T|"
    assert added(50, 60) == "lowers |1 + T|"
    assert added(50, 50.1) == "–"
    assert added(50, None) == "–"


def test_the_record_is_plain_data(stage: tuple[Prepared, Survey]) -> None:
    _, found = stage
    record = json.loads(json.dumps(survey_record(found), allow_nan=False))
    loop = record["loops"]["gm_Q1"]
    exact = found.loops.of("gm_Q1")
    assert exact is not None
    assert complex(*loop["return_ratio"]) == exact.spot
    assert record["connections"]["bypass"]["loop"]["of"] == "gm_Q1"
    assert record["connections"]["ranked"]["held"]
    assert record["stability"]["cable"]["spans"][0]["right"] == 0
    assert json.loads(json.dumps(survey_record(oscillator(30)[1]), allow_nan=False))["natural"]["right"]


def test_the_page_can_be_set(stage: tuple[Prepared, Survey]) -> None:
    from derive.document.records import Document, TitleBlock

    prepared, found = stage
    blocks = (*loop_notices(oscillator(30)[1]), *loop_blocks(found, prepared.ground))
    title = TitleBlock("Loops", *[None] * 7, "en")
    sheet = render(Document(title, blocks, ()), prepared.network.symbols, ["Q1", "Q2"])
    assert {name.partition("-")[0] for name in sheet.pictures} == {"loop", "plane"}
    again = render(Document(title, blocks, ()), prepared.network.symbols, ["Q1", "Q2"])
    assert (sheet.tex, sheet.pictures) == (again.tex, again.pictures)


def test_roots_beyond_every_circuit_are_left_out_of_the_map(stage: tuple[Prepared, Survey]) -> None:
    """A root at 1e16 Hz, as tiny strays make, would leave no room for the others; the caption counts what is left
    out."""
    prepared, found = stage
    natural = found.loops.natural
    assert natural is not None
    far = replace(natural, left=(*natural.left, complex(-6e16)))
    loops = replace(found.loops, natural=far)
    blocks = loop_blocks(replace(found, loops=loops), prepared.ground)
    maps = [b for b in blocks if isinstance(b, PolarPlot) and b.roots is not None]
    assert maps
    for one in maps:
        assert one.roots is not None
        assert one.roots.poles == natural.all
        assert "1 root beyond 1 THz is left out." in spoken(one.caption)
