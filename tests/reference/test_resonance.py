"""Resonant circuits: F. E. Terman, "Radio Engineering", 3rd edition (1947), chapter 3; from memory."""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest

from derive.algebra.spectrum import DIGITS
from tests.asking import Asked
from tests.axis import value_on_axis
from tests.networks import circuit
from tests.reference.book import Published, check

TANK = 'L1 = { inductor = "1 mH", between = ["a", "gnd"] }\nC1 = { capacitor = "1 nF", between = ["a", "gnd"] }\n'
COIL = """
L1 = { inductor = "1 mH", between = ["a", "b"] }
R1 = { resistor = "20 Ω", between = ["b", "gnd"] }
C1 = { capacitor = "1 nF", between = ["a", "gnd"] }
"""
LOOK = 'impedance = { at = "a" }'
OMEGA = Fraction(10**6)
"""1/sqrt(LC) of 1 mH and 1 nF, in rad/s, exactly."""

RESONANCES = [
    Published("tank", "chapter 3", TANK, LOOK, "s*L1/(1 + s**2*L1*C1)"),
    Published(
        "damped tank", "chapter 3", TANK + 'R1 = { resistor = "100 kΩ", between = ["a", "gnd"] }', LOOK,
        "1/(1/R1 + s*C1 + 1/(s*L1))",
    ),
    Published("tank with a resistance in its coil", "chapter 3", COIL, LOOK, "(R1 + s*L1) || (1/(s*C1))"),
    Published(
        "series resonance", "chapter 3",
        'L1 = { inductor = "1 mH", between = ["a", "b"] }\nC1 = { capacitor = "1 nF", between = ["b", "c"] }\n'
        'R1 = { resistor = "50 Ω", between = ["c", "gnd"] }', LOOK, "R1 + s*L1 + 1/(s*C1)",
    ),
]  # fmt: skip


@pytest.mark.parametrize("published", RESONANCES, ids=str)
def test_resonance(published: Published) -> None:
    check(published)


def test_poles_of_a_tank() -> None:
    """f0 = 1/(2 pi sqrt(LC)): the poles of a lossless tank lie on the axis there, and its impedance is infinite."""
    found = Asked(circuit(TANK, f"Z: {LOOK}")).exact("Z").spectrum
    assert [complex(pole) for pole in found.poles] == pytest.approx([-1e6j, 1e6j], rel=1e-15)
    assert found.at(mpmath.mpc(0, 10**6)) == mpmath.inf
    assert found.denominator == (1, 0, 1 / OMEGA**2)


def test_impedance_at_resonance() -> None:
    """At 1/sqrt(LC) a damped tank is its resistor alone."""
    found = Asked(circuit(RESONANCES[1].parts, f"Z: {LOOK}")).exact("Z").spectrum
    assert value_on_axis(found, OMEGA) == (100_000, 0)
    with mpmath.workdps(DIGITS):
        assert found.at(mpmath.mpc(0, 10**6)) == mpmath.mpc(100_000)


def test_unity_power_factor_of_a_coil_with_resistance() -> None:
    """The impedance is real at w² = 1/(LC) - R²/L², where it is L/(RC)."""
    found = Asked(circuit(COIL, f"Z: {LOOK}")).exact("Z").spectrum
    inductance, capacitance, resistance = Fraction(1, 1000), Fraction("1e-9"), Fraction(20)
    squared = 1 / (inductance * capacitance) - (resistance / inductance) ** 2
    value, reactance = value_on_axis(found, squared=squared)
    assert reactance == 0
    assert value == inductance / (resistance * capacitance)
