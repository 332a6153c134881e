"""The drawing among the stages: recalled from the cache, kept beside the description, told where there is none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from derive import sketch as stage
from derive.description.reader import read, read_text
from derive.drawing.data import of_data, to_data
from derive.drawing.records import Drawing
from derive.errors import Defect, DescriptionError
from derive.places import places_file, read_places, written_places
from derive.sketch import Missing, sketch

TEXT = """
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "derive" / "drawings"


def drawn(text: str = TEXT) -> Drawing:
    found = sketch(read_text(text, "sheet.toml"), None)
    assert isinstance(found, Drawing)
    return found


def test_the_second_run_recalls_and_a_changed_circuit_does_not(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = drawn()
    (kept,) = cache.iterdir()
    assert of_data(json.loads(kept.read_text("utf-8"))) == first

    def fail(*_: object) -> Drawing:
        raise Defect("drawn again")

    monkeypatch.setattr(stage, "draw", fail)
    assert drawn() == first
    assert sketch(read_text(TEXT.replace("1 kΩ", "2 kΩ"), "sheet.toml"), None) == Missing("drawn again")


@pytest.mark.parametrize("damage", ["", "[]", "{}", '{"parts": 1}', "null"])
def test_a_damaged_cache_is_drawn_anew(cache: Path, damage: str) -> None:
    first = drawn()
    (kept,) = cache.iterdir()
    kept.write_text(damage)
    assert drawn() == first


def test_a_cache_that_shows_something_else_is_drawn_anew(cache: Path) -> None:
    first = drawn()
    (kept,) = cache.iterdir()
    data = to_data(first)
    data["wires"] = data["wires"][1:]
    kept.write_text(json.dumps(data))
    assert drawn() == first


def test_no_drawing_is_wanted(cache: Path) -> None:
    assert sketch(read_text(TEXT + "[drawing]\nshow = false\n", "sheet.toml"), None) is None
    assert not cache.exists()


def test_a_hint_is_followed_and_one_that_cannot_be_is_told_with_its_line(cache: Path) -> None:  # noqa: ARG001
    placed = {p.part.name: p for p in drawn(TEXT + "[drawing]\nturned = { R1 = 90 }\n").parts}
    assert placed["R1"].turn == 90
    with pytest.raises(DescriptionError, match=r"sheet\.toml, line 10: drawing: .*"):
        sketch(read_text(TEXT + "[drawing]\nat = { R1 = [4, 4], R2 = [4, 4] }\n", "sheet.toml"), None)


def test_places_are_kept_beside_the_description(cache: Path, tmp_path: Path) -> None:  # noqa: ARG001
    path = tmp_path / "sheet.toml"
    path.write_text(TEXT, encoding="utf-8")
    found = sketch(read(path), None)
    assert isinstance(found, Drawing)
    kept = places_file(read(path).source)
    assert kept == tmp_path / "sheet.places.toml"
    kept.write_bytes(written_places(found))
    assert set(read_places(read(path).source) or {}) == {"Vs", "R1", "R2"}
    # A part more, and the others stay.
    path.write_text(TEXT.replace("[[", 'R3 = { resistor = "1 kΩ", between = ["out", "gnd"] }\n[[', 1), encoding="utf-8")
    again = sketch(read(path), None)
    assert isinstance(again, Drawing)
    before, after = ({p.part.name: (p.at, p.turn) for p in one.parts} for one in (found, again))
    shift = {(after[n][0][0] - before[n][0][0], after[n][0][1] - before[n][0][1]) for n in before}
    assert len(shift) == 1
    kept.write_text("[R1]\nat = 5\n")
    with pytest.raises(DescriptionError, match="places"):
        sketch(read(path), None)
