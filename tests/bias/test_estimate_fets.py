"""The estimate of field-effect transistors: invented values, elementary laws."""

from __future__ import annotations

from math import sqrt

import pytest

from tests.bias.test_estimate import DROP, VCC, bipolar, fet, resistor, signal, solved, supply


@pytest.mark.parametrize("variety", ["n-channel", "p-channel"])
@pytest.mark.parametrize("kind", ["jfet", "mosfet"])
def test_source_resistor(kind: str, variety: str) -> None:
    """Square law and Ohm's law hold together, for both polarities."""
    sign = 1 if variety == "n-channel" else -1
    rail = supply("Vdd", "vdd gnd", 12 * sign)
    laws = {"Idss_Q1": 6e-3, "Vp_Q1": -2.0 * sign} if kind == "jfet" else {"k_Q1": 2e-3, "Vth_Q1": 1.2 * sign}
    gate = [resistor("Rg", "g gnd", 1e6)]
    if kind == "mosfet":
        gate.append(resistor("Rh", "vdd g", 2e6))
    rest = (resistor("Rd", "vdd d", 2.2e3), resistor("Rs", "s gnd", 1e3))
    found = solved(rail, *gate, fet("Q1", "g d s", variety, kind), *rest, **laws)
    drive = sign * (found.nodes["g"] - found.nodes["s"])
    current = 6e-3 * (1 + drive / 2) ** 2 if kind == "jfet" else 1e-3 * (drive - 1.2) ** 2
    assert sign * found.currents["Q1"] == pytest.approx(current)
    assert sign * found.nodes["s"] == pytest.approx(1e3 * current)


def test_buffer_of_jfet_and_pnp() -> None:
    """The junction fixes the FET's current, the square law the output, the rest flows through the pnp."""
    found = solved(
        VCC,
        signal("Vs", "src gnd"),
        resistor("Rg", "src g", 1e6),
        fet("Q1", "g d out"),
        bipolar("Q2", "d out vcc", "pnp"),
        resistor("Rd", "d vcc", 680),
        resistor("Rk", "out gnd", 330),
        Idss_Q1=6e-3,
        Vp_Q1=-2.0,
    )
    drain = DROP / 680
    out = 2 * (1 - sqrt(drain / 6e-3))
    assert found.currents["Q1"] == pytest.approx(drain)
    assert found.nodes["out"] == pytest.approx(out)
    assert found.currents["Q2"] == pytest.approx(-(out / 330 - drain))


def test_fet_that_is_off() -> None:
    parts = (VCC, signal("Vs", "g gnd", -5), fet("Q1", "g d gnd"), resistor("Rd", "vcc d", 1e3))
    found = solved(*parts, Idss_Q1=6e-3, Vp_Q1=-2.0)
    assert found.currents["Q1"] == 0
    assert found.nodes["d"] == pytest.approx(12)


def test_fet_switch_is_ohmic() -> None:
    parts = (VCC, signal("Vs", "g gnd", 5), fet("Q1", "g d gnd", kind="mosfet"), resistor("Rd", "vcc d", 10e3))
    found = solved(*parts, k_Q1=2e-3, Vth_Q1=1.2)
    drain = found.nodes["d"]
    assert 0 < drain < 3.8
    assert found.currents["Q1"] == pytest.approx(1e-3 * (2 * 3.8 * drain - drain**2))
    assert found.currents["Q1"] == pytest.approx((12 - drain) / 10e3)


def test_loop_of_jfet_and_pnp_by_iteration() -> None:
    """Feedback to the source of a FET: the square law within a set of equations."""
    found = solved(
        VCC,
        resistor("Rg", "g gnd", 1e6),
        fet("Q1", "g d s"),
        bipolar("Q2", "d c e", "pnp"),
        resistor("Re", "e vcc", 470),
        resistor("Rd", "d vcc", 2.2e3),
        resistor("Rs", "s gnd", 470),
        resistor("Rf", "c s", 2.2e3),
        Idss_Q1=6e-3,
        Vp_Q1=-2.0,
    )
    drain, second = found.currents["Q1"], -found.currents["Q2"]
    assert "by iteration" in str([step.rule for step in found.steps])
    assert drain == pytest.approx(6e-3 * (1 - found.nodes["s"] / 2) ** 2)
    assert found.nodes["s"] == pytest.approx(470 * (drain + second))
    assert 2.2e3 * drain == pytest.approx(470 * second + DROP)
