"""Axes end on round numbers and do not magnify noise."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from derive.plots.looks import typeset
from derive.plots.scales import DECIBEL_STEPS, DEGREE_STEPS, frequencies, linear, logarithmic, tick_label

finite = st.floats(min_value=-400, max_value=400)


@given(st.lists(finite, min_size=1, max_size=20))
def test_a_linear_axis_holds_its_values(values: list[float]) -> None:
    for steps, least in ((DECIBEL_STEPS, 3.0), (DEGREE_STEPS, 10.0)):
        scale = linear(values, steps, least)
        assert scale.low <= min(values) + 1e-6
        assert scale.high >= max(values) - 1e-6
        assert scale.high - scale.low >= least - 1e-9
        assert 3 <= len(scale.ticks) <= 8


@example(3.0, 5.0)
@given(st.floats(min_value=1e-6, max_value=1e12), st.floats(min_value=1, max_value=1e9))
def test_a_logarithmic_axis_holds_its_values(low: float, ratio: float) -> None:
    scale = logarithmic([low, low * ratio])
    assert scale.low <= low * (1 + 1e-6)
    assert scale.high >= low * ratio * (1 - 1e-6)
    assert scale.high / scale.low >= 1.41
    assert 2 <= len(scale.ticks) <= 12
    assert list(scale.ticks) == sorted(scale.ticks)


def test_frequencies_have_decades() -> None:
    scale = frequencies(2.0, 1e6)
    assert (scale.low, scale.high) == (2.0, 1e6)
    assert [round(math.log10(tick)) for tick in scale.ticks] == [1, 2, 3, 4, 5, 6]
    assert len(frequencies(1e-3, 1e12).ticks) <= 10
    assert len(frequencies(1100, 4000).ticks) >= 1


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (20.0, "Hz", "20 Hz"),
        (2e4, "Hz", "20 kHz"),
        (1e6, "Ω", "1 MΩ"),
        (-2.5, "dB", "−2.5 dB"),
        (0.0, "°", "0°"),
        (4.7e-3, "S", "4.7 mS"),
    ],
)
def test_tick_labels(value: float, unit: str, text: str) -> None:
    assert tick_label(value, unit) == text


def test_labels_beyond_the_prefixes_are_mathematics() -> None:
    assert typeset(tick_label(1e16, "Hz")) == r"10 $\times$ 10$^{15}$ Hz"
    assert typeset(tick_label(1e-18, "F")) == r"1 $\times$ 10$^{-18}$ F"
    assert typeset("V²") == "V$^{2}$"
