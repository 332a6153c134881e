"""Random networks of resistors, capacitors and inductors: reciprocal, passive, and as the nodal equations say."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from derive.algebra.ring import terms
from tests.asking import Asked
from tests.axis import value_on_axis
from tests.networks import Piece, circuit, random_passive
from tests.nodal import admittance, equations, voltages_exactly

SEEDS = range(20)


def _network(seed: int) -> tuple[Random, list[Piece]]:
    source = Random(f"passive {seed}")
    return source, random_passive(
        source, source.randint(2, 5), source.randint(1, 5), ("resistor", "capacitor", "inductor")
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_transfer_impedances_are_reciprocal(seed: int) -> None:
    """V2/I1 = V1/I2 (H. A. Lorentz; any textbook of network theory), as polynomials and as spectra."""
    _, pieces = _network(seed)
    signals = [Piece("signal", f"I{k}", (f"n{k}", "gnd"), {}, "current") for k in (1, 2)]
    asked = Asked(
        circuit([*signals, *pieces], 'Z21: gain = { from = "I1", to = "n2" }', 'Z12: gain = { from = "I2", to = "n1" }')
    )
    forward, backward = asked.exact("Z21"), asked.exact("Z12")
    assert forward.ratio == backward.ratio
    assert forward.spectrum == backward.spectrum
    assert forward.terms == backward.terms


@pytest.mark.parametrize("seed", SEEDS)
def test_driving_point_impedances_are_passive(seed: int) -> None:
    """Re Z >= 0 on the imaginary axis, in rational arithmetic, and all poles in the left half plane."""
    source, pieces = _network(seed)
    asked = Asked(circuit(pieces, 'Z: impedance = { at = "n1" }', 'Zd: impedance = { between = ["n1", "n2"] }'))
    for name in ("Z", "Zd"):
        found = asked.exact(name).spectrum
        for _ in range(20):
            omega = Fraction(10) ** source.randint(0, 8) * source.randint(1, 9)
            assert value_on_axis(found, omega)[0] >= 0
        assert all(pole.real <= 1e-12 * abs(pole) for pole in found.poles)


@pytest.mark.parametrize("seed", SEEDS)
def test_impedances_have_only_positive_terms(seed: int) -> None:
    """Kirchhoff's trees: every coefficient of a driving-point impedance of two-terminal parts is plus one."""
    _, pieces = _network(seed)
    ratio = Asked(circuit(pieces, 'Z: impedance = { at = "n1" }')).exact("Z").ratio
    assert ratio is not None
    assert {coefficient for side in (ratio.above, ratio.below) for _, coefficient in terms(side)} == {1}


@pytest.mark.parametrize("seed", SEEDS)
def test_impedances_agree_with_nodal_equations(seed: int) -> None:
    source, pieces = _network(seed)
    found = Asked(circuit(pieces, 'Zd: impedance = { between = ["n1", "n2"] }')).exact("Zd").spectrum
    s = Fraction(source.randrange(1, 10**6))
    volts = voltages_exactly(equations(pieces, lambda branch: admittance(branch, s), [("n1", "n2", Fraction(1))]))
    assert volts is not None
    assert found.exactly_at(s) == volts["n1"] - volts["n2"]
