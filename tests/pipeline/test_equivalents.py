"""The small-signal network drawn on the sheet, and what limits leave of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from derive import equivalents as stage
from derive import sketch
from derive.derivation.analyse import analyse
from derive.description.reader import read_text
from derive.document.compose.drawn import STEPS, equivalent, with_reduced
from derive.document.records import Heading, Paragraph, Picture
from derive.drawing.draw import draw
from derive.drawing.place import Effort
from derive.drawing.records import Wish
from derive.drawing.trace import trace
from derive.equivalents import WHOLE, equivalents

STAGE = """
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
Rb = { resistor = "100 kΩ", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", emitter = "e", collector = "c", ic = "1 mA", beta = 200, va = "80 V" }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
Ce = { capacitor = "100 µF", between = ["e", "gnd"] }
Rc = { resistor = "4.7 kΩ", between = ["c", "vcc"] }
Vcc = { supply = "12 V", at = "vcc" }
[[question]]
name = "A"
gain = { from = "in", to = "c" }
[[assume]]
short = ["Ce"]
"""


@pytest.fixture(autouse=True)
def quick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr(sketch, "draw", lambda wish: draw(wish, effort=Effort(seeds=2, moves=20_000)))


def test_the_network_and_what_the_limit_leaves_are_drawn() -> None:
    found = equivalents(analyse(read_text(STAGE, "sheet.toml")), ("in", "c"))
    assert set(found) == {WHOLE, "A"}
    parts = {name: {placed.part.name for placed in drawing.parts} for name, drawing in found.items()}
    assert parts[WHOLE] == {"Vs", "Rb", "rpi_Q1", "gm_Q1", "ro_Q1", "Re", "Ce", "Rc"}
    # With the emitter at ground Re and Ce carry nothing.
    assert parts["A"] == {"Vs", "Rb", "rpi_Q1", "gm_Q1", "ro_Q1", "Rc"}
    assert any({("gm_Q1", "second"), ("ro_Q1", "second")} <= net for net in trace(found["A"]))


def test_an_impedance_under_limits_has_its_ground() -> None:
    """A port names ground as its second node; a source that is zeroed joins it and gives it no other name."""
    text = STAGE.replace('gain = { from = "in", to = "c" }', 'impedance = { at = "c" }')
    drawing = equivalents(analyse(read_text(text, "sheet.toml")), ("in", "c"))["A"]
    nodes = {node for placed in drawing.parts for _, node in placed.part.pins}
    assert "gnd" in nodes
    assert "in" not in nodes


def test_a_large_network_is_not_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stage, "MOST_PARTS", 5)
    assert equivalents(analyse(read_text(STAGE, "sheet.toml")), ()) == {}


def test_where_the_figures_stand() -> None:
    (drawing,) = [equivalents(analyse(read_text(STAGE, "sheet.toml")), ())[WHOLE]]
    assert [type(block) for block in equivalent({WHOLE: drawing})] == [Picture]
    assert equivalent({}) == []
    section = [Heading(1, ("A",)), Heading(2, STEPS), Paragraph(("after",))]
    placed = with_reduced("A", section, {"A": drawing})
    assert [type(block) for block in placed] == [Heading, Heading, Picture, Paragraph]
    assert with_reduced("B", section, {"A": drawing}) == section


def test_what_cannot_be_drawn_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_: Wish) -> None:
        raise sketch.Undrawable("no room", "", "")

    monkeypatch.setattr(sketch, "draw", fail)
    assert equivalents(analyse(read_text(STAGE, "sheet.toml")), ()) == {}
