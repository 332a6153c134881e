"""The estimate of diodes, op amps, switches, base currents that count: invented values, elementary laws."""

from __future__ import annotations

import pytest

from tests.bias.test_estimate import DROP, VCC, bipolar, part, resistor, signal, solved


def test_junction_multiplier() -> None:
    parts = (VCC, resistor("R1", "c b", 2e3), resistor("R2", "b gnd", 1e3), bipolar("Q1", "b c gnd"))
    found = solved(*parts, resistor("R3", "vcc c", 4.7e3))
    assert found.nodes["c"] == pytest.approx(3 * DROP)
    assert found.currents["Q1"] == pytest.approx((12 - 3 * DROP) / 4.7e3 - DROP / 1e3)


@pytest.mark.parametrize(("variety", "drop"), [("silicon", 0.65), ("germanium", 0.25), ("schottky", 0.3), ("led", 1.8)])
def test_diode(variety: str, drop: float) -> None:
    found = solved(VCC, resistor("R1", "vcc a", 1e3), part("diode", "D1", "a gnd", variety))
    assert found.currents["D1"] == pytest.approx((12 - drop) / 1e3)
    assert any("common practice" in str(step.note) for step in found.steps)


def test_diode_that_blocks() -> None:
    found = solved(VCC, resistor("R1", "vcc a", 1e3), part("diode", "D1", "gnd a", "silicon"))
    assert found.currents["D1"] == 0
    assert found.nodes["a"] == pytest.approx(12)


@pytest.mark.parametrize("variety", ["ideal", "finite"])
def test_op_amp_with_offset(variety: str) -> None:
    parts = (signal("Vs", "p gnd", 0.5), part("opamp", "U1", "p m o", variety))
    found = solved(*parts, resistor("R1", "m gnd", 1e3), resistor("R2", "o m", 9e3))
    assert found.nodes["o"] == pytest.approx(5)


@pytest.mark.parametrize(("feedback", "word"), [("o p", "positive"), ("p gnd", "no feedback")])
def test_op_amp_without_negative_feedback(feedback: str, word: str) -> None:
    parts = (signal("Vs", "m gnd"), part("opamp", "U1", "p m o", "ideal"), resistor("R1", feedback, 1e3))
    found = solved(*parts, resistor("R2", "p gnd", 1e3), resistor("Rl", "o gnd", 1e3))
    assert word in found.why
    assert found.why.startswith("U1")


def test_follower_with_a_large_base_resistor() -> None:
    """Five volts across it are not neglected: the base current counts, and the numbers say so."""
    divider = (resistor("R1", "vcc m", 100e3), resistor("R2", "m gnd", 100e3), resistor("R3", "m b", 1e6))
    found = solved(VCC, *divider, bipolar("Q1", "b vcc e"), resistor("Re", "e gnd", 5.1e3))
    base = found.currents["Q1"] / 200
    assert found.nodes["b"] == pytest.approx(6 - base * (1e6 + 50e3))
    assert "it counts" in str(found.steps[0].rule)


def test_switch() -> None:
    parts = (VCC, signal("Vs", "in gnd", 5), resistor("Rb", "in b", 10e3), bipolar("Q1", "b c gnd"))
    found = solved(*parts, resistor("Rc", "vcc c", 1e3))
    assert found.nodes["c"] == pytest.approx(0.2)
    assert found.currents["Q1"] == pytest.approx(11.8e-3)
    assert "saturated" in str(found.steps[0].rule)


@pytest.mark.parametrize("drive", [0, -3])
def test_cut_off(drive: float) -> None:
    parts = (VCC, signal("Vs", "in gnd", drive), resistor("Rb", "in b", 10e3), bipolar("Q1", "b c gnd"))
    found = solved(*parts, resistor("Rc", "vcc c", 1e3))
    assert found.currents["Q1"] == 0
    assert found.nodes["c"] == pytest.approx(12)
    assert found.nodes["b"] == pytest.approx(drive)
