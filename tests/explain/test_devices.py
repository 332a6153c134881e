"""Configurations of devices as the textbooks name them, and shares that add to one."""

from __future__ import annotations

import pytest

from derive.explain.devices import Duty
from derive.explain.words import chapters
from derive.spoken import spoken
from tests.explain.explaining import STAGE, explained, explained_at_random

BJT = 'gm = "40 mS", rpi = "2.5 kΩ", ro = "100 kΩ"'
FET = 'gm = "4 mS", ro = "50 kΩ"'


def duty(found, part: str, way: str = "signal") -> Duty:
    return next(d for d in found.duties if d.part == part and d.way == way)


def resistor(name: str, value: str, first: str, second: str = "gnd") -> str:
    return f'{name} = {{ resistor = "{value}", between = ["{first}", "{second}"] }}\n'


@pytest.mark.parametrize(
    ("pins", "loads", "expected"),
    [
        ('base = "in", collector = "out", emitter = "gnd"', [("out",)], "common emitter"),
        ('base = "in", collector = "out", emitter = "e"', [("out",), ("e",)], "common emitter"),
        ('base = "in", collector = "gnd", emitter = "out"', [("out",)], "emitter follower"),
        ('base = "gnd", collector = "out", emitter = "e"', [("out",), ("e", "in")], "common base"),
    ],
)
def test_the_three_bipolar_stages(pins: str, loads: list[tuple[str, ...]], expected: str) -> None:
    """P. R. Gray et al., "Analysis and Design of Analog Integrated Circuits", chapter 3 (from memory)."""
    parts = STAGE + f'Q1 = {{ bjt = "npn", {pins}, {BJT} }}\n'
    parts += "".join(resistor(f"R{k}", "1k", *ends) for k, ends in enumerate(loads, 1))
    _, found = explained(parts)
    assert duty(found, "Q1").configuration == expected


@pytest.mark.parametrize(
    ("pins", "loads", "expected"),
    [
        ('gate = "in", drain = "out", source = "gnd"', [("out",)], "common source"),
        ('gate = "in", drain = "gnd", source = "out"', [("out",)], "source follower"),
        ('gate = "gnd", drain = "out", source = "e"', [("out",), ("e", "in")], "common gate"),
    ],
)
def test_the_three_fet_stages(pins: str, loads: list[tuple[str, ...]], expected: str) -> None:
    parts = STAGE + f'Q1 = {{ jfet = "n-channel", {pins}, {FET} }}\n'
    parts += "".join(resistor(f"R{k}", "1k", *ends) for k, ends in enumerate(loads, 1))
    _, found = explained(parts)
    assert duty(found, "Q1").configuration == expected


def test_a_cascode() -> None:
    parts = STAGE + (
        f'Q1 = {{ bjt = "npn", base = "in", collector = "m", emitter = "gnd", {BJT} }}\n'
        f'Q2 = {{ bjt = "npn", base = "gnd", collector = "out", emitter = "m", {BJT} }}\n' + resistor("Rc", "1k", "out")
    )
    _, found = explained(parts)
    assert [duty(found, q).configuration for q in ("Q1", "Q2")] == ["common emitter", "common base"]


def test_a_pair_is_driven_at_its_emitter_on_the_far_side() -> None:
    """The long-tailed pair with one side driven: Q1 passes the signal by its emitter, Q2 works in common base."""
    parts = STAGE + (
        f'Q1 = {{ bjt = "npn", base = "in", collector = "gnd", emitter = "tail", {BJT} }}\n'
        f'Q2 = {{ bjt = "npn", base = "gnd", collector = "out", emitter = "tail", {BJT} }}\n'
        + resistor("Rt", "100k", "tail")
        + resistor("Rc", "1k", "out")
    )
    _, found = explained(parts)
    stages = {case.part: case.configuration for case in found.duties}
    assert stages == {"Q1": "emitter follower", "Q2": "common base"}
    assert found.duties[0].partner == "Q2"


def test_a_device_that_is_driven_from_both_sides() -> None:
    """A base that rises and an emitter that falls by half of it: the base has two thirds of the drive."""
    parts = STAGE + (
        'G1 = { transconductance = "0.5 mS", from = ["e", "gnd"], sense = ["in", "gnd"] }\n'
        + resistor("Re", "1k", "e") + resistor("Rc", "1k", "out")
        + 'Q1 = { bjt = "npn", base = "in", collector = "out", emitter = "e", gm = "0.01 mS", rpi = "10 MΩ" }\n'
    )  # fmt: skip
    _, found = explained(parts)
    case = duty(found, "Q1")
    assert case.both_driven
    assert [round(pin.amount.real, 6) for pin in case.driven] == [1.0, -0.5]


def test_a_current_source_is_no_stage() -> None:
    parts = STAGE + (
        f'Q1 = {{ bjt = "npn", base = "in", collector = "gnd", emitter = "out", {BJT} }}\n'
        f'Q2 = {{ bjt = "npn", base = "b", collector = "out", emitter = "e", {BJT} }}\n'
        + resistor("Rb", "1k", "b")
        + resistor("Re", "1k", "e")
    )
    _, found = explained(parts)
    assert duty(found, "Q2").configuration == "beside"
    words = [spoken(s) for chapter in chapters(found) for s in chapter.sentences]
    assert any(w.startswith("Q2 is no stage of this signal") for w in words)


@pytest.mark.parametrize("seed", range(20))
def test_shares_of_the_current_add_to_one(seed: int) -> None:
    _, found = explained_at_random(f"shares {seed}", ("bjt", "jfet"))
    for case in found.duties:
        if case.taken:
            assert abs(sum(pin.amount for pin in case.taken) - 1) < 1e-9
