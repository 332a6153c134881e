"""Natural frequencies: those that an answer hides, pairs exactly on the axis, the determinant against nodal ones."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import pytest

from derive.derivation.analyse import prepare
from derive.explain.natural import determinant_of, natural, parted
from tests.explain.random_loops import random_loop
from tests.networks import circuit
from tests.nodal import admittance, determinant, equations

HIDDEN = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
R3 = { resistor = "1 kΩ", between = ["out", "x"] }
R4 = { resistor = "1 kΩ", between = ["x", "gnd"] }
G1 = { transconductance = "5 mS", from = ["gnd", "y"], sense = ["y", "gnd"] }
R5 = { resistor = "1 kΩ", between = ["y", "gnd"] }
C5 = { capacitor = "1 nF", between = ["y", "gnd"] }
"""


def test_a_pole_that_no_answer_shows_counts() -> None:
    """A negative resistance of 200 Ω across 1 kΩ and 1 nF grows with 250 ns, beside a divider that it never touches."""
    prepared = prepare(circuit(HIDDEN, 'A: gain = { from = "in", to = "out" }'))
    found = natural(prepared.network, prepared.ground.numbers)
    assert found is not None
    assert not found.stable
    (pole,) = found.right
    assert pole.real == pytest.approx(1 / 250e-9)
    assert found.least_damping == pytest.approx(-1)


def test_a_resonance_without_loss_lies_on_the_axis_exactly() -> None:
    parts = """
Is = { signal = "current", between = ["gnd", "a"] }
L1 = { inductor = "1 mH", between = ["a", "gnd"] }
C1 = { capacitor = "3 nF", between = ["a", "gnd"] }
"""
    prepared = prepare(circuit(parts, 'Z: impedance = { at = "a" }'))
    found = natural(prepared.network, prepared.ground.numbers)
    assert found is not None
    assert found.axis == (pytest.approx(1 / sqrt(3e-12)),)
    assert not found.left
    assert not found.right


def test_double_pairs_and_zeros_are_counted() -> None:
    """s(s² + 2)²(s³ - 1): a real root on the right, a pair on the left, two equal pairs on the axis, one at zero."""
    square = [4, 0, 4, 0, 1]
    other = [-1, 0, 0, 1]
    product = [0] * (len(square) + len(other))
    for i, a in enumerate(square):
        for j, b in enumerate(other):
            product[i + j + 1] += a * b
    found = parted([Fraction(c) for c in product])
    assert found.at_zero == 1
    assert found.axis == (pytest.approx(sqrt(2)), pytest.approx(sqrt(2)))
    assert len(found.right) == 1
    assert len(found.left) == 2


@pytest.mark.parametrize("seed", range(10))
def test_the_determinant_is_that_of_the_nodal_matrix(seed: int) -> None:
    """Up to a constant: the quotient of its values at two places is that of determinants by elimination."""
    pieces, prepared = random_loop(seed)
    coefficients = determinant_of(prepared.network, prepared.ground.numbers)

    def ours(s: Fraction) -> Fraction:
        return sum((c * s**k for k, c in enumerate(coefficients)), Fraction(0))

    def theirs(s: Fraction) -> Fraction:
        return determinant(equations(pieces, lambda branch: admittance(branch, s)).matrix)

    one, other = Fraction(1234), Fraction(98765, 7)
    assert ours(one) * theirs(other) == ours(other) * theirs(one)
