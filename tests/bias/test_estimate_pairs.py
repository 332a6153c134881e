"""The estimate of bipolars side by side and in cascade: invented values, elementary laws."""

from __future__ import annotations

from math import log10

import pytest

from tests.bias.test_estimate import DROP, VCC, VEE, bipolar, part, resistor, signal, solved


def test_mirror_follows_the_areas() -> None:
    parts = (VCC, resistor("R1", "vcc a", 10e3), bipolar("Q1", "a a gnd"), bipolar("Q2", "a o gnd"))
    found = solved(*parts, resistor("Rl", "vcc o", 2.2e3), Is_Q1=1e-14, Is_Q2=3e-14)
    assert found.currents["Q2"] == pytest.approx(3 * (12 - DROP) / 10e3)


@pytest.mark.parametrize("variety", ["npn", "pnp"])
def test_mirror_with_one_emitter_resistor(variety: str) -> None:
    top, bottom = ("vcc", "gnd") if variety == "npn" else ("gnd", "vcc")
    found = solved(
        VCC,
        resistor("R1", f"{top} a", 10e3),
        bipolar("Q1", f"a a {bottom}", variety),
        bipolar("Q2", "a o e", variety),
        resistor("R2", f"e {bottom}", 4.7e3),
        resistor("Rl", f"{top} o", 4.7e3),
    )
    reference, output = abs(found.currents["Q1"]), abs(found.currents["Q2"])
    assert output * 4.7e3 == pytest.approx(0.06 * log10(reference / output))


def test_mirror_with_two_emitter_resistors() -> None:
    found = solved(
        VCC,
        resistor("R1", "vcc a", 10e3),
        bipolar("Q1", "a a e1"),
        bipolar("Q2", "a o e2"),
        resistor("Re1", "e1 gnd", 1e3),
        resistor("Re2", "e2 gnd", 2e3),
        resistor("Rl", "vcc o", 4.7e3),
    )
    assert found.currents["Q1"] == pytest.approx((12 - DROP) / 11e3)
    assert found.currents["Q2"] == pytest.approx(found.currents["Q1"] / 2)


@pytest.mark.parametrize("tail", ["resistor", "mirror"])
def test_pair_shares_its_tail(tail: str) -> None:
    below = (
        (resistor("Rt", "t vee", 5.6e3),)
        if tail == "resistor"
        else (resistor("Rr", "gnd m", 5.6e3), bipolar("Q3", "m m vee"), bipolar("Q4", "m t vee"))
    )
    loads = (resistor("Rc1", "c1 vcc", 4.7e3), resistor("Rc2", "c2 vcc", 4.7e3))
    inputs = (resistor("Rg", "b1 gnd", 1e3), signal("Vs", "b2 gnd"))
    found = solved(VCC, VEE, *inputs, bipolar("Q1", "b1 c1 t"), bipolar("Q2", "b2 c2 t"), *below, *loads)
    whole = (12 - DROP) / 5.6e3
    assert found.currents["Q1"] == pytest.approx(whole / 2)
    assert found.currents["Q1"] == pytest.approx(found.currents["Q2"])


def test_pair_with_one_base_higher() -> None:
    """Half a volt is far beyond what a pair shares: one of them is off."""
    inputs = (signal("Va", "b1 gnd", 0.5), signal("Vb", "b2 gnd"))
    pair = (bipolar("Q1", "b1 vcc t"), bipolar("Q2", "b2 c2 t"))
    found = solved(VCC, VEE, *inputs, *pair, resistor("Rt", "t vee", 5.6e3), resistor("Rc", "c2 vcc", 1e3))
    assert found.currents["Q2"] == 0
    assert found.currents["Q1"] == pytest.approx((12 + 0.5 - DROP) / 5.6e3)


def test_pair_with_feedback() -> None:
    """Currents inside a feedback amplifier come from its second stage, not from a guess at balance."""
    found = solved(
        VCC,
        VEE,
        resistor("Rt", "vcc t", 10e3),
        resistor("Rg", "g gnd", 10e3),
        bipolar("Q1", "g c1 t", "pnp"),
        bipolar("Q2", "fb vee t", "pnp"),
        resistor("R1", "c1 vee", 1.2e3),
        bipolar("Q3", "c1 x vee"),
        resistor("Rx", "x vcc", 5.6e3),
        bipolar("Q4", "x vcc out"),
        resistor("Ro", "out vee", 2.2e3),
        resistor("Rf", "out fb", 10e3),
        resistor("Ri", "fb i", 1e3),
        part("capacitor", "C1", "i gnd", capacitance=1e-5),
    )
    assert found.why == ""
    assert found.nodes["out"] == pytest.approx(0)
    assert found.currents["Q1"] == pytest.approx(-DROP / 1.2e3)
    assert found.currents["Q3"] == pytest.approx((12 - DROP) / 5.6e3)


def test_feedback_pair() -> None:
    found = solved(
        VCC,
        bipolar("Q1", "b1 c1 gnd"),
        bipolar("Q2", "c1 c2 e2"),
        resistor("R1", "vcc c1", 10e3),
        resistor("R2", "vcc c2", 2.2e3),
        resistor("Re", "e2 gnd", 680),
        resistor("Rf", "e2 b1", 10e3),
    )
    assert found.nodes["e2"] == pytest.approx(DROP)
    assert found.nodes["c1"] == pytest.approx(2 * DROP)
    assert found.currents["Q2"] == pytest.approx(DROP / 680)


def test_cascode() -> None:
    divider = (resistor("R1", "vcc b2", 33e3), resistor("R2", "b2 b1", 10e3), resistor("R3", "b1 gnd", 10e3))
    devices = (bipolar("Q1", "b1 m e1"), bipolar("Q2", "b2 c2 m"))
    found = solved(VCC, *divider, *devices, resistor("Re", "e1 gnd", 1e3), resistor("Rc", "vcc c2", 2.2e3))
    assert found.nodes["b2"] == pytest.approx(12 * 20 / 53)
    assert found.currents["Q1"] == pytest.approx((120 / 53 - DROP) / 1e3)
    assert found.currents["Q2"] == pytest.approx(found.currents["Q1"])
    assert found.nodes["c2"] == pytest.approx(12 - 2.2e3 * found.currents["Q1"])


def test_darlington_counts_the_second_base() -> None:
    divider = (resistor("R1", "vcc b", 82e3), resistor("R2", "b gnd", 82e3))
    found = solved(VCC, *divider, bipolar("Q1", "b vcc m"), bipolar("Q2", "m vcc e"), resistor("Re", "e gnd", 100))
    assert found.nodes["e"] == pytest.approx(6 - 2 * DROP)
    assert found.currents["Q1"] == pytest.approx(found.currents["Q2"] / 200)
