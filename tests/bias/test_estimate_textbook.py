"""The estimate against worked examples of textbooks (all quoted from memory, with the book and the section).

The books take 0.7 V where the estimate takes 0.65 V, which is the tolerance of the comparisons with bipolars.
"""

from __future__ import annotations

import pytest

from tests.bias.test_estimate import bipolar, fet, resistor, signal, solved, supply

NEAR = 0.04
"""Relative: the share of 0.05 V, and of collector current taken as emitter current, in these circuits."""


def sedra(base: float, variety: str = "npn") -> dict[str, float]:
    """A. S. Sedra and K. C. Smith, "Microelectronic Circuits", 5th ed., section 5.4: the base at a given voltage.

    10 V, 4.7 kΩ at the collector, 3.3 kΩ at the emitter.
    """
    found = solved(
        supply("Vcc", "vcc gnd", 10),
        signal("Vb", "b gnd", base),
        bipolar("Q1", "b c e", variety),
        resistor("Rc", "vcc c", 4.7e3),
        resistor("Re", "e gnd", 3.3e3),
    )
    assert found.why == ""
    return {**found.nodes, "ic": found.currents["Q1"]}


def test_active_example() -> None:
    """Example 5.4: 4 V at the base: 1 mA at the emitter, collector at 5.3 V."""
    found = sedra(4)
    assert found["ic"] == pytest.approx(1e-3, rel=NEAR)
    assert found["c"] == pytest.approx(5.3, rel=NEAR)


def test_saturated_example() -> None:
    """Example 5.5: 6 V at the base: saturated, collector at 5.5 V, collector current 0.96 mA."""
    found = sedra(6)
    assert found["c"] == pytest.approx(5.5, rel=NEAR)
    assert found["ic"] == pytest.approx(0.96e-3, rel=NEAR)


def test_cut_off_example() -> None:
    """Example 5.6: base at ground: no currents, collector at 10 V."""
    found = sedra(0)
    assert found["ic"] == 0
    assert found["c"] == pytest.approx(10)
    assert found["e"] == pytest.approx(0)


def test_pnp_example() -> None:
    """Example 5.7: base at ground, 2 kΩ from the emitter to 10 V, 1 kΩ from the collector to -10 V: 4.65 mA, -5.4 V."""
    found = solved(
        supply("Vp", "vp gnd", 10),
        supply("Vm", "vm gnd", -10),
        resistor("Re", "vp e", 2e3),
        bipolar("Q1", "gnd c e", "pnp"),
        resistor("Rc", "c vm", 1e3),
    )
    assert found.currents["Q1"] == pytest.approx(-4.65e-3, rel=NEAR)
    assert found.nodes["c"] == pytest.approx(-5.4, rel=NEAR)
    assert found.nodes["e"] == pytest.approx(0.65)


def test_divider_example() -> None:
    """Example 5.10: 15 V, 100 kΩ over 50 kΩ, 5 kΩ, 3 kΩ, gain 100: emitter current 1.29 mA, collector at 8.6 V."""
    found = solved(
        supply("Vcc", "vcc gnd", 15),
        resistor("R1", "vcc b", 100e3),
        resistor("R2", "b gnd", 50e3),
        bipolar("Q1", "b c e"),
        resistor("Rc", "vcc c", 5e3),
        resistor("Re", "e gnd", 3e3),
        betaF_Q1=100.0,
    )
    assert found.nodes["e"] / 3e3 == pytest.approx(1.29e-3, rel=NEAR)
    assert found.nodes["c"] == pytest.approx(8.6, rel=NEAR)


@pytest.mark.parametrize(
    ("gate", "rails", "drain", "source", "law", "numbers"),
    [
        (None, (10, 0), 6e3, 6e3, (1e-3, 1.0), (0.5e-3, 7.0, 3.0)),
        (0.0, (2.5, -2.5), 5e3, 3.25e3, (3.2e-3, 0.7), (0.4e-3, 0.5, -1.2)),
    ],
)
def test_mosfet_examples(
    gate: float | None,
    rails: tuple[float, float],
    drain: float,
    source: float,
    law: tuple[float, float],
    numbers: tuple[float, float, float],
) -> None:
    """Sedra and Smith, section 4.3: 10 MΩ over 10 MΩ with 6 kΩ and 6 kΩ; gate at ground with two supplies."""
    ends = (
        (signal("Vg", "g gnd", gate),) if gate is not None else (resistor("R1", "p g", 1e7), resistor("R2", "g m", 1e7))
    )
    found = solved(
        supply("Vp", "p gnd", rails[0]),
        supply("Vm", "m gnd", rails[1]),
        *ends,
        fet("M1", "g d s", kind="mosfet"),
        resistor("Rd", "p d", drain),
        resistor("Rs", "s m", source),
        k_M1=law[0],
        Vth_M1=law[1],
    )
    assert found.currents["M1"] == pytest.approx(numbers[0])
    assert found.nodes["d"] == pytest.approx(numbers[1])
    assert found.nodes["s"] == pytest.approx(numbers[2])


