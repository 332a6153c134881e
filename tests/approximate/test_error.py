"""The measured error, on responses whose errors are known in closed form."""

from __future__ import annotations

from fractions import Fraction
from math import inf, pi, sqrt

import numpy as np
import pytest

from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.approximate.error import HOLDS_WITHIN, SMALL, measure

BAND = (Fraction(10), Fraction(10_000))
SPOT = Fraction(1000)


def spectrum(above: list[object], below: list[object]) -> Spectrum:
    return from_coefficients([Fraction(a) for a in above], [Fraction(b) for b in below])  # type: ignore[arg-type]


ONE = spectrum([1], [1])
TAU = Fraction("1e-5")
LOW_PASS = spectrum([1], [1, TAU])


def test_a_constant_error() -> None:
    found = measure(spectrum([Fraction("1.02")], [1]), ONE, BAND, SPOT)
    assert found.spot == pytest.approx(0.02)
    assert found.worst == pytest.approx(0.02)
    assert found.holds == (0.0, inf)


def test_a_neglected_corner() -> None:
    """1 for 1/(1 + s tau): the error is exactly w tau, so worst at the top, and 5 % at 0.05/(2 pi tau)."""
    found = measure(ONE, LOW_PASS, BAND, SPOT)
    assert found.spot == pytest.approx(2 * pi * 1000 * 1e-5)
    assert found.worst == pytest.approx(2 * pi * 10_000 * 1e-5)
    assert found.at == pytest.approx(10_000)
    assert found.holds is None, "at the spot it is over the limit"
    lower = measure(ONE, LOW_PASS, BAND, Fraction(100))
    assert lower.holds is not None
    assert lower.holds[0] == 0
    assert lower.holds[1] == pytest.approx(HOLDS_WITHIN / (2 * pi * 1e-5), rel=1e-3)


def test_a_narrow_resonance_is_not_stepped_over() -> None:
    """A quality of 100 000 between two points of the grid: 1 for 1/(1 + s/(Q w0) + (s/w0)²) is off by about Q."""
    w0, quality = Fraction(7919), 100_000
    resonant = spectrum([1], [1, 1 / (w0 * quality), 1 / w0**2])
    found = measure(resonant, ONE, BAND, SPOT)
    assert found.worst == pytest.approx(quality, rel=1e-3)
    assert found.at == pytest.approx(float(w0) / (2 * pi), rel=1e-6)


def test_an_infinite_answer_has_infinite_error() -> None:
    found = measure(None, ONE, BAND, SPOT)
    assert found.spot == found.worst == inf
    assert found.holds is None


def test_small_values_are_told_relative_to_the_peak() -> None:
    """A zero at the spot: the error there is that of the peak, and says so."""
    w0 = Fraction(6283)
    notch = spectrum([1, 0, 1 / w0**2], [1, 1 / w0, 1 / w0**2])
    spot = w0 / Fraction(pi) / 2
    found = measure(spectrum([Fraction(1, 100)], [1]), notch, BAND, spot)
    assert found.of_peak
    assert found.spot == pytest.approx(0.01, rel=1e-3)


def test_the_worst_error_beside_a_zero_on_the_axis() -> None:
    """1 for a notch: the error is largest where |exact| has just reached a thousandth of its peak, about 1000."""
    w0 = Fraction(6283)
    notch = spectrum([1, 0, 1 / w0**2], [1, 1 / w0, 1 / w0**2])
    found = measure(ONE, notch, BAND, SPOT)
    frequencies = float(w0) / 2 / pi * (1 + np.linspace(-0.002, 0.002, 4001))
    exact = np.abs(notch.sample(frequencies))
    fresh = np.max(np.abs(ONE.sample(frequencies) - notch.sample(frequencies)) / np.where(exact < SMALL, 1.0, exact))
    assert fresh == pytest.approx(1000, rel=0.01)
    assert found.worst >= 0.98 * fresh


def test_an_answer_that_is_zero_has_no_error() -> None:
    """Zero for zero, as at the output of an ideal op amp, is right everywhere."""
    zero = spectrum([0], [1])
    found = measure(zero, zero, BAND, SPOT)
    assert (found.spot, found.worst) == (0, 0)
    assert found.holds == (0.0, inf)


def test_the_spot_may_be_zero() -> None:
    found = measure(ONE, LOW_PASS, BAND, Fraction(0))
    assert found.spot == 0
    assert found.worst == pytest.approx(2 * pi * 10_000 * 1e-5)


def test_errors_are_of_complex_values() -> None:
    """An all-pass has the right magnitude and the wrong phase: |1 - (1-jwt)/(1+jwt)| = sqrt(2) at wt = 1."""
    tau = Fraction(1, 6283)
    found = measure(spectrum([1, -tau], [1, tau]), ONE, BAND, 1 / tau / Fraction(2 * pi))
    assert found.spot == pytest.approx(sqrt(2), rel=1e-9)
