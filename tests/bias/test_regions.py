"""Regions follow from voltages, not from how much current flows, and no slope that counts is left out."""

from __future__ import annotations

import pytest

from derive.bias.solve import solve
from derive.derivation.analyse import prepare
from derive.description.reader import read_text
from derive.interface import answer
from tests.bias.circuits import described, solved

ASKED = '\n[[question]]\nname = "A"\ngain = { from = "in", to = "out" }\n'
FOLLOWER = """Vs = {{ signal = "voltage", between = ["in", "gnd"] }}
Rg = {{ resistor = "1 GΩ", between = ["in", "g"] }}
Q1 = {{ mosfet = "n-channel", gate = "g", drain = "v", source = "out", k = "1 µA/V²", vth = "-0.5 V" }}
Rs = {{ resistor = "{source}", between = ["out", "gnd"] }}
V1 = {{ supply = "5 V", at = "v" }}
Rp = {{ resistor = "{across}", between = ["v", "gnd"] }}"""
# By hand: the channel at zero drain-source voltage is Vp²/(2 Idss (Vgs - Vp)), or 1/(k (Vgs - Vth)).
QUIET = {
    "a junction FET as a resistor": (
        """Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "10 kΩ", between = ["in", "out"] }
Vg = { supply = "-1 V", at = "g" }
Q1 = { jfet = "n-channel", gate = "g", drain = "out", source = "gnd", idss = "6 mA", vp = "-2 V" }""",
        (4 / (12e-3 * 1)) / (4 / (12e-3 * 1) + 10e3),
    ),
    "a MOSFET as a closed switch": (
        """Vs = { signal = "voltage", between = ["in", "gnd"] }
Vg = { supply = "5 V", at = "g" }
Q1 = { mosfet = "n-channel", gate = "g", drain = "in", source = "out", k = "2 mA/V²", vth = "1 V" }
R1 = { resistor = "10 kΩ", between = ["out", "gnd"] }""",
        10e3 / (10e3 + 1 / (2e-3 * 4)),
    ),
    "a Schottky diode at zero": (
        """Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 MΩ", between = ["in", "out"] }
D1 = { diode = "schottky", anode = "out", cathode = "gnd", is = "1 µA" }""",
        25692.579 / (25692.579 + 1e6),
    ),
}


@pytest.mark.parametrize("name", QUIET)
def test_devices_without_current_keep_their_slopes(name: str) -> None:
    parts, wanted = QUIET[name]
    circuit = read_text(f"[parts]\n{parts}\n{ASKED}", "quiet.toml")
    assert answer(circuit, "A").spectrum.at_frequency(1000).real == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize("source", ["1 MΩ", "1 GΩ", "10 GΩ"])
def test_other_currents_change_no_region(source: str) -> None:
    values = []
    for across in ("1 Ω", "1 MΩ"):
        parts = FOLLOWER.format(source=source, across=across)
        circuit = read_text(f"[parts]\n{parts}\n{ASKED}", "quiet.toml")
        assert solved(parts, "out").point.devices["Q1"].region == "active"
        values.append(answer(circuit, "A").spectrum.at_frequency(1000).real)
    assert values[0] == pytest.approx(values[1], rel=1e-9)
    assert values[0] > 0.25


def test_a_collector_junction_that_begins_to_conduct_counts() -> None:
    """By the gain of the stage its slope is multiplied: left out, the gain would be wrong by a factor."""
    parts = """Vs = { signal = "voltage", between = ["in", "gnd"], offset = "0.68 V" }
R1 = { resistor = "1 MΩ", between = ["in", "b"] }
Ib = { signal = "current", between = ["b", "gnd"], offset = "20 µA" }
Rc = { resistor = "3 kΩ", between = ["v", "out"] }
V1 = { supply = "5 V", at = "v" }
Q1 = { bjt = "npn", base = "b", collector = "out", emitter = "gnd", beta = 100, va = "50 V" }"""
    end = ASKED.replace("gain = {", 'gain = { driven_by = "Vs",')

    def output(volts: float) -> float:
        moved = parts.replace("0.68 V", f"{volts:.9f} V")
        return solved(moved, "out").point.nodes["out"] or 0.0

    circuit = read_text(f"[parts]\n{parts}\n{end}", "edge.toml")
    slope = (output(0.68 + 1e-5) - output(0.68 - 1e-5)) / 2e-5
    assert answer(circuit, "A").spectrum.at_frequency(1000).real == pytest.approx(slope, rel=1e-4)