def test_jfet_example() -> None:
    """R. Boylestad and L. Nashelsky, "Electronic Devices and Circuit Theory", FET biasing, self-bias.

    20 V, 3.3 kΩ, 1 kΩ, 1 MΩ, Idss 8 mA, Vp -6 V: Vgs -2.6 V, 2.6 mA, drain at 11.42 V (the book reads a graph).
    """
    found = solved(
        supply("Vdd", "vdd gnd", 20),
        resistor("Rg", "g gnd", 1e6),
        fet("Q1", "g d s"),
        resistor("Rd", "vdd d", 3.3e3),
        resistor("Rs", "s gnd", 1e3),
        Idss_Q1=8e-3,
        Vp_Q1=-6.0,
    )
    assert found.nodes["s"] == pytest.approx(2.6, rel=0.01)
    assert found.currents["Q1"] == pytest.approx(2.6e-3, rel=0.01)
    assert found.nodes["d"] == pytest.approx(11.42, rel=0.01)


def test_fixed_bias_example() -> None:
    """The same book, d.c. biasing of bipolars: 12 V, 240 kΩ, 2.2 kΩ, gain 50: 2.35 mA, 6.83 V."""
    parts = (supply("Vcc", "vcc gnd", 12), resistor("Rb", "vcc b", 240e3), bipolar("Q1", "b c gnd"))
    found = solved(*parts, resistor("Rc", "vcc c", 2.2e3), betaF_Q1=50.0)
    assert found.currents["Q1"] == pytest.approx(2.35e-3, rel=NEAR)
    assert found.nodes["c"] == pytest.approx(6.83, rel=NEAR)


def test_emitter_resistor_example() -> None:
    """The same: 20 V, 430 kΩ, 2 kΩ, 1 kΩ, gain 50: 2.01 mA, base at 2.71 V, collector at 15.98 V."""
    found = solved(
        supply("Vcc", "vcc gnd", 20),
        resistor("Rb", "vcc b", 430e3),
        bipolar("Q1", "b c e"),
        resistor("Rc", "vcc c", 2e3),
        resistor("Re", "e gnd", 1e3),
        betaF_Q1=50.0,
    )
    assert found.currents["Q1"] == pytest.approx(2.01e-3, rel=NEAR)
    assert found.nodes["b"] == pytest.approx(2.71, rel=NEAR)
    assert found.nodes["c"] == pytest.approx(15.98, rel=NEAR)


def test_collector_feedback_example() -> None:
    """The same: 10 V, 4.7 kΩ, 250 kΩ from the collector, 1.2 kΩ, gain 90: 1.07 mA, 3.69 V from collector to emitter."""
    found = solved(
        supply("Vcc", "vcc gnd", 10),
        resistor("Rb", "c b", 250e3),
        bipolar("Q1", "b c e"),
        resistor("Rc", "vcc c", 4.7e3),
        resistor("Re", "e gnd", 1.2e3),
        betaF_Q1=90.0,
    )
    assert found.currents["Q1"] == pytest.approx(1.07e-3, rel=NEAR)
    assert found.nodes["c"] - found.nodes["e"] == pytest.approx(3.69, rel=NEAR)


def test_widlar_example() -> None:
    """P. R. Gray et al., "Analysis and Design of Analog Integrated Circuits", section 4.4: 5 V, 4.3 kΩ, 5 kΩ: 20 µA."""
    found = solved(
        supply("Vcc", "vcc gnd", 5),
        resistor("R1", "vcc a", 4.3e3),
        bipolar("Q1", "a a gnd"),
        bipolar("Q2", "a o e"),
        resistor("R2", "e gnd", 5e3),
        resistor("Rl", "vcc o", 1e3),
    )
    assert found.currents["Q2"] == pytest.approx(20e-6, rel=NEAR)
