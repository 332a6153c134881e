"""Return ratios and oscillators as the textbooks give them.

Gray: P. R. Gray, P. J. Hurst, S. H. Lewis, R. G. Meyer, "Analysis and Design of Analog Integrated Circuits", 5th
edition, chapter 8. Sedra: A. S. Sedra, K. C. Smith, "Microelectronic Circuits", 7th edition, chapter 17. From memory.
"""

from __future__ import annotations

from math import pi, sqrt

import pytest

from derive.derivation.analyse import Prepared, prepare
from derive.explain.loops import find_loops, steady
from derive.explain.sweep import sweep
from tests.networks import circuit
from tests.reference.book import Published, check

FOLLOWER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Rs = { resistor = "10 kΩ", between = ["in", "b"] }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
Q1 = { bjt = "npn", base = "b", collector = "gnd", emitter = "e", gm = "40 mS", rpi = "5 kΩ" }
"""
PAIR = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
M1 = { mosfet = "n-channel", gate = "in", drain = "d", source = "e", gm = "4 mS" }
R1 = { resistor = "10 kΩ", between = ["d", "gnd"] }
M2 = { mosfet = "p-channel", gate = "d", drain = "out", source = "gnd", gm = "7 mS" }
R2 = { resistor = "5 kΩ", between = ["out", "gnd"] }
Rf = { resistor = "9 kΩ", between = ["out", "e"] }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
"""
SHIFT = """
C1 = { capacitor = "10 nF", between = ["out", "a"] }
R1 = { resistor = "10 kΩ", between = ["a", "gnd"] }
C2 = { capacitor = "10 nF", between = ["a", "b"] }
R2 = { resistor = "10 kΩ", between = ["b", "gnd"] }
C3 = { capacitor = "10 nF", between = ["b", "m"] }
R3 = { resistor = "10 kΩ", between = ["m", "gnd"] }
U1 = { opamp = "finite", plus = "gnd", minus = "m", out = "out", gain = "GAIN" }
"""
WIEN = """
R1 = { resistor = "10 kΩ", between = ["out", "x"] }
C1 = { capacitor = "10 nF", between = ["x", "p"] }
R2 = { resistor = "10 kΩ", between = ["p", "gnd"] }
C2 = { capacitor = "10 nF", between = ["p", "gnd"] }
"""
FINITE = 'U1 = { opamp = "finite", plus = "p", minus = "gnd", out = "out", gain = "GAIN" }\n'
IDEAL = """
U1 = { opamp = "ideal", plus = "p", minus = "m", out = "out" }
Rf = { resistor = "15 kΩ", between = ["out", "m"] }
Rg = { resistor = "10 kΩ", between = ["m", "gnd"] }
"""


@pytest.mark.parametrize(
    "published",
    [
        Published(
            "emitter follower", "Gray, section 8.8: the source opened, a test current in its place",
            FOLLOWER, 'return_ratio = { of = "gm_Q1" }', "gm_Q1*rpi_Q1*Re/(rpi_Q1 + Re + Rs)",
        ),
        Published(
            "series–shunt pair", "Gray, section 8.6 (series–shunt pair), with ideal devices; T of the second by hand",
            PAIR, 'return_ratio = { of = "gm_M2" }',
            "gm_M2*R1*gm_M1*(Re || (1/gm_M1))/(Rf + (Re || (1/gm_M1)))*(R2 || (Rf + (Re || (1/gm_M1))))",
        ),
    ],
    ids=str,
)  # fmt: skip
def test_return_ratios(published: Published) -> None:
    check(published)


def oscillator(parts: str, gain: int) -> Prepared:
    return prepare(circuit(parts.replace("GAIN", str(gain)), 'T: return_ratio = { of = "U1" }'))


@pytest.mark.parametrize("gain", [10, 28, 29, 30, 100])
def test_a_phase_shift_oscillator_needs_29_at_its_frequency(gain: int) -> None:
    """Sedra, section 17.2: three equal RC sections oscillate at 1/(2π·√6·RC) with a gain of 29."""
    found = find_loops(oscillator(SHIFT, gain), ())
    loop = found.main
    assert loop is not None
    place = steady(loop)
    assert place is not None
    assert place.factor * gain == pytest.approx(29, rel=1e-12)
    assert place.frequency == pytest.approx(1 / (2 * pi * sqrt(6) * 10e3 * 10e-9), rel=1e-12)
    assert found.natural is not None
    assert (len(found.natural.right), len(found.natural.axis)) == ((0, 0), (0, 1), (2, 0))[(gain > 28) + (gain > 29)]


@pytest.mark.parametrize("gain", [2, 3, 4])
def test_a_wien_bridge_needs_3(gain: int) -> None:
    """Sedra, section 17.2: with equal parts, a gain of 3 at 1/(2πRC)."""
    found = find_loops(oscillator(WIEN + FINITE, gain), ())
    loop = found.main
    assert loop is not None
    place = steady(loop)
    assert place is not None
    assert place.factor * gain == pytest.approx(3, rel=1e-12)
    assert place.frequency == pytest.approx(1 / (2 * pi * 10e3 * 10e-9), rel=1e-12)
    assert found.natural is not None
    assert found.natural.stable == (gain < 3)


def test_a_wien_bridge_with_an_ideal_op_amp_starts_at_twice_the_other_resistor() -> None:
    prepared = prepare(
        circuit(
            WIEN + IDEAL, 'Z: impedance = { at = "x" }', 'S: stability = { part = "Rf", resistance = ["1k", "1M"] }'
        )
    )
    found = sweep(prepared, prepared.circuit.sweeps[0])
    assert found is not None
    (border,) = found.borders
    assert border.value == pytest.approx(20e3, rel=1e-12)
    assert border.frequency == pytest.approx(1 / (2 * pi * 10e3 * 10e-9), rel=1e-12)
    assert [span.right for span in found.spans] == [0, 2]
