"""Chance and worst cases against what is known of dividers, resonances and bias points."""

from __future__ import annotations

import time
from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import dblquad

from derive.answers.exact import spectrum
from derive.derivation.analyse import inquiries, prepare
from derive.description.reader import read, read_text
from tests.tolerance.kits import divider, spread, tolerances_of

RAIN = Path(__file__).parents[2] / "worked" / "rain_gauge_stage.toml"
STAGE = """
[parts]
Vs  = {{ signal = "voltage", between = ["src", "gnd"], offset = "1.15 V" }}
Rs  = {{ resistor = "2.2 kΩ", between = ["src", "base"] }}
Q1  = {{ bjt = "npn", base = "base", collector = "out", emitter = "e", beta = {beta}, va = "80 V", \
tolerance = {{ beta = "40 %" }} }}
Re  = {{ resistor = "{re}", between = ["e", "gnd"], tolerance = "1 %" }}
Rc  = {{ resistor = "4.7 kΩ", between = ["out", "vcc"] }}
Vcc = {{ supply = "{vcc}", at = "vcc", tolerance = "5 %" }}
[[question]]
name = "A"
gain = {{ from = "src", to = "out" }}
"""


def test_small_tolerance_of_a_divider() -> None:
    """Equal resistors, uniform within t: the relative standard deviation is t/√6 to first order."""
    found = spread(divider("1 kΩ", "1 kΩ", "1 %"))
    assert found.drawn.deviation / 0.5 == pytest.approx(0.01 / sqrt(6), rel=0.01)
    assert found.rss / 0.5 == pytest.approx(0.01 / sqrt(2), rel=1e-9)


def test_large_tolerance_of_a_divider() -> None:
    """Mean and deviation of R2/(R1 + R2) by integration over both uniform values."""
    t = 0.2
    found = spread(divider("1 kΩ", "3 kΩ", "20 %"))

    def moment(power: int) -> float:
        value, _ = dblquad(lambda x, y: (3 * x / (y + 3 * x)) ** power / (4 * t * t), 1 - t, 1 + t, 1 - t, 1 + t)
        return float(value)

    mean, deviation = moment(1), sqrt(moment(2) - moment(1) ** 2)
    samples = 100_000
    assert found.drawn.mean == pytest.approx(mean, abs=4 * deviation / sqrt(samples))
    assert found.drawn.deviation == pytest.approx(deviation, rel=0.02)
    assert found.worst.road == "corners"
    assert found.worst.highest.value == pytest.approx(3.6 / (3.6 + 0.8), rel=1e-12)
    assert found.worst.lowest.value == pytest.approx(2.4 / (2.4 + 1.2), rel=1e-12)


def test_normal_values_have_a_third_of_the_tolerance() -> None:
    found = spread(divider("1 kΩ", "1 kΩ", "1 %", '[tolerance]\ndistribution = "normal"\n'))
    # Cut off at three standard deviations: the variance is 0.9733 of that of the whole (any table of the normal law).
    assert found.drawn.deviation / 0.5 == pytest.approx(0.01 / 3 / sqrt(2) * sqrt(0.9733), rel=0.01)


def test_the_same_seed_gives_the_same_circuits() -> None:
    first, second = (spread(divider("1 kΩ", "2 kΩ", "5 %")) for _ in range(2))
    assert first.drawn == second.drawn
    other = spread(divider("1 kΩ", "2 kΩ", "5 %", "[tolerance]\nseed = 7\n"))
    assert other.drawn.mean != first.drawn.mean


def test_yield_of_a_divider() -> None:
    """P(A >= 1/2) of equal resistors is one half by symmetry; that of A >= 0.5025 by geometry.

    A >= a is R2 >= c R1 with c = a/(1 - a): in the square of both values the part above a straight line.
    """
    t, a = 0.01, 0.5025
    criteria = "".join(f'[[criterion]]\nof = "A"\nat_least = {limit}\n' for limit in (0.5, a))
    found = tolerances_of(read_text(divider("1 kΩ", "1 kΩ", "1 %", criteria), "test.toml"))
    shares = [s.drawn.yielded for s in found.spreads if s.reading.criterion is not None]
    c = a / (1 - a)
    edge = (1 + t) / c
    # Above the line R2 = c R1 lies a triangle at the corner R1 = 1 - t, R2 = 1 + t.
    above = c * (edge - (1 - t)) ** 2 / 2 / (2 * t) ** 2
    assert shares == pytest.approx([0.5, above], abs=4 * sqrt(0.25 / 100_000))
    assert found.yielded == shares[1]


