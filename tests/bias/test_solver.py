"""The solver: every region, several points, what cannot be solved, what is certified."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from derive.bias.records import Unsolved
from derive.bias.solve import solve
from derive.derivation.analyse import prepare
from derive.errors import DescriptionError
from derive.network.records import Network
from tests.bias.circuits import described, solved

LATCH = """V1 = { supply = "5 V", at = "v" }
R1 = { resistor = "1 kΩ", between = ["v", "a"] }
R2 = { resistor = "1 kΩ", between = ["v", "b"] }
R3 = { resistor = "10 kΩ", between = ["a", "bb"] }
R4 = { resistor = "10 kΩ", between = ["b", "ba"] }
Q1 = { bjt = "npn", base = "ba", collector = "a", emitter = "gnd", beta = 100 }
Q2 = { bjt = "npn", base = "bb", collector = "b", emitter = "gnd", beta = 100 }"""
STAGE = """V1 = {{ supply = "{supply}", at = "v" }}
Rb = {{ resistor = "{base}", between = ["v", "b"] }}
Rc = {{ resistor = "1 kΩ", between = ["v", "c"] }}
Q1 = {{ bjt = "npn", base = "b", collector = "c", emitter = "gnd", beta = 100, va = "50 V" }}"""


def test_a_latch_has_three_points_and_the_sheet_uses_a_stable_one() -> None:
    bias = solved(LATCH, "a")
    assert sorted(str(point.stable) for point in bias.points) == ["False", "True", "True"]
    assert bias.point.stable
    high = [point for point in bias.points if point.stable]
    assert {round(point.nodes["a"]) for point in high} == {0, 5}


@pytest.mark.parametrize("volts", ["4.5 V", "0.1 V"])
def test_the_author_says_which_point(volts: str) -> None:
    bias = solved(LATCH, "a", end=f'[bias]\nnear = {{ a = "{volts}" }}\n')
    assert bias.point.nodes["a"] == pytest.approx(float(volts.split()[0]), abs=0.4)


@pytest.mark.parametrize(
    ("supply", "base", "region"),
    [("5 V", "470 kΩ", "active"), ("5 V", "4.7 kΩ", "saturated"), ("-5 V", "4.7 kΩ", "off")],
)
def test_regions_of_a_bipolar(supply: str, base: str, region: str) -> None:
    if supply == "-5 V":
        # Reversed: the collector junction conducts, from ground through base to the negative collector.
        assert solved(STAGE.format(supply=supply, base=base), "c").point.devices["Q1"].region in ("off", "reversed")
        return
    assert solved(STAGE.format(supply=supply, base=base), "c").point.devices["Q1"].region == region


@pytest.mark.parametrize(
    ("gate", "load", "region"), [("3 V", "100 Ω", "active"), ("5 V", "10 kΩ", "ohmic"), ("1 V", "1 kΩ", "off")]
)
@pytest.mark.parametrize("variety", ["n-channel", "p-channel"])
def test_regions_of_a_mosfet(gate: str, load: str, region: str, variety: str) -> None:
    sign = "" if variety == "n-channel" else "-"
    bias = solved(
        f"""V1 = {{ supply = "{sign}9 V", at = "v" }}
