"""Margins and senses: against a control library, against Nyquist's count, and by evaluating T where they say."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import inf, isfinite, pi

import control
import numpy as np
import pytest

from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.derivation.analyse import Prepared, prepare
from derive.explain.loops import find_loops
from derive.explain.margins import margins
from tests.explain.random_loops import random_loop, random_ring
from tests.networks import Piece, circuit

AMPLIFIER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Rs = { resistor = "10 kΩ", between = ["in", "m"] }
Rf = { resistor = "90 kΩ", between = ["out", "m"] }
Cin = { capacitor = "3 pF", between = ["m", "gnd"] }
G1 = { transconductance = "1 mS", from = ["gnd", "a"], sense = ["gnd", "m"] }
R1 = { resistor = "1 MΩ", between = ["a", "gnd"] }
C1 = { capacitor = "100 pF", between = ["a", "gnd"] }
G2 = { transconductance = "10 mS", from = ["gnd", "out"], sense = ["a", "gnd"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
C2 = { capacitor = "20 pF", between = ["out", "gnd"] }
"""


def transfer(ratio: Spectrum) -> control.TransferFunction:
    sides = ([float(c) for c in reversed(side)] for side in (ratio.numerator, ratio.denominator))
    return control.TransferFunction(*sides)


@pytest.mark.parametrize("source", ["G1", "G2"])
def test_margins_of_a_dominant_pole_amplifier_against_a_control_library(source: str) -> None:
    """python-control's ``margin``, of the loop gain as its L: both are L/(1 + L)."""
    prepared = prepare(circuit(AMPLIFIER, 'A: gain = { from = "in", to = "out" }'))
    loop = find_loops(prepared, ()).of(source)
    assert loop is not None
    gain, phase, at_gain, at_phase = control.margin(transfer(loop.exact.spectrum))
    assert loop.margins.phase is not None
    assert loop.margins.phase.phase_margin == pytest.approx(phase, rel=1e-6)
    assert 2 * pi * loop.margins.phase.frequency == pytest.approx(at_phase, rel=1e-6)
    assert loop.margins.upward is not None
    assert loop.margins.upward.factor == pytest.approx(gain, rel=1e-6)
    assert 2 * pi * loop.margins.upward.frequency == pytest.approx(at_gain, rel=1e-6)


def test_three_equal_poles_by_hand() -> None:
    """k/(1 + s)³ is real and negative at s = j√3 where its denominator is -8: the factor is 8/k (textbook)."""
    found = margins(from_coefficients([Fraction(4)], [Fraction(c) for c in (1, 3, 3, 1)]))
    (critical,) = found.critical
    assert critical.factor == pytest.approx(2.0)
    assert 2 * pi * critical.frequency == pytest.approx(3**0.5)


def test_a_loop_without_frequency_has_one_stretch() -> None:
    constant = margins(from_coefficients([Fraction(-1, 2)], [Fraction(1)]))
    assert [(s.low, s.high, s.sense) for s in constant.stretches] == [(0.0, inf, "positive")]
    assert [c.factor for c in constant.critical] == [2.0]
    assert margins(from_coefficients([Fraction(0)], [Fraction(1)])).stretches[0].sense == "none"


def turns(ratio: Spectrum) -> float | None:
    """How often T(jω) goes clockwise round -1 over the whole axis, by adding up small angles; None if it is unsure."""
    corners = [abs(r) for r in (*ratio.poles, *ratio.zeros) if r]
    low, high = min(corners) * 1e-5, max(corners) * 1e5
    places = np.unique(np.concatenate([np.geomspace(low, high, 40000), *(np.abs(r.imag) + np.abs(r.real) * np.linspace(
        -20, 20, 801) for r in (*ratio.poles, *ratio.zeros))]))  # fmt: skip
    places = places[places > 0]
    value = 1 + ratio.sample(places / (2 * pi))
    steps = np.angle(value[1:] / value[:-1])
    return None if np.max(np.abs(steps)) > 0.5 else float(-np.sum(steps) / pi)


@pytest.mark.parametrize("make", [random_loop, random_ring])
@pytest.mark.parametrize("seed", range(20))
def test_encirclements_are_the_difference_of_pole_counts(
    make: Callable[[int], tuple[list[Piece], Prepared]], seed: int
) -> None:
    """Nyquist: the turns of the curve itself, added up along the axis, against the roots of both determinants."""
    _, prepared = make(seed)
    for loop in find_loops(prepared, ()).loops:
        ratio = loop.exact.spectrum
        if not any(ratio.numerator) or len(ratio.numerator) >= len(ratio.denominator) or loop.encirclements is None:
            continue
        counted = turns(ratio)
        if counted is not None:
            assert counted == pytest.approx(loop.encirclements, abs=0.01)


def test_some_of_these_networks_are_unstable() -> None:
    """The property above is not empty."""
    counts = [loop.encirclements for seed in range(20) for loop in find_loops(random_ring(seed)[1], ()).loops]
    assert sum(1 for count in counts if count) > 5
    assert sum(1 for count in counts if count == 0) > 5


@pytest.mark.parametrize("seed", range(12))
def test_what_margins_say_is_so_where_they_say_it(seed: int) -> None:
    _, prepared = random_loop(seed)
    for loop in find_loops(prepared, ()).loops:
        ratio, found = loop.exact.spectrum, loop.margins
        for crossing in found.unity:
            value = ratio.at_frequency(crossing.frequency)
            assert abs(value) == pytest.approx(1, rel=1e-9)
            margin = np.degrees(np.angle(-value)) * (-1 if crossing.rising else 1)
            assert crossing.phase_margin == pytest.approx(margin, abs=1e-6)
            beside = abs(ratio.at_frequency(crossing.frequency * 1.0001))
            assert (beside > 1) == crossing.rising
        for place in found.critical:
            assert 1 + place.factor * ratio.at_frequency(place.frequency) == pytest.approx(0, abs=1e-7)
        for stretch in found.stretches:
            low, high = stretch.low or 1e-3, stretch.high if isfinite(stretch.high) else 1e10
            for frequency in np.geomspace(low * 1.001, high * 0.999, 5):
                size = abs(1 + ratio.at_frequency(frequency))
                if abs(size - 1) > 1e-6:
                    assert stretch.sense == ("negative" if size > 1 else "positive")


@pytest.mark.parametrize("seed", range(12))
def test_sense_says_what_finite_differences_say(seed: int) -> None:
    """dA/A over dw/w of a source w is (1 - A0/A)/(1 + T) with A0 the gain without it: above one, |1 + T| weakens it."""
    from derive.answers.exact import spectrum
    from derive.answers.inquire import inquire

    _, prepared = random_loop(seed)
    question = prepared.circuit.questions[0]
    numbers = dict(prepared.ground.numbers)
    step, s = Fraction(1, 10**9), Fraction(2000)
    for loop in find_loops(prepared, ()).loops:
        inquiry = inquire(question, prepared.network)
        dead = spectrum(inquire(question, prepared.network.delete(loop.of)), numbers).exactly_at(s)
        gain = spectrum(inquiry, numbers).exactly_at(s)
        moved = spectrum(inquiry, {**numbers, loop.of: numbers[loop.of] * (1 + step)}).exactly_at(s)
        change = float((moved - gain) / (gain * step))
        returned = loop.exact.spectrum.exactly_at(s)
        assert change == pytest.approx(float((1 - dead / gain) / (1 + returned)), rel=1e-6, abs=1e-12)
