"""Signs, sizes and phases of node motions, against formulas and an independent nodal solution."""

from __future__ import annotations

from math import isclose, pi, sqrt

import pytest

from derive.explain.words import motion_sentences
from derive.spoken import spoken
from tests.explain.explaining import STAGE, explained, explained_at_random
from tests.nodal import admittance, equations, voltages


def motion(found, node):
    return next(m for m in found.motions if m.node == node)


def test_a_second_order_low_pass_turns_its_sign_at_its_natural_frequency() -> None:
    """1/(1 + s·a + s²·b) has a real part of zero where ω² = 1/b, whatever a (two equal RC sections, b = (RC)²)."""
    parts = STAGE + (
        'R1 = { resistor = "10k", between = ["in", "a"] }\nC1 = { capacitor = "1n", between = ["a", "gnd"] }\n'
        'R2 = { resistor = "10k", between = ["a", "out"] }\nC2 = { capacitor = "1n", between = ["out", "gnd"] }\n'
    )
    _, found = explained(parts, 'band = ["1 kHz", "1 MHz"]\nspot = "2 kHz"')
    (turn,) = motion(found, "out").turns
    assert isclose(turn, 1 / (2 * pi * 1e-5), rel_tol=1e-12)
    assert motion(found, "a").turns == ()
    told = [spoken(s) for s in motion_sentences(found)]
    assert "The part of out that is in phase with the source changes its sign at 15.9 kHz." in told


def test_a_double_zero_of_the_real_part_is_no_turn() -> None:
    """The real part of s·RC/(1 + s·RC) is x/(1 + x): it touches zero at d.c. and never changes its sign."""
    parts = STAGE + (
        'C1 = { capacitor = "1n", between = ["in", "out"] }\nR1 = { resistor = "10k", between = ["out", "gnd"] }\n'
    )
    _, found = explained(parts, 'band = ["1 Hz", "1 MHz"]')
    assert motion(found, "out").turns == ()
    assert motion(found, "out").sense == "ahead"


def test_a_corner_lags_by_45_degrees() -> None:
    parts = STAGE + (
        'R1 = { resistor = "10k", between = ["in", "out"] }\n'
        'C1 = { capacitor = "15.915494309189535 nF", between = ["out", "gnd"] }\n'
    )
    _, found = explained(parts, 'spot = "1 kHz"')
    out = motion(found, "out")
    assert isclose(abs(out.spot), 1 / sqrt(2), rel_tol=1e-9)
    assert out.sense == "behind"
    assert "behind by 45" in spoken(motion_sentences(found)[0])


@pytest.mark.parametrize("seed", range(30))
def test_motions_against_an_independent_solution(seed: int) -> None:
    pieces, found = explained_at_random(f"motions {seed}", ("bjt", "transconductance"))
    s = 2j * pi * float(found.spot)
    expected = voltages(equations(pieces, lambda branch: admittance(branch, s), [], volts=1))
    for m in found.motions:
        assert abs(m.spot - expected[m.node]) <= 1e-7 * max(1.0, abs(expected[m.node])), m.node
