"""The thermal voltage and handbook values of devices, against CODATA and the textbooks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from scipy import constants

from derive.constants import BOLTZMANN, ELEMENTARY_CHARGE, thermal_voltage
from tests.asking import Asked
from tests.networks import circuit

LOOK = 'Z: impedance = { at = "a" }'
TRANSISTOR = (
    'Q1 = { bjt = "npn", base = "a", collector = "c", emitter = "gnd", ic = "1 mA", beta = 100, va = "50 V" }\n'
)
FET = (
    'J1 = { jfet = "n-channel", gate = "gnd", drain = "c", source = "a", id = "2 mA", idss = "8 mA", vp = "-4 V", '
    'lambda = "0.01 1/V" }\n'
)
LOAD = 'R1 = { resistor = "1 kΩ", between = ["c", "gnd"] }\n'


def test_constants_are_those_of_the_si() -> None:
    """k and e are exact since 2019 (SI brochure, 9th edition, table 1; CODATA 2018, which scipy carries)."""
    assert float(BOLTZMANN) == constants.Boltzmann
    assert float(ELEMENTARY_CHARGE) == constants.elementary_charge


@pytest.mark.parametrize(
    ("kelvin", "millivolts"),
    [("300", 25.85), ("298.15", 25.69), ("290", 24.99)],
    # Tables of kT/q in S. M. Sze, "Physics of Semiconductor Devices": 25.85 mV at 300 K; from memory.
)
def test_thermal_voltage(kelvin: str, millivolts: float) -> None:
    value = thermal_voltage(Fraction(kelvin))
    assert float(value) * 1e3 == pytest.approx(millivolts, abs=0.005)
    assert float(value) == pytest.approx(constants.k * float(kelvin) / constants.e, rel=1e-15)


def test_transistor_at_a_stated_current() -> None:
    """gm = Ic/VT: 38.9 mS at 1 mA and 25 °C; rpi = beta/gm, ro = VA/Ic (Gray, section 1.4; from memory)."""
    numbers = Asked(circuit(TRANSISTOR + LOAD, LOOK)).ground.numbers
    assert numbers["gm_Q1"] * thermal_voltage(Fraction("298.15")) == Fraction(1, 1000)
    assert float(numbers["gm_Q1"]) == pytest.approx(38.92e-3, rel=2e-4)
    assert numbers["rpi_Q1"] * numbers["gm_Q1"] == 100
    assert numbers["ro_Q1"] == 50_000


def test_transistor_follows_the_temperature() -> None:
    """VT is proportional to T, so gm at a stated current falls as 1/T."""
    cold, hot = (
        Asked(circuit(TRANSISTOR + LOAD, LOOK, about=f'temperature = "{degrees} °C"')).ground.numbers
        for degrees in ("26.85", "326.85")
    )
    assert cold["gm_Q1"] == 2 * hot["gm_Q1"] == Fraction(1, 1000) / thermal_voltage(Fraction(300))


def test_junction_fet_at_a_stated_current() -> None:
    """gm = 2 sqrt(Idss Id)/|Vp|, which is 2 Idss/|Vp| at Idss; ro = 1/(lambda Id) (Gray, section 1.5; from memory)."""
    numbers = Asked(circuit(FET + LOAD, LOOK)).ground.numbers
    assert numbers["gm_J1"] == Fraction(2, 1000)
    assert numbers["ro_J1"] == 50_000
    full = Asked(circuit(FET.replace('id = "2 mA"', 'id = "8 mA"') + LOAD, LOOK)).ground.numbers
    assert full["gm_J1"] == Fraction(4, 1000)


def test_impedance_of_the_fet_is_that_of_a_common_gate() -> None:
    asked = Asked(circuit(FET + LOAD, LOOK))
    assert asked.exact("Z").spectrum.exactly_at(Fraction(0)) == Fraction(51_000, 101)
