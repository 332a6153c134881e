"""Noise against results of textbooks and of physics, each with its source."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from derive.derivation.analyse import prepare
from derive.noise.records import NoiseStudy
from derive.noise.study import study_noise
from tests.networks import circuit

K, Q = 1.380649e-23, 1.602176634e-19
WARM = 'temperature = "300 K"'
GAIN = 'A: gain = { from = "src", to = "out" }'
VS = 'Vs = { signal = "voltage", between = ["src", "gnd"] }'


def noise(parts: str, ask: str, about: str = WARM) -> NoiseStudy:
    asked = circuit(parts, f"N: noise = {{ {ask} }}", about=about)
    return study_noise(prepare(asked), asked.studies[0])


def test_a_kilohm_at_300_kelvin() -> None:
    """4.07 nV/√Hz (P. Horowitz, W. Hill, "The Art of Electronics", chapter on noise: 4 nV/√Hz; from memory)."""
    found = noise('R1 = { resistor = "1 kΩ", between = ["out", "gnd"] }', 'at = "out"')
    assert sqrt(found.density) == pytest.approx(4.0704e-9, rel=1e-4)
    assert found.everywhere is None


def test_noise_of_a_capacitor_is_kt_over_c() -> None:
    """sqrt(kT/C): 0.64 µV for 10 nF at 300 K, whatever the resistance (any textbook; from memory)."""
    for ohms in ("1 Ω", "12 kΩ", "3 GΩ"):
        parts = f'R1 = {{ resistor = "{ohms}", between = ["out", "gnd"] }}\n'
        found = noise(parts + 'C1 = { capacitor = "10 nF", between = ["out", "gnd"] }', 'at = "out"')
        assert found.everywhere is not None
        assert sqrt(found.everywhere) == pytest.approx(sqrt(K * 300 / 10e-9), rel=1e-9)
        assert sqrt(found.everywhere) == pytest.approx(0.6436e-6, rel=1e-4)


def test_the_band_approaches_the_whole() -> None:
    """Of a first-order noise, the part up to f is 2/pi·atan(f/fc)."""
    parts = """R1 = { resistor = "10 kΩ", between = ["out", "gnd"] }
    C1 = { capacitor = "10 nF", between = ["out", "gnd"] }"""
    found = noise(parts, 'at = "out"', f'{WARM}\nband = ["1 mHz", "1 MHz"]')
    from math import atan

    corner = 1 / (2 * pi * 1e4 * 1e-8)
    share = 2 / pi * (atan(1e6 / corner) - atan(1e-3 / corner))
    assert found.band == pytest.approx(share * K * 300 / 10e-9, rel=1e-9)


def test_a_resonance_keeps_kt_over_c() -> None:
    """Equipartition: the capacitor of a loss-poor resonant circuit holds kT/2 too (Q of 10 000)."""
    parts = """R1 = { resistor = "10 MΩ", between = ["out", "gnd"] }
    L1 = { inductor = "1 mH", between = ["out", "gnd"] }
    C1 = { capacitor = "1 nF", between = ["out", "gnd"] }"""
    found = noise(parts, 'at = "out"', f'{WARM}\nband = ["1 Hz", "1 GHz"]')
    assert found.everywhere == pytest.approx(K * 300 / 1e-9, rel=1e-9)
    assert found.band == pytest.approx(K * 300 / 1e-9, rel=1e-6)


STAGE = (
    VS
    + """
    Rs = { resistor = "1 kΩ", between = ["src", "b"] }
    Q1 = { bjt = "npn", base = "b", emitter = "gnd", collector = "out", beta = 200, ic = "1 mA", rb = "50 Ω" }
    Rc = { resistor = "100 MΩ", between = ["out", "gnd"] }"""
)


def test_the_best_source_of_a_bipolar() -> None:
    """R_opt = sqrt(beta)/gm·sqrt(1 + 2 gm rb) and F = 1 + sqrt(1 + 2 gm rb)/sqrt(beta), nearly (P. R. Gray et al.,
    "Analysis and Design of Analog Integrated Circuits", chapter 11; from memory), the source at the transistor's 290 K.
    """
    found = noise(STAGE, 'at = "out", referred_to = "src", source = "Rs"', 'temperature = "290 K"').figure
    assert found is not None
    assert found.best is not None
    assert found.least is not None
    gm = 1e-3 / (K * 290 / Q)
    root = sqrt(1 + 2 * gm * 50)
    assert found.best == pytest.approx(sqrt(200) / gm * root, rel=0.02)
    assert found.least == pytest.approx(1 + root / sqrt(200), rel=0.02)
    assert found.voltage == pytest.approx(sqrt(4 * K * 290 * (50 + 1 / (2 * gm)) + 2 * Q * 5e-6 * 50**2), rel=0.01)
    assert found.current == pytest.approx(sqrt(2 * Q * 5e-6 + 2 * Q * 1e-3 / 200**2), rel=1e-3)


def test_the_figure_is_least_at_the_best_source() -> None:
    """The circuit solved anew with the best resistance has the least noise figure, and neighbours more."""
    ask = 'at = "out", referred_to = "src", source = "Rs"'
    first = noise(STAGE, ask).figure
    assert first is not None
    assert first.best is not None
    factors = []
    for scale in (0.9, 1.0, 1.1):
        found = noise(STAGE.replace('"1 kΩ"', f'"{scale * first.best:.9f}"'), ask).figure
        assert found is not None
        factors.append(found.factor)
    assert factors[1] == pytest.approx(first.least, rel=1e-6)
    assert factors[1] < factors[0]
    assert factors[1] < factors[2]


def test_an_attenuator_has_its_loss_as_noise_figure() -> None:
    """A matched attenuator at 290 K has F = its loss (H. T. Friis, Proc. IRE 32 (1944) 419; from memory)."""
    parts = (
        VS
        + """
    Rs = { resistor = "50 Ω", between = ["src", "a"] }
    R1 = { resistor = "25 Ω", between = ["a", "m"] }
    R2 = { resistor = "25 Ω", between = ["m", "out"] }
    R3 = { resistor = "37.5 Ω", between = ["m", "gnd"] }"""
    )
    found = noise(parts, 'at = "out", referred_to = "src", source = "Rs"', 'temperature = "290 K"')
    assert found.figure is not None
    # Available gain: (open-circuit voltage over the source's) squared times the resistances' ratio.
    divided = 37.5 / (75 + 37.5)
    output = 25 + 75 * 37.5 / 112.5
    assert found.figure.factor == pytest.approx(output / (50 * divided**2), rel=1e-12)


def test_a_diode_at_rest_is_as_noisy_as_its_resistance() -> None:
    """2q(0 + 2Is) = 4kT/rd with n = 1: thermal equilibrium (A. van der Ziel; from memory)."""
    parts = """Vcc = { supply = "1 V", at = "vcc" }
    R1 = { resistor = "1 kΩ", between = ["vcc", "x"] }
    R2 = { resistor = "1 kΩ", between = ["x", "gnd"] }
    D1 = { diode = "silicon", anode = "out", cathode = "gnd", is = "1 nA" }
    R3 = { resistor = "100 GΩ", between = ["out", "gnd"] }"""
    found = noise(parts, 'at = "out"')
    source = next(p.source for p in found.parts if p.source.owner == "D1")
    asked = circuit(parts, 'N: noise = { at = "out" }', about=WARM)
    slope = float(prepare(asked).network.symbols["rd_D1"].value)
    assert source.density == pytest.approx(4 * K * 300 / slope, rel=1e-6)


def test_an_open_channel_is_as_noisy_as_its_resistance() -> None:
    """At Vds = 0 a channel is a resistor: 4kT·g_ds."""
    parts = """Vg = { supply = "3 V", at = "g" }
    R1 = { resistor = "1 kΩ", between = ["out", "gnd"] }
    Q1 = { mosfet = "n-channel", gate = "g", drain = "out", source = "gnd", k = "2 mA/V²", vth = "1 V" }"""
    found = noise(parts, 'at = "out"')
    parallel = 1 / (1e-3 + 2e-3 * 2)
    assert found.density == pytest.approx(4 * K * 300 * parallel, rel=1e-6)


def test_an_inverting_amplifier() -> None:
    """en²·(1 + R2/R1)² + (in·R2)² + 4kT·R2·(1 + R2/R1) (any op amp's application note; from memory)."""
    parts = (
        VS
        + """
    R1 = { resistor = "1 kΩ", between = ["src", "m"] }
    R2 = { resistor = "10 kΩ", between = ["m", "out"] }
    [parts.U1]
    opamp = "ideal"
    plus = "gnd"
    minus = "m"
    out = "out"
    en = "5 nV/√Hz"
    en_corner = "100 Hz"
    in = "1 pA/√Hz"
    """
    )
    found = noise(parts, 'at = "out", referred_to = "src"', f'{WARM}\nspot = "100 Hz"')
    wanted = 2 * 25e-18 * 121 + 1e-24 * 1e8 + 4 * K * 300 * 1e4 * 11
    assert found.density == pytest.approx(wanted, rel=1e-9)
    assert found.referred is not None
    assert found.referred.density == pytest.approx(wanted / 100, rel=1e-9)


def test_slopes_are_not_resistors() -> None:
    """rpi and ro have no thermal noise: of a biased transistor only two shot noises count."""
    found = noise(STAGE.replace("beta = 200", 'beta = 200, va = "80 V"'), 'at = "out"')
    assert {p.source.key for p in found.parts} == {"Rs", "rb_Q1", "b_Q1", "c_Q1", "Rc"}