Vg = {{ supply = "{sign}{gate}", at = "g" }}
Rd = {{ resistor = "{load}", between = ["v", "d"] }}
Q1 = {{ mosfet = "{variety}", gate = "g", drain = "d", source = "gnd", k = "2 mA/V²", vth = "{sign}1.5 V" }}""",
        "d",
    )
    assert bias.point.devices["Q1"].region == region


_BIPOLAR = 'Q1 = {{{{ bjt = "{0}", base = "p", collector = "q", emitter = "gnd", beta = 100, {1} }}}}'
_JFET = 'Q1 = {{{{ jfet = "{0}", gate = "p", drain = "q", source = "gnd", idss = "6 mA", vp = "{1} V", {2} }}}}'
_MOSFET = (
    'Q1 = {{{{ mosfet = "n-channel", gate = "p", drain = "q", source = "gnd", k = "2 mA/V²", vth = "1 V", '
    'lambda = "{0} 1/V" }}}}'
)
SLOPES = {
    "active npn": (_BIPOLAR.format("npn", 'va = "30 V"'), 0.65, 5),
    "active pnp": (_BIPOLAR.format("pnp", 'va = "20 V"'), -0.62, -3),
    "saturated npn": (_BIPOLAR.format("npn", 'is = "2 fA"'), 0.66, 0.08),
    "reversed npn": (_BIPOLAR.format("npn", 'va = "30 V"'), 0.1, -0.55),
    "jfet": (_JFET.format("n-channel", -2, 'lambda = "0.01 1/V"'), -1, 6),
    "ohmic jfet": (_JFET.format("p-channel", 2, 'lambda = "0.01 1/V"'), 0.2, -0.3),
    "reversed jfet": (_JFET.format("n-channel", -2, 'cgd = "1 pF"'), -1, -0.4),
    "mosfet": (_MOSFET.format(0.02), 3, 8),
    "ohmic mosfet": (_MOSFET.format(0.001), 4, 0.5),
}


@pytest.mark.parametrize("name", SLOPES)
def test_small_signal_values_are_the_slopes_of_the_laws(name: str) -> None:
    """The conductances that the network's elements add up to, against finite differences of solved currents."""
    line, p, q = SLOPES[name]
    source = 'V{0} = {{{{ signal = "voltage", between = ["{0}", "gnd"], offset = "{{{1}}} V" }}}}\n'
    parts = source.format("p", 0) + source.format("q", 1) + line

    def at(one: str, two: str) -> Mapping[str, float]:
        return solved(parts.format(one, two), "p").point.devices["Q1"].currents

    network = prepare(described(parts.format(p, q), "p")).network
    step = 1e-6
    pins = ("base", "collector") if "bjt" in line else ("gate", "drain")
    for moved, (dp, dq) in {"p": (step, 0), "q": (0, step)}.items():
        up, down = at(f"{p + dp:.9f}", f"{q + dq:.9f}"), at(f"{p - dp:.9f}", f"{q - dq:.9f}")
        volts = {"p": 0, "q": 0, moved: 1, "gnd": 0}
        for pin, node in zip(pins, ("p", "q"), strict=True):
            wanted = (up[pin] - down[pin]) / (2 * step)
            found = _current(network, node, volts)
            assert found == pytest.approx(wanted, rel=2e-5, abs=1e-11), (moved, pin)


def _current(network: Network, node: str, volts: Mapping[str, float]) -> float:
    """The current from a node into the elements that touch it, all voltages being given."""
    total = 0.0
    for element in network.elements:
        if element.law == "capacitance":
            continue
        value = float(network.symbols[element.name].value)
        flow = (value if element.law == "conductance" else 1 / value) * (
            volts[element.voltage[0]] - volts[element.voltage[1]]
        )
        total += flow * ((element.current[0] == node) - (element.current[1] == node))
    return total


def test_a_certificate_is_left_over_current() -> None:
    bias = solved(STAGE.format(supply="5 V", base="470 kΩ"), "c")
    assert bias.point.residual < 1e-15 * bias.point.scale
    assert bias.met == bias.starts
    assert bias.apart < 1e-12


UNSOLVABLE = {
    "gate in the air": (
        """V1 = { supply = "9 V", at = "v" }
C1 = { capacitor = "1 µF", between = ["v", "g"] }
Rd = { resistor = "1 kΩ", between = ["v", "d"] }
Q1 = { mosfet = "n-channel", gate = "g", drain = "d", source = "gnd", k = "2 mA/V²", vth = "1 V" }""",
        ["gate of Q1", "node g", "no path for direct current", "add the resistor"],
    ),
    "integrator": (
        """V1 = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "m"] }
C1 = { capacitor = "1 µF", between = ["m", "d"] }
U1 = { opamp = "ideal", plus = "gnd", minus = "m", out = "d" }
R2 = { resistor = "1 kΩ", between = ["d", "b"] }
Q1 = { bjt = "npn", base = "b", collector = "b", emitter = "gnd", beta = 100 }""",
        ["U1", "without feedback at d.c.", "give it a gain"],
    ),
    "junctions across the supply": (
        """V1 = { supply = "9 V", at = "v" }
D1 = { diode = "silicon", anode = "v", cathode = "d" }
D2 = { diode = "silicon", anode = "d", cathode = "gnd" }""",
        ["D1 and D2", "from v to gnd", "nothing limits the current", "resistor"],
    ),
    "slopes without a law": (
        """V1 = { supply = "9 V", at = "v" }
Rd = { resistor = "1 kΩ", between = ["v", "d"] }
Q1 = { jfet = "n-channel", gate = "gnd", drain = "d", source = "s", gm = "3 mS" }
Rs = { resistor = "1 kΩ", between = ["s", "gnd"] }
Q2 = { bjt = "npn", base = "s", collector = "d", emitter = "gnd", beta = 100 }""",
        ["Q1", "no law", "idss and vp"],
    ),
    "a winding across the supply": (
        """V1 = { supply = "9 V", at = "v" }
L1 = { inductor = "1 mH", between = ["v", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["v", "d"] }
D1 = { diode = "silicon", anode = "d", cathode = "gnd" }""",
        ["L1", "shorts a source", "in series"],
    ),
    "two currents against each other": (
        """I1 = { signal = "current", between = ["d", "gnd"], offset = "1 mA" }
D1 = { diode = "silicon", anode = "gnd", cathode = "d" }""",
        ["node d", "would not settle"],
    ),
}