def test_an_extreme_inside_is_found_by_search() -> None:
    """A series resonance driven at its middle: V(out)/V(in) across R is largest where L and C resonate there."""
    text = """
[about]
spot = "5032.9 Hz"
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
L1 = { inductor = "10 mH", between = ["in", "a"], tolerance = "5 %" }
C1 = { capacitor = "100 nF", between = ["a", "out"], tolerance = "5 %" }
R1 = { resistor = "50 Ω", between = ["out", "gnd"] }
Rp = { resistor = "1 MΩ", between = ["out", "gnd"], tolerance = "1 %" }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""
    found = spread(text)
    assert found.worst.road == "search"
    assert set(found.worst.turning) == {"L1", "C1"}
    assert found.worst.highest.value == pytest.approx(1.0, abs=1e-6)
    f, grid = 5032.9, np.linspace(0.95, 1.05, 201)
    w, r = 2 * pi * f, 50 * 1e6 * 1.01 / (50 + 1e6 * 1.01)
    x = w * 10e-3 * grid[:, None] - 1 / (w * 100e-9 * grid[None, :])
    assert found.worst.lowest.value == pytest.approx(float(np.min(np.abs(r / (r + 1j * x)))), rel=1e-4)


@pytest.mark.parametrize(
    ("cause", "key", "usual"), [("Re", "re", 470.0), ("Vcc", "vcc", 12.0), ("beta of Q1", "beta", 250.0)]
)
def test_the_bias_follows(cause: str, key: str, usual: float) -> None:
    """The sensitivity with the bias following against the whole program run anew on both sides."""
    units = {"re": " Ω", "vcc": " V", "beta": ""}
    values = {"re": "470 Ω", "vcc": "12 V", "beta": 250}

    def gain(factor: float) -> float:
        text = STAGE.format(**{**values, key: f"{usual * factor:.9f}{units[key]}"})
        prepared = prepare(read_text(text, "test.toml"))
        return abs(spectrum(inquiries(prepared)[0], prepared.ground.numbers).at_frequency(1000))

    found = spread(STAGE.format(**values))
    step = 1e-3
    expected = (gain(1 + step) - gain(1 - step)) / (2 * step) / gain(1)
    told = next(one for one in found.influences if one.cause == cause)
    assert told.follows == pytest.approx(expected, rel=1e-4, abs=1e-6)
    assert (told.fixed is None) == (cause != "Re")
    assert found.recheck is not None
    assert found.recheck.solved == found.recheck.tried == 500
    assert found.recheck.worst < 0.02


def test_four_transistors_a_hundred_thousand_times_in_seconds() -> None:
    stages = "\n".join(
        f'Q{n} = {{ bjt = "npn", base = "b{n}", collector = "c{n}", emitter = "e{n}", beta = 200, va = "70 V", '
        f'tolerance = {{ beta = "30 %" }} }}\n'
        f'Rx{n} = {{ resistor = "100 kΩ", between = ["vcc", "b{n}"], tolerance = "1 %" }}\n'
        f'Ry{n} = {{ resistor = "22 kΩ", between = ["b{n}", "gnd"], tolerance = "1 %" }}\n'
        f'Re{n} = {{ resistor = "1 kΩ", between = ["e{n}", "gnd"], tolerance = "1 %" }}\n'
        f'Rc{n} = {{ resistor = "4.7 kΩ", between = ["vcc", "c{n}"], tolerance = "1 %" }}\n'
        f'C{n} = {{ capacitor = "10 µF", between = ["{f"c{n - 1}" if n > 1 else "in"}", "b{n}"], tolerance = "10 %" }}'
        for n in range(1, 5)
    )
    text = f"""[parts]
Vs = {{ signal = "voltage", between = ["in", "gnd"] }}
Vcc = {{ supply = "12 V", at = "vcc" }}
{stages}
[[question]]
name = "A"
gain = {{ from = "in", to = "c4" }}
"""
    began = time.monotonic()
    found = tolerances_of(read_text(text, "test.toml"))
    assert time.monotonic() - began < 30
    assert found.linearised
    assert len(found.causes) == 24
    recheck = found.spreads[0].recheck
    assert recheck is not None
    assert recheck.deviation == pytest.approx(recheck.linear_deviation, rel=0.05)


def test_the_worked_stage() -> None:
    found = tolerances_of(read(RAIN))
    assert found.causes == ("Rs", "beta of Q1", "Re", "Rc", "Vcc")
    for one in found.spreads:
        worst = one.worst
        assert worst.lowest.value is not None
        assert worst.highest.value is not None
        assert worst.lowest.value <= one.drawn.low <= one.reading.nominal <= one.drawn.high <= worst.highest.value
