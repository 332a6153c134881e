"""Shares of a port along the band: they add to one everywhere, reigns change where they must."""

from __future__ import annotations

from fractions import Fraction
from math import isclose, pi

import pytest

from derive.answers.inquire import inquire
from derive.derivation.analyse import prepare
from derive.derivation.budget import budget
from derive.derivation.solution import Solution
from derive.explain.port_words import port_sentences
from derive.explain.ports import negative, reigns
from derive.spoken import spoken
from tests.networks import circuit

BAND = (Fraction(10), Fraction(10**6))


def port(parts: str):
    made = circuit('Vs = { signal = "voltage", between = ["far", "gnd"] }\n' + parts, 'Z: impedance = { at = "in" }')
    prepared = prepare(made)
    ground = prepared.ground
    solution = Solution(inquire(made.questions[0], prepared.network), ground.numbers, ground.ring, ground.spot)
    found = budget(solution, prepared.style)
    assert found is not None
    return found


def test_a_capacitor_takes_over_at_the_corner() -> None:
    found = port(
        'R1 = { resistor = "10k", between = ["in", "gnd"] }\nC1 = { capacitor = "1n", between = ["in", "gnd"] }\n'
        'Rf = { resistor = "1M", between = ["far", "gnd"] }'
    )
    first, second = reigns({s.symbol: s.spectrum for s in found.shares}, BAND)
    assert (first.name, second.name) == ("R1", "C1")
    assert isclose(first.high, 1 / (2 * pi * 1e-5), rel_tol=1e-12)
    assert abs(abs(first.ends[1]) - 2**-0.5) < 1e-12
    (sentence,) = port_sentences(found.node, found.shares, BAND, Fraction(1000))
    assert spoken(sentence).startswith("The largest share of the current into in is up to 15.9 kHz that of R1")


def test_a_part_whose_far_end_moves_further_feeds_the_port() -> None:
    """A far end that moves twice as far makes the share 1 - 2 of its admittance: negative (Miller's theorem)."""
    found = port(
        'R1 = { resistor = "1k", between = ["in", "gnd"] }\nR2 = { resistor = "10k", between = ["in", "x"] }\n'
        'G1 = { transconductance = "2 mS", from = ["gnd", "x"], sense = ["in", "gnd"] }\n'
        'R3 = { resistor = "1k", between = ["x", "gnd"] }\nRf = { resistor = "1k", between = ["far", "gnd"] }'
    )
    shares = {s.symbol: s.share for s in found.shares}
    assert list(negative(shares)) == ["R2"]
    follows = next(s.follows for s in found.shares if s.symbol == "R2")
    assert follows is not None
    assert follows.real > 1
    words = [spoken(s) for s in port_sentences(found.node, found.shares, BAND, Fraction(1000))]
    assert any("R2" in w and "feeds the port" in w for w in words)


@pytest.mark.parametrize("frequency", [10, 1000, 123456])
def test_shares_add_to_one_along_the_band(frequency: int) -> None:
    found = port(
        'R1 = { resistor = "1M", between = ["in", "x"] }\nC1 = { capacitor = "1n", between = ["in", "out"] }\n'
        'Q1 = { jfet = "n-channel", gate = "in", drain = "gnd", source = "out", gm = "2 mS", '
        'cgs = "4 pF", cgd = "2 pF" }\n'
        'R2 = { resistor = "1k", between = ["out", "x"] }\nR3 = { resistor = "1k", between = ["x", "gnd"] }\n'
        'Rf = { resistor = "1k", between = ["far", "gnd"] }'
    )
    assert abs(sum(s.spectrum.at_frequency(frequency) for s in found.shares) - 1) < 1e-12