@pytest.mark.parametrize("name", UNSOLVABLE)
def test_what_cannot_be_solved_is_told(name: str) -> None:
    parts, words = UNSOLVABLE[name]
    circuit = described(parts, "d")
    reason = solve(circuit)
    assert isinstance(reason, Unsolved)
    assert reason.needed
    with pytest.raises(DescriptionError) as caught:
        prepare(circuit)
    assert all(word in str(caught.value) for word in words), caught.value
    assert caught.value.line is not None


def test_what_is_behind_a_capacitor_is_not_held() -> None:
    bias = solved(
        """V1 = { supply = "9 V", at = "v" }
R1 = { resistor = "1 kΩ", between = ["v", "a"] }
D1 = { diode = "silicon", anode = "a", cathode = "gnd" }
C1 = { capacitor = "1 µF", between = ["a", "o"] }
R2 = { resistor = "1 kΩ", between = ["o", "p"] }
C2 = { capacitor = "1 µF", between = ["p", "gnd"] }""",
        "p",
    )
    assert bias.point.nodes["o"] is None
    assert bias.point.currents["R2"] == 0


def test_windings_are_wires() -> None:
    bias = solved(
        """V1 = { supply = "9 V", at = "v" }
R1 = { resistor = "1 kΩ", between = ["v", "a"] }
L1 = { inductor = "1 mH", between = ["a", "b"] }
L2 = { inductor = "1 mH", between = ["a", "b"] }
R2 = { resistor = "2 kΩ", between = ["b", "gnd"] }""",
        "b",
    )
    assert bias.point.nodes["b"] == pytest.approx(6)
    assert bias.point.currents["L1"] + bias.point.currents["L2"] == pytest.approx(3e-3)
    assert -bias.point.powers["V1"] == pytest.approx(27e-3)


def test_positive_feedback_round_an_op_amp_runs_away() -> None:
    parts = """V1 = {{ signal = "voltage", between = ["in", "gnd"], offset = "1 V" }}
R1 = {{ resistor = "1 kΩ", between = ["m", "gnd"] }}
R2 = {{ resistor = "9 kΩ", between = ["m", "o"] }}
U1 = {{ opamp = "ideal", plus = "{}", minus = "{}", out = "o" }}"""
    assert solved(parts.format("in", "m"), "o").point.stable
    assert solved(parts.format("m", "in"), "o").point.stable is False


def test_a_stated_current_that_contradicts_the_circuit_is_reported() -> None:
    stage = STAGE.replace("va =", 'ic = "{current}", va =')
    bias = solved(stage.format(supply="5 V", base="470 kΩ", current="2 mA"), "c")
    (contradiction,) = bias.contradictions
    assert (contradiction.part, contradiction.key, contradiction.stated) == ("Q1", "ic", 2e-3)
    assert contradiction.found == pytest.approx(1e-3, rel=0.1)
    assert not solved(stage.format(supply="5 V", base="470 kΩ", current="0.98 mA"), "c").contradictions


def test_stated_currents_stay() -> None:
    stage = STAGE.replace("va =", 'ic = "2 mA", va =').format(supply="5 V", base="470 kΩ")
    symbols = prepare(described(stage, "c")).network.symbols
    assert symbols["Ic_Q1"].value * 1000 == 2
    assert symbols["Ic_Q1"].origin == "stated"
    computed = prepare(described(STAGE.format(supply="5 V", base="470 kΩ"), "c")).network.symbols
    assert computed["Ic_Q1"].origin == "solved"


def test_a_base_resistance_drops_what_the_base_draws() -> None:
    stage = STAGE.replace("va =", 'rb = "1 kΩ", va =').format(supply="5 V", base="470 kΩ")
    found = solved(stage, "c").point
    bare = solved(stage.replace('470 kΩ", between', '471 kΩ", between').replace('rb = "1 kΩ", ', ""), "c").point
    assert found.currents["Q1"] == pytest.approx(bare.currents["Q1"], rel=1e-12)
    device = found.devices["Q1"]
    assert found.nodes["b"] == pytest.approx(device.voltages["Vbe"] + 1e3 * device.currents["base"], rel=1e-12)
    assert device.power == pytest.approx(bare.devices["Q1"].power + 1e3 * device.currents["base"] ** 2, rel=1e-9)
    assert set(found.nodes) == {"gnd", "v", "b", "c"}
