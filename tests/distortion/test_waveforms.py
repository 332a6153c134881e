"""Harmonics against waveforms: laws solved point by point, differential equations solved in time by scipy, then
Fourier.

The circuits' equations are written down here, from the laws in the README and the parameters that the bias point used.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from derive.bias.records import Bias
from derive.circuit.records import Circuit
from derive.derivation.analyse import prepare
from derive.distortion.records import DistortionStudy
from derive.distortion.study import study_distortion
from tests.networks import circuit

VT = 1.380649e-23 * 298.15 / 1.602176634e-19


def study(asked: Circuit) -> tuple[DistortionStudy, dict[str, float]]:
    prepared = prepare(asked)
    assert isinstance(prepared.bias, Bias)
    laws = {p.name: float(p.value) for p in prepared.bias.parameters}
    return study_distortion(prepared, asked.studies[0]), laws


def static(output: Callable[[float], float], peak: float) -> np.ndarray:
    """The phasors of a waveform that follows the signal without delay."""
    count = 256
    wave = [output(peak * np.cos(2 * pi * k / count)) for k in range(count)]
    return 2 * np.fft.rfft(wave) / count


def compare(found: DistortionStudy, phasors: np.ndarray, within: float) -> None:
    assert abs(found.fundamental) == pytest.approx(abs(phasors[1]), rel=within)
    assert abs(found.second) == pytest.approx(abs(phasors[2]), rel=within)
    assert abs(found.third) == pytest.approx(abs(phasors[3]), rel=2 * within)


def test_a_bipolar_with_emitter_resistor_and_early_effect() -> None:
    """Its law solved at every instant: fundamental, second and third harmonic, phases included."""
    asked = circuit(
        """Vs = { signal = "voltage", between = ["b", "gnd"], offset = "1 V" }
        Vcc = { supply = "10 V", at = "vcc" }
        Rc = { resistor = "4.7 kΩ", between = ["vcc", "c"] }
        Re = { resistor = "390 Ω", between = ["e", "gnd"] }
        Q1 = { bjt = "npn", base = "b", emitter = "e", collector = "c", beta = 100, va = "20 V", is = "10 fA" }""",
        'D: distortion = { to = "c", amplitude = "20 mV peak" }',
    )
    found, laws = study(asked)
    saturation, early = laws["Is_Q1"], 20.0

    def collector(signal: float) -> float:
        base = 1 + signal

        def at_emitter(ve: float) -> tuple[float, float]:
            ib = saturation / 100 * np.exp((base - ve) / VT)
            forward = saturation * np.exp((base - ve) / VT)
            # (10 - vc)/Rc = forward·(1 - (vb - vc)/VA), linear in vc
            vc = (10 / 4700 - forward * (1 - base / early)) / (1 / 4700 + forward / early)
            return ib + (10 - vc) / 4700 - ve / 390, vc

        ve = brentq(lambda v: at_emitter(v)[0], base - 0.9, base - 0.3, xtol=1e-15, rtol=1e-14)
        return at_emitter(ve)[1]

    compare(found, static(collector, 0.02), 3e-3)


def test_a_square_law_stage_with_source_resistor() -> None:
    """The quadratic solved at every instant: a third harmonic arises although the law has none."""
    asked = circuit(
        """Vs = { signal = "voltage", between = ["g", "gnd"] }
        Vcc = { supply = "20 V", at = "vcc" }
        Rd = { resistor = "2 kΩ", between = ["vcc", "d"] }
        Rk = { resistor = "500 Ω", between = ["s", "gnd"] }
        Q1 = { jfet = "n-channel", gate = "g", drain = "d", source = "s", idss = "6 mA", vp = "-2 V" }""",
        'D: distortion = { to = "d", amplitude = "100 mV peak" }',
    )
    found, _ = study(asked)

    def drain(signal: float) -> float:
        current = brentq(lambda i: 6e-3 * (1 + (signal - 500 * i) / 2) ** 2 - i, 0, 3.9e-3, xtol=1e-18, rtol=1e-14)
        return 20 - 2000 * current

    compare(found, static(drain, 0.1), 2e-3)
    assert abs(found.third) > 0


def test_a_fet_in_its_ohmic_region() -> None:
    """A voltage-controlled resistance: signal through a resistor onto the channel."""
    asked = circuit(
        """Vs = { signal = "voltage", between = ["a", "gnd"], offset = "0.4 V" }
        Vg = { supply = "3 V", at = "g" }
        R1 = { resistor = "500 Ω", between = ["a", "out"] }
        Q1 = { mosfet = "n-channel", gate = "g", drain = "out", source = "gnd", k = "2 mA/V²", LAW }""".replace(
            "LAW", 'vth = "1 V", lambda = "0.05 1/V"'
        ),
        'D: distortion = { to = "out", amplitude = "100 mV peak" }',
    )
    found, _ = study(asked)

    def out(signal: float) -> float:
        def off(v: float) -> float:
            return 1e-3 * (2 * 2 * v - v * v) * (1 + 0.05 * v) - (0.4 + signal - v) / 500

        return float(brentq(off, -1, 2, xtol=1e-16, rtol=1e-14))

    compare(found, static(out, 0.1), 5e-3)


def settled(
    slopes: Callable[[float, np.ndarray], np.ndarray], start: list[float], read: int, frequency: float
) -> np.ndarray:
    """Phasors of one unknown over the last of some periods; the equations solved in time."""
    periods, count = 8, 128
    times = (periods - 1 + np.arange(count) / count) / frequency
    found = solve_ivp(slopes, (0, periods / frequency), start, method="Radau", t_eval=times, rtol=1e-9, atol=1e-12)
    return 2 * np.fft.rfft(found.y[read]) / count


def test_a_junction_capacitance_in_time() -> None:
    """A reversed junction behind a resistance, where its current counts: dv/dt = (vs - v)/(R·C(v))."""
    asked = circuit(
        """Vs = { signal = "voltage", between = ["a", "gnd"], offset = "4 V" }
        R1 = { resistor = "100 kΩ", between = ["a", "out"] }
        D1 = { diode = "silicon", anode = "gnd", cathode = "out", cj = "20 pF", vj = "0.7 V", m = 0.45 }""",
        'D: distortion = { to = "out", amplitude = "300 mV peak", frequency = "60 kHz" }',
    )
    found, _ = study(asked)

    def slope(t: float, v: np.ndarray) -> np.ndarray:
        capacitance = 20e-12 * ((0.7 + v) / 4.7) ** -0.45
        return np.asarray((4 + 0.3 * np.cos(2 * pi * 60e3 * t) - v) / (1e5 * capacitance))

    compare(found, settled(slope, [4.0], 0, 60e3), 5e-3)


def test_a_stage_with_its_capacitances_in_time() -> None:
    """A bipolar behind a high source resistance: exponential, diffusion and junction capacitance together."""
    asked = circuit(
        """Vs = { signal = "voltage", between = ["a", "gnd"], offset = "1.2 V" }
        Vcc = { supply = "10 V", at = "vcc" }
        Rs = { resistor = "100 kΩ", between = ["a", "b"] }
        Rc = { resistor = "5 kΩ", between = ["vcc", "c"] }
        Q1 = { bjt = "npn", base = "b", emitter = "gnd", collector = "c", W }""".replace(
            "W", 'beta = 150, is = "10 fA", cpi = "40 pF", cmu = "8 pF", vj = "0.75 V", m = 0.4'
        ),
        'D: distortion = { to = "c", amplitude = "60 mV peak", frequency = "30 kHz" }',
    )
    prepared = prepare(asked)
    assert isinstance(prepared.bias, Bias)
    laws = {p.name: float(p.value) for p in prepared.bias.parameters}
    rest = prepared.bias.point.nodes
    vb0, vc0 = float(rest["b"] or 0), float(rest["c"] or 0)
    found = study_distortion(prepared, asked.studies[0])
    saturation = laws["Is_Q1"]

    def slope(t: float, x: np.ndarray) -> np.ndarray:
        vb, vc = x
        forward, backward = saturation * np.exp(vb / VT), saturation * np.exp((vb - vc) / VT)
        base = (forward - saturation) / 150 + (backward - saturation) / 2
        collector = forward - backward - (backward - saturation) / 2
        cpi = 40e-12 * np.exp((vb - vb0) / VT)
        cmu = 8e-12 * ((0.75 - (vb - vc)) / (0.75 - (vb0 - vc0))) ** -0.4
        into_base = (1.2 + 0.06 * np.cos(2 * pi * 30e3 * t) - vb) / 1e5 - base
        into_collector = (10 - vc) / 5e3 - collector
        return np.linalg.solve([[cpi + cmu, -cmu], [-cmu, cmu]], [into_base, into_collector])

    compare(found, settled(slope, [vb0, vc0], 1, 30e3), 0.02)
    assert {"jCmu_Q1", "q_Q1", "e_Q1"} <= {s.source.key for s in found.shares}
