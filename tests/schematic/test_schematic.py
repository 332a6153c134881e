"""From circuits to wishes: rails, pairs, levels, the way of the signal; and the worked examples drawn."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from derive import analyse, bias_point, read
from derive.description.reader import read_text
from derive.drawing.draw import draw
from derive.drawing.place import Effort
from derive.drawing.trace import merged, overlaps, pierced, trace, wanted_nets
from derive.schematic.circuit import schematic
from derive.schematic.levels import by_thumb, levels
from derive.schematic.pairs import pairs
from derive.schematic.path import walk
from derive.schematic.small_signal import equivalent, reduced

WORKED = sorted((Path(__file__).parents[2] / "worked").glob("*.toml"))
QUICK = Effort(seeds=2, moves=30_000)
MOST_CROSSINGS = {"quay_hydrophone_follower": 4, "estuary_hydrophone_follower": 4}


def worked(name: str) -> Path:
    return next(path for path in WORKED if path.stem == name)


@pytest.mark.parametrize("path", WORKED, ids=lambda path: path.stem)
def test_a_worked_example_is_drawn_soundly(path: Path) -> None:
    circuit = read(path)
    wish = schematic(circuit, bias_point(circuit))
    drawing = draw(wish, effort=QUICK)
    assert merged(trace(drawing)) == wanted_nets(wish)
    assert overlaps(drawing) + pierced(drawing) == []
    assert {node for node, _ in drawing.named} >= set(wish.named)
    assert drawing.crossings <= MOST_CROSSINGS.get(path.stem, 1)


def test_supplies_against_ground_are_rails_and_others_are_batteries() -> None:
    circuit = read_text(
        '[about]\ntitle = "t"\n[parts]\n'
        'Vcc = { supply = "12 V", at = "vcc" }\nVee = { supply = "-5 V", at = "vee" }\n'
        'Vb = { supply = "3 V", between = ["a", "b"] }\nR1 = { resistor = "1k", between = ["vcc", "a"] }\n'
        'R2 = { resistor = "1k", between = ["b", "vee"] }\n[[question]]\nname = "Z"\nimpedance = { at = "a" }\n',
        "t.toml",
    )
    wish = schematic(circuit)
    assert wish.rails == (("vcc", "+12 V", "above"), ("vee", "−5 V", "below"))
    assert [(part.name, part.kind) for part in wish.parts] == [
        ("Vb", "battery"),
        ("R1", "resistor"),
        ("R2", "resistor"),
    ]
    assert wish.named == ("a",)


def test_long_tailed_pairs_and_mirrors_are_found_with_what_hangs_on_them() -> None:
    circuit = read(worked("quay_hydrophone_follower"))
    assert pairs(circuit) == (("Q1", "Q2"), ("Q3", "Q4"), ("R1", "R2"))


def test_the_signal_goes_through_devices_and_not_through_a_filters_capacitor() -> None:
    assert walk(read(worked("tide_gauge_low_pass"))) == ("src", "a", "p", "out")
    assert walk(read(worked("rain_gauge_stage"))) == ("src", "base", "out")


@pytest.mark.parametrize("name", ["harbour_hydrophone", "rain_gauge_stage"])
def test_the_rule_of_thumb_sorts_ends_of_resistors_as_the_bias_point_does(name: str) -> None:
    circuit = read(worked(name))
    solved, thumb = levels(circuit, bias_point(circuit)), by_thumb(circuit)
    for part in circuit.parts.values():
        if part.kind == "resistor":
            a, b = (solved.get(node, 0.0) for node in part.pins.values())
            c, d = (thumb.get(node, 0.0) for node in part.pins.values())
            if abs(a - b) > 0.2:
                assert (a > b) == (c > d)


def test_a_signal_current_points_to_its_first_node() -> None:
    wish = schematic(read(worked("tide_gauge_mirror")))
    source = next(part for part in wish.parts if part.name == "Iin")
    assert source.pins == (("first", "gnd"), ("second", "in"))


def test_the_small_signal_circuit_has_every_element_once() -> None:
    analysis = analyse(read(worked("rain_gauge_stage")))
    wish = equivalent(analysis.network, ("src", "base", "out"))
    names = [part.name for part in wish.parts]
    assert sorted(names) == sorted(["Vs", *(element.name for element in analysis.network.elements)])
    source = next(part for part in wish.parts if part.name == "gm_Q1")
    assert source.kind == "controlled current source"
    assert source.value == "× v(base, e)"
    drawing = draw(wish, effort=QUICK)
    assert merged(trace(drawing)) == wanted_nets(wish)


def test_an_op_amp_of_finite_gain_is_one_symbol() -> None:
    wish = equivalent(analyse(read(worked("echo_sounder_amplifier"))).network)
    assert [part.kind for part in wish.parts if part.name == "U1"] == ["op amp"]
    assert {part.name for part in wish.parts} == {"Vs", "U1", "Rf", "Rg", "Rl"}


def test_what_is_contracted_joins_its_ends_and_what_is_deleted_goes() -> None:
    analysis = analyse(read(worked("harbour_hydrophone")))
    inquiry = analysis.derivations[0].exact.inquiry
    network = inquiry.network.delete("Rg", "Ccab", "Cgs_Q1", "Cgd_Q1").contract("Cb")
    wish = reduced(replace(inquiry, network=network), ("src", "gate", "out"), drives=analysis.network.drives)
    names = {part.name for part in wish.parts}
    assert not names & {"Rg", "Ccab", "Cb", "Cgs_Q1", "Cgd_Q1"}
    lower = next(part for part in wish.parts if part.name == "Rb")
    assert set(dict(lower.pins).values()) == {"out", "gnd"}
    assert next(part.kind for part in wish.parts if part.name == "Vs") == "voltage source"
