"""[drawing]: hints read, and one message for each that cannot be meant."""

from __future__ import annotations

import pytest

from derive.circuit.hints import Hints
from derive.description.reader import read_text
from derive.errors import DescriptionError

CIRCUIT = """
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
Vcc = { supply = "12 V", at = "vcc" }
Q1 = { bjt = "npn", base = "in", emitter = "tail", collector = "out", gm = "1 mS", rpi = "10 k" }
Q2 = { bjt = "npn", base = "ref", emitter = "tail", collector = "vcc", gm = "1 mS", rpi = "10 k" }
R1 = { resistor = "1 kΩ", between = ["vcc", "out"] }
R2 = { resistor = "1 kΩ", between = ["tail", "gnd"] }
R3 = { resistor = "1 kΩ", between = ["ref", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
[drawing]
"""


def hints(text: str) -> Hints:
    return read_text(CIRCUIT + text, "sheet.toml").hints


def test_all_hints_are_read() -> None:
    found = hints(
        'path = ["in", "Q1.emitter", "Q1.collector"]\npairs = [["Q1", "Q2"]]\nrows = ["R2", "R3"]\n'
        'columns = [["Q1", "R1"], ["Q2", "R3"]]\nat = { R1 = [12, -4] }\nturned = { R1 = 270 }\nshow = false'
    )
    assert found == Hints(
        ("in", "tail", "out"), (("Q1", "Q2"),), (("R2", "R3"),), (("Q1", "R1"), ("Q2", "R3")),
        (("R1", (12, -4)),), (("R1", 270),), False,
    )  # fmt: skip
    assert hints("") == Hints()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('rows = [["R1", "R9"]]', "there is no part R9"),
        ('rows = [["R1", "Vcc"]]', "Vcc is a rail"),
        ('rows = [["R1"]]', "two parts or more"),
        ('pairs = [["Q1", "R1"]]', "not two transistors of one kind"),
        ('pairs = [["Q1", "Q2", "R1"]]', "does not name two parts"),
        ('path = ["in", "nowhere"]', "there is no signal node nowhere"),
        ('path = ["in", "Q9.base"]', "there is no part Q9"),
        ('path = ["in", "in"]', "twice"),
        ("at = { R1 = [1.5, 2] }", "whole numbers"),
        ("at = { R9 = [1, 2] }", "there is no part R9"),
        ("turned = { R1 = 45 }", "one of 0, 90, 180, 270"),
        ("turned = { R1 = true }", "not a turn"),
        ('show = "no"', "write true or false"),
        ('colour = "red"', "unknown key"),
    ],
)
def test_a_wrong_hint_is_told_with_its_line(text: str, told: str) -> None:
    with pytest.raises(DescriptionError, match=told) as caught:
        hints(text)
    assert caught.value.line == CIRCUIT.count("\n") + 1
    assert str(caught.value).startswith("sheet.toml, line ")
