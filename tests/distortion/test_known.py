"""Harmonics against closed forms of textbooks, each with its source."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from derive.derivation.analyse import prepare
from derive.distortion.records import DistortionStudy
from derive.distortion.study import study_distortion
from derive.expression.text import write
from tests.networks import circuit

VT = 1.380649e-23 * 300 / 1.602176634e-19
WARM = 'temperature = "300 K"\n'
VS = 'Vs = { signal = "voltage", between = ["b", "gnd"] }\nRc = { resistor = "4.7 kΩ", between = ["c", "gnd"] }\n'
BIPOLAR = VS + 'Q1 = { bjt = "npn", base = "b", emitter = "e", collector = "c", beta = 1e9, ic = "1 mA" }\n'
FET = VS + (
    'Q1 = { jfet = "n-channel", gate = "b", drain = "c", source = "e", idss = "4 mA", vp = "-2 V", id = "1 mA" }\n'
)


def study(parts: str, ask: str, about: str = WARM) -> DistortionStudy:
    asked = circuit(parts, f"D: distortion = {{ {ask} }}", about=about)
    return study_distortion(prepare(asked), asked.studies[0])


def ratios(found: DistortionStudy) -> tuple[float, float]:
    return abs(found.second / found.fundamental), abs(found.third / found.fundamental)


@pytest.mark.parametrize("variety", ["npn", "pnp"])
def test_a_bipolar_stage(variety: str) -> None:
    """HD2 = v/(4 VT), HD3 = v²/(24 VT²) (P. R. Gray et al., "Analysis and Design of Analog Integrated Circuits", on
    harmonic distortion; from memory)."""
    parts = BIPOLAR.replace('"e"', '"gnd"').replace("npn", variety)
    found = study(parts, 'to = "c", amplitude = "1 mV peak"')
    second, third = ratios(found)
    assert second == pytest.approx(1e-3 / (4 * VT), rel=1e-6)
    assert third == pytest.approx(1e-6 / (24 * VT**2), rel=1e-6)
    assert write(found.algebra[-1].lines[0].right) in ("A_s/(4*VT)", "A_s/4/VT")
    assert found.trusted == pytest.approx(VT)


def test_a_square_law_stage() -> None:
    """HD2 = v/(4 Vov), no third harmonic (ditto; from memory). Vov = 1 V here: 2·1 mA/2 mS."""
    found = study(FET.replace('"e"', '"gnd"'), 'to = "c", amplitude = "10 mV rms"')
    second, third = ratios(found)
    assert second == pytest.approx(sqrt(2) * 10e-3 / 4, rel=1e-9)
    assert third < 1e-15


def test_the_output_may_be_stated() -> None:
    """At a stated output the signal is smaller by the gain: 4.7 kΩ·1 mA/VT."""
    found = study(BIPOLAR.replace('"e"', '"gnd"'), 'to = "c", amplitude = "1 V peak", of = "output"')
    assert found.peak == pytest.approx(VT / 4.7)
    assert abs(found.fundamental) == pytest.approx(1.0)


@pytest.mark.parametrize("capacitor", ["", 'Ce = { capacitor = "1 µF", between = ["e", "gnd"] }\n'])
def test_feedback_divides(capacitor: str) -> None:
    """HD2 at equal input divided by (1 + T(f))(1 + T(2f)), at equal output by 1 + T(2f) (P. Wambacq, W. Sansen,
    "Distortion Analysis of Analog Integrated Circuits", chapter 5; from memory)."""
    resistance, slope, frequency = 3e3, 2e-3, 1000.0
    parts = FET + f'Re = {{ resistor = "{resistance} Ω", between = ["e", "gnd"] }}\n' + capacitor

    def loop(f: float) -> complex:
        return slope / (1 / resistance + (2j * pi * f * 1e-6 if capacitor else 0))

    found = study(parts, 'to = "c", amplitude = "10 mV peak"')
    at, double = 1 + loop(frequency), 1 + loop(2 * frequency)
    assert ratios(found)[0] == pytest.approx(10e-3 / 4 / abs(at * double), rel=1e-9)
    assert found.loop is not None
    assert found.loop.at == pytest.approx(loop(frequency), rel=1e-9)
    assert found.loop.at_double == pytest.approx(loop(2 * frequency), rel=1e-9)
    equal = study(parts, 'to = "c", amplitude = "94 mV peak", of = "output"')
    assert ratios(equal)[0] == pytest.approx(94e-3 / (slope * 4700) / 4 / abs(double), rel=1e-9)


def test_a_square_law_stage_in_a_loop_has_a_third_harmonic() -> None:
    """i = g u + K u² with u = v - R i: a3/a1 = -2K²R/(1 + gR)^4 (series reversion; textbooks on feedback, e.g.
    Wambacq and Sansen, chapter 5; from memory)."""
    resistance, slope, bend = 3e3, 2e-3, 1e-3
    source = f'Re = {{ resistor = "{resistance} Ω", between = ["e", "gnd"] }}\n'
    found = study(FET + source, 'to = "c", amplitude = "50 mV peak"')
    a1, a3 = slope / (1 + slope * resistance), 2 * bend**2 * resistance / (1 + slope * resistance) ** 5
    assert ratios(found)[1] == pytest.approx(a3 / a1 * 0.05**2 / 4, rel=1e-9)
    assert abs(found.shares[0].own) == 0


def test_a_reversed_junction_capacitance() -> None:
    """Behind a small resistance R: HD2 = w·R·v·C'/2, with C' = C·m/(Vj - V) (the charge's second order; chapter 3 of
    Wambacq and Sansen; from memory)."""
    parts = """Vs = { signal = "voltage", between = ["a", "gnd"], offset = "4.3 V" }
    R1 = { resistor = "1 Ω", between = ["a", "out"] }
    D1 = { diode = "silicon", anode = "gnd", cathode = "out", cj = "1 nF", vj = "0.7 V", m = 0.5, is = "1 fA" }"""
    found = study(parts, 'to = "out", amplitude = "100 mV peak", frequency = "10 kHz"')
    slope = 1e-9 * 0.5 / 5
    assert ratios(found)[0] == pytest.approx(2 * pi * 1e4 * 1.0 * 0.1 * slope / 2, rel=1e-3)