def test_an_island_has_its_currents() -> None:
    bias = solved(
        """B1 = { supply = "9 V", between = ["p", "n"] }
R1 = { resistor = "1 kΩ", between = ["p", "m"] }
R2 = { resistor = "1 kΩ", between = ["m", "n"] }
C1 = { capacitor = "1 nF", between = ["m", "gnd"] }
C2 = { capacitor = "1 nF", between = ["n", "gnd"] }""",
        "m",
    )
    assert bias.point.currents["B1"] == pytest.approx(4.5e-3)
    assert bias.point.nodes["m"] is None


def test_a_controlled_pair_has_three_states() -> None:
    """The on state of a pnp-npn pair is found, for the signs of the other two show that one is missing."""
    bias = solved(
        """V1 = { supply = "12 V", at = "v" }
Rl = { resistor = "1 kΩ", between = ["v", "a"] }
Q1 = { bjt = "pnp", base = "g", collector = "p", emitter = "a", beta = 50 }
Q2 = { bjt = "npn", base = "p", collector = "g", emitter = "gnd", beta = 50 }
Rg = { resistor = "10 kΩ", between = ["p", "gnd"] }""",
        "a",
    )
    assert sorted(round(point.nodes["a"], 1) for point in bias.points) == [0.7, 12.0, 12.0]
    assert not bias.lacking


def test_two_latches_side_by_side_do_not_stay_in_the_middle() -> None:
    latch = """R{0}1 = {{ resistor = "1 kΩ", between = ["v", "a{0}"] }}
R{0}2 = {{ resistor = "1 kΩ", between = ["v", "b{0}"] }}
R{0}3 = {{ resistor = "10 kΩ", between = ["a{0}", "d{0}"] }}
R{0}4 = {{ resistor = "10 kΩ", between = ["b{0}", "c{0}"] }}
Q{0}1 = {{ bjt = "npn", base = "c{0}", collector = "a{0}", emitter = "gnd", beta = 100 }}
Q{0}2 = {{ bjt = "npn", base = "d{0}", collector = "b{0}", emitter = "gnd", beta = 100 }}"""
    parts = 'V1 = { supply = "5 V", at = "v" }\n' + latch.format("5") + "\n" + latch.format("6")
    parts = parts.replace("R51", "RA").replace("Q51", "QA")
    bias = solved(parts, "a5")
    assert bias.point.stable
    assert len(bias.points) == 9
    assert sum(point.stable is True for point in bias.points) == 4


def test_a_short_is_told_at_once() -> None:
    """Before any road is tried."""
    lines = (
        'V1 = { supply = "1.4 V", at = "v" }',
        'D1 = { diode = "silicon", anode = "v", cathode = "gnd" }',
        'R1 = { resistor = "1 kΩ", between = ["v", "gnd"] }',
    )
    circuit = described("\n".join(lines), "v")
    reason = solve(circuit)
    assert "nothing limits the current" in getattr(reason, "what", "")


def test_a_deeply_reversed_transistor() -> None:
    parts = """V1 = { supply = "20 V", at = "v" }
R1 = { resistor = "100 kΩ", between = ["v", "b"] }
Rc = { resistor = "1 kΩ", between = ["v", "e"] }
Q1 = { bjt = "npn", base = "b", collector = "gnd", emitter = "e", beta = 100 }"""
    network = prepare(described(parts, "e")).network
    assert "rmu_Q1" not in network.symbols
    assert solved(parts, "e").point.devices["Q1"].region == "reversed"
