"""From parts to elements: models of devices, rails, and what acts on nothing."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.constants import exact_sqrt
from derive.network.records import Element
from tests.asking import Asked
from tests.networks import Piece, circuit
from tests.nodal import branches

LOOK = 'Z: impedance = { at = "a" }'
TRANSISTOR = (
    'Q1 = { bjt = "%s", base = "a", collector = "c", emitter = "e", ic = "1 mA", beta = 100, va = "50 V", '
    'rb = "100 Ω", cpi = "10p", cmu = "2p" }\n'
)
FULL = f"""
{TRANSISTOR}
J1 = {{ jfet = "n-channel", gate = "a", drain = "c", source = "e", gm = "1 mS", ro = "50k", cgs = "4p", cgd = "2p" }}
D1 = {{ diode = "silicon", anode = "c", cathode = "gnd", rd = "25 Ω", cj = "2p" }}
R1 = {{ resistor = "1k", between = ["e", "gnd"] }}
R2 = {{ resistor = "1k", between = ["a", "gnd"] }}
"""


def elements(parts: str) -> dict[str, Element]:
    return {element.name: element for element in Asked(circuit(parts, LOOK)).network.elements}


def test_models() -> None:
    found = elements(FULL % "npn")
    inner = "Q1.inner_base"
    expected = {
        "rb_Q1": ("resistance", ("a", inner), ("a", inner)),
        "gm_Q1": ("conductance", ("c", "e"), (inner, "e")),
        "rpi_Q1": ("resistance", (inner, "e"), (inner, "e")),
        "ro_Q1": ("resistance", ("c", "e"), ("c", "e")),
        "Cpi_Q1": ("capacitance", (inner, "e"), (inner, "e")),
        "Cmu_Q1": ("capacitance", (inner, "c"), (inner, "c")),
        "gm_J1": ("conductance", ("c", "e"), ("a", "e")),
        "ro_J1": ("resistance", ("c", "e"), ("c", "e")),
        "Cgs_J1": ("capacitance", ("a", "e"), ("a", "e")),
        "Cgd_J1": ("capacitance", ("a", "c"), ("a", "c")),
        "rd_D1": ("resistance", ("c", "gnd"), ("c", "gnd")),
        "Cj_D1": ("capacitance", ("c", "gnd"), ("c", "gnd")),
    }
    assert {name: (e.law, e.current, e.voltage) for name, e in found.items() if e.owner[0] != "R"} == expected


def test_complementary_devices_have_the_same_small_signals() -> None:
    """p-type by reversal of all signs: the derivatives stay what they are."""
    npn, pnp = (Asked(circuit(FULL % kind, LOOK)) for kind in ("npn", "pnp"))
    assert npn.network.elements == pnp.network.elements
    assert npn.ground.numbers == pnp.ground.numbers


def test_elements_that_act_on_nothing_are_left_out() -> None:
    """A diode-connected transistor has no Cmu; a resistor between two rails carries no signal."""
    parts = (
        'Q1 = { bjt = "npn", base = "a", collector = "a", emitter = "gnd", gm = "1 mS", rpi = "1k", cmu = "2p" }\n'
        'Vcc = { supply = "9 V", at = "vcc" }\nR1 = { resistor = "1k", between = ["vcc", "gnd"] }\n'
    )
    found = Asked(circuit(parts, LOOK))
    assert {element.name for element in found.network.elements} == {"gm_Q1", "rpi_Q1"}
    assert {"Cmu_Q1", "R1"} <= set(found.network.symbols), "their symbols stay"


def test_models_agree_with_those_of_the_tests() -> None:
    """The second opinion of the tests draws the same branches (written down separately)."""
    pieces = [
        Piece("bjt", "Q1", ("a", "b", "c"), {"gm": 1, "rpi": 2, "ro": 3, "cpi": 4, "cmu": 5}),  # type: ignore[dict-item]
        Piece("jfet", "J1", ("a", "b", "c"), {"gm": 1, "ro": 3, "cgs": 4, "cgd": 5}),  # type: ignore[dict-item]
        Piece("resistor", "R1", ("a", "gnd"), {"resistor": 7}),  # type: ignore[dict-item]
        Piece("transconductance", "G1", ("a", "c", "gnd", "b"), {"transconductance": 7}),  # type: ignore[dict-item]
    ]
    asked = Asked(circuit(pieces, LOOK))
    mine = {b.name: (b.current, b.sense, b.value) for b in branches(pieces)}
    assert {e.name: (e.current, e.voltage, asked.ground.numbers[e.name]) for e in asked.network.elements} == mine


@pytest.mark.parametrize("square", ["0", "4", "9/4", "1/1000000"])
def test_exact_roots(square: str) -> None:
    assert exact_sqrt(Fraction(square)) ** 2 == Fraction(square)


def test_other_roots_to_fifty_digits() -> None:
    assert abs(exact_sqrt(Fraction(2)) ** 2 - 2) < Fraction(1, 10**50)
    assert abs(exact_sqrt(Fraction("3e-9")) ** 2 / Fraction("3e-9") - 1) < Fraction(1, 10**50)
    with pytest.raises(ValueError, match="negative"):
        exact_sqrt(Fraction(-1))
