"""Exact sensitivities against central differences, and against published ones of second-order filters."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt
from random import Random

import pytest

from derive.answers.evaluate import Evaluator
from derive.answers.exact import spectrum
from derive.derivation.analyse import inquiries, prepare
from tests.networks import Maker, circuit, random_active


@pytest.mark.parametrize("seed", range(12))
def test_random_networks_against_central_differences(seed: int) -> None:
    maker = Maker(Random(seed))
    maker.pieces = random_active(maker.source, 4, ("transconductance", "bjt", "jfet"))
    maker.signal("current", "n1")
    prepared = prepare(circuit(maker.pieces, 'Z: impedance = { at = "n2" }', 'A: gain = { from = "Is", to = "n3" }'))
    numbers, step = prepared.ground.numbers, Fraction(1, 10**5)
    checked = 0
    for inquiry in inquiries(prepared):
        frequency = Fraction(1000)
        found = Evaluator(inquiry).sensitivities(numbers, frequency)
        if not found:
            continue
        here = spectrum(inquiry, numbers).at_frequency(frequency)
        for name, sensitivity in found.items():
            ends = [
                spectrum(inquiry, {**numbers, name: numbers[name] * (1 + side * step)}).at_frequency(frequency)
                for side in (1, -1)
            ]
            assert (ends[0] - ends[1]) / (2 * step) / here == pytest.approx(sensitivity, abs=1e-6, rel=1e-6)
            checked += 1
    assert checked


def _published(parts: str, omega: float, quality: float) -> tuple[dict[str, float], dict[str, float]]:
    """Sensitivities of the pole frequency and of Q, from those of the answer at the pole frequency.

    With H = K/(1 + ju/Q - u²), u = ω/ω0: at u = 1, d ln H = (1 + 2jQ) d ln ω0 + d ln Q + d ln K.
    """
    prepared = prepare(circuit(parts, 'A: gain = { from = "in", to = "out" }'))
    found = Evaluator(inquiries(prepared)[0]).sensitivities(prepared.ground.numbers, Fraction(omega / (2 * pi)))
    frequency = {name: s.imag / (2 * quality) for name, s in found.items()}
    return frequency, {name: s.real - frequency[name] for name, s in found.items()}


def test_sallen_key_with_unity_gain() -> None:
    """S of ω0 is -1/2 for all four; of Q it is +1/2 and -1/2 for the capacitors, 0 for equal resistors.

    (G. Daryanani, "Principles of Active Network Synthesis and Design", 1976, chapter 5; from memory.)
    """
    r, c1, c2 = 10e3, 40e-9, 10e-9
    frequency, quality = _published(
        """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "10 kΩ", between = ["in", "a"] }
R2 = { resistor = "10 kΩ", between = ["a", "p"] }
C1 = { capacitor = "40 nF", between = ["a", "out"] }
C2 = { capacitor = "10 nF", between = ["p", "gnd"] }
U1 = { opamp = "ideal", plus = "p", minus = "out", out = "out" }""",
        1 / (r * sqrt(c1 * c2)),
        sqrt(c1 / c2) / 2,
    )
    for name in ("R1", "R2", "C1", "C2"):
        assert frequency[name] == pytest.approx(-0.5, abs=1e-9)
    assert [quality[name] for name in ("R1", "R2", "C1", "C2")] == pytest.approx([0, 0, 0.5, -0.5], abs=1e-9)


@pytest.mark.parametrize("gain", [1.5, 2.0, 2.8])
def test_sallen_key_with_equal_components(gain: float) -> None:
    """Q = 1/(3 - K); S of Q: R1 -1/2 + Q and R2 1/2 - Q, C1 -1/2 + 2Q and C2 1/2 - 2Q; of K it is 3Q - 1.

    (M. E. Van Valkenburg, "Analog Filter Design", 1982, on sensitivity; from memory.) K = 1 + Rb/Ra moves by
    (K - 1)/K with Rb, and multiplies H besides.
    """
    q, r, c = 1 / (3 - gain), 10e3, 10e-9
    frequency, quality = _published(
        f"""
Vs = {{ signal = "voltage", between = ["in", "gnd"] }}
R1 = {{ resistor = "10 kΩ", between = ["in", "a"] }}
R2 = {{ resistor = "10 kΩ", between = ["a", "p"] }}
C1 = {{ capacitor = "10 nF", between = ["a", "out"] }}
C2 = {{ capacitor = "10 nF", between = ["p", "gnd"] }}
Ra = {{ resistor = "10 kΩ", between = ["m", "gnd"] }}
Rb = {{ resistor = "{10 * (gain - 1):.6f} kΩ", between = ["out", "m"] }}
U1 = {{ opamp = "ideal", plus = "p", minus = "m", out = "out" }}""",
        1 / (r * c),
        q,
    )
    expected = {"R1": q - 0.5, "R2": 0.5 - q, "C1": 2 * q - 0.5, "C2": 0.5 - 2 * q}
    for name, value in expected.items():
        assert frequency[name] == pytest.approx(-0.5, abs=1e-6)
        assert quality[name] == pytest.approx(value, abs=1e-6)
    share = (gain - 1) / gain
    assert quality["Rb"] == pytest.approx(share * (3 * q - 1) + share, abs=1e-5)
