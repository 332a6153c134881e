"""Measured errors of sharp responses: quality factors up to a million, notches, poles that all but meet zeros.

The worst error is compared with samples so dense around every place where it could be high that none is missed: around
the poles and zeros of both responses and of their difference, at distances from a hundredth of the damping upwards.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import zip_longest
from math import inf, pi
from random import Random

import numpy as np
import pytest

from derive.algebra.spectrum import Spectrum, from_coefficients, multiplied, roots
from derive.approximate.error import HOLDS_WITHIN, SMALL, Error, measure
from derive.derivation.wording import error_words, holds_words
from derive.spoken import spoken

BAND = (Fraction(10), Fraction(100_000))
SPOT = Fraction(1000)
LOW, HIGH = float(BAND[0]), float(BAND[1])
CASES = 30


def biquad(f0: Fraction, quality: Fraction) -> list[Fraction]:
    w0 = Fraction(2 * pi) * f0
    return [Fraction(1), 1 / (w0 * quality), 1 / w0**2]


def sections(pairs: list[tuple[Fraction, Fraction]]) -> list[Fraction]:
    result = [Fraction(1)]
    for f0, quality in pairs:
        result = multiplied(result, biquad(f0, quality))
    return result


def sharp(source: Random) -> tuple[Spectrum, Spectrum]:
    """One to three sharp sections over as many or fewer; the first response has some numbers a little off."""

    def number() -> tuple[Fraction, Fraction]:
        return Fraction(round(10 ** source.uniform(1.2, 4.8), 3)), Fraction(round(10 ** source.uniform(0, 6), 2))

    def off(pairs: list[tuple[Fraction, Fraction]]) -> list[tuple[Fraction, Fraction]]:
        return [
            (f * (1 + Fraction(source.randrange(-50, 51), 10 ** source.randrange(3, 9))), q * source.choice([1, 1, 2]))
            for f, q in pairs
        ]

    poles = [number() for _ in range(source.randrange(1, 4))]
    # Half of the zeros lie so close to a pole that the response hardly shows it.
    close = [(f * (1 + Fraction(source.randrange(1, 100), 10**7)), q) for f, q in poles]
    zeros = [source.choice([zero, number()]) for zero in close][: source.randrange(len(poles) + 1)]
    return (
        from_coefficients(sections(off(zeros)), sections(off(poles))),
        from_coefficients(sections(zeros), sections(poles)),
    )


def places(one: Spectrum, other: Spectrum) -> list[float]:
    """Frequencies from end to end of the band, crowded where an error could be high."""
    left = multiplied(one.numerator, other.denominator)
    right = multiplied(other.numerator, one.denominator)
    difference = [a - b for a, b in zip_longest(left, right, fillvalue=Fraction(0))]
    found = list(np.geomspace(LOW, HIGH, 200))
    for root in (*one.poles, *one.zeros, *other.poles, *other.zeros, *roots(difference)):
        centre, damping = abs(root.imag) / (2 * pi), max(abs(root.real) / (2 * pi), abs(root) * 1e-9)
        for distance in (0.0, *np.geomspace(0.01, 1e4, 20)):
            found += [centre + distance * damping, centre - distance * damping]
    return sorted(f for f in found if LOW <= f <= HIGH)


@pytest.mark.parametrize("seed", range(CASES))
def test_no_sample_exceeds_the_worst_error(seed: int) -> None:
    approximate, exact = sharp(Random(f"sharp {seed}"))
    found = measure(approximate, exact, BAND, SPOT)
    points = [*places(approximate, exact), found.at]
    pairs = [(f, approximate.at_frequency(f), exact.at_frequency(f)) for f in points]
    peak = max(abs(value) for _, _, value in pairs)
    errors = {f: abs(a - e) / (abs(e) if abs(e) >= SMALL * peak else peak) for f, a, e in pairs}
    assert max(errors.values()) <= found.worst * (1 + 1e-6) + 1e-12
    assert errors[found.at] == pytest.approx(found.worst, rel=1e-3, abs=1e-12), "and it is reached where it says"
    for f, error in errors.items():
        inside = any(low * (1 + 1e-9) < f < high * (1 - 1e-9) for low, high in found.pieces)
        beside = any(abs(f - edge) <= 1e-9 * f for piece in found.pieces for edge in piece)
        assert beside or inside == (error <= HOLDS_WITHIN), f"within the limit exactly in the bands told, {f} Hz"


def test_a_quality_of_a_million_in_the_difference_alone() -> None:
    """Two resonances of quality 10⁶ and 0.999·10⁶ at one frequency differ by 1/1000 there, and nowhere else."""
    f0, quality = Fraction(7919), Fraction(10**6)
    exact, other = (from_coefficients([Fraction(1)], biquad(f0, q)) for q in (quality, quality * Fraction(999, 1000)))
    found = measure(other, exact, (Fraction(7918), Fraction(7920)), Fraction(7919))
    assert found.worst == pytest.approx(1e-3, rel=1e-6)
    assert found.at == pytest.approx(7919, rel=1e-9)


def test_a_notch_that_is_a_millionth_off() -> None:
    """Beside the two notches the error is of the order of one, though the responses differ by 10⁻⁶ elsewhere."""
    f0, wide = Fraction(500), Fraction(1)
    exact = from_coefficients(biquad(f0, Fraction(10**7)), biquad(f0, wide))
    other = from_coefficients(biquad(f0 * (1 + Fraction(1, 10**6)), Fraction(10**7)), biquad(f0, wide))
    found = measure(other, exact, BAND, SPOT)
    # |e| ≈ 2·10⁻⁶/|exact|, largest where |exact| has come down to a thousandth of the peak.
    assert found.worst == pytest.approx(2e-6 / SMALL, rel=1e-2)
    assert found.small
    assert not found.worst_of_peak


def test_a_resonance_without_loss() -> None:
    """1/(1 - x²): the peak is infinite, so errors are relative to the answer itself; 2 % off is 2 % throughout."""
    exact = from_coefficients([Fraction(1)], [Fraction(1), Fraction(0), 1 / Fraction(6283) ** 2])
    other = from_coefficients([Fraction("1.02")], [Fraction(1), Fraction(0), 1 / Fraction(6283) ** 2])
    assert measure(other, exact, BAND, SPOT).worst == pytest.approx(0.02)
    assert measure(from_coefficients([Fraction(1)], [Fraction(1)]), exact, BAND, SPOT).worst > 1
    assert measure(exact, from_coefficients([Fraction(1)], [Fraction(1)]), BAND, SPOT).worst == inf


def test_a_band_in_two_pieces() -> None:
    """1 for what is 10 % higher at a resonance at 1 kHz: within 5 % below and above, as samples say too."""
    w0 = Fraction(2 * pi) * 1000
    below = [Fraction(1), Fraction(1, 5) / w0, 1 / w0**2]
    exact = from_coefficients([below[0], below[1] * Fraction("1.1"), below[2]], below)
    one = from_coefficients([Fraction(1)], [Fraction(1)])
    found = measure(one, exact, BAND, Fraction(100))
    (start, top), (bottom, end) = found.pieces
    assert (start, end) == (0, inf)
    assert found.holds == found.pieces[0]
    grid = np.geomspace(LOW, HIGH, 40_001)
    bad = grid[np.abs(1 / exact.sample(grid) - 1) > HOLDS_WITHIN]
    assert (top, bottom) == (pytest.approx(bad[0], rel=1e-3), pytest.approx(bad[-1], rel=1e-3))
    told = spoken(holds_words(found))
    assert told.startswith("within 5 % up to ")
    assert ", and again from " in told
    assert measure(one, exact, BAND, SPOT).holds is None
    assert spoken(holds_words(measure(one, exact, BAND, SPOT))).startswith("not within 5 % at the spot, only up to ")


def test_what_is_small_in_the_band_is_not_taken_as_small_beyond() -> None:
    """A low-pass of third order: relative to the peak the error beyond the band would vanish; it is not told so."""
    tau = 1 / (Fraction(2 * pi) * 1000)
    exact = from_coefficients([Fraction(1)], [Fraction(1), 3 * tau, 3 * tau**2, tau**3])
    other = from_coefficients([Fraction(1)], [Fraction(1), 3 * tau, 3 * tau**2])
    found = measure(other, exact, (Fraction(1), Fraction(100_000)), Fraction(10))
    assert found.small
    assert all(high < inf for _, high in found.pieces)


def test_ends_are_rounded_inwards() -> None:
    """A band to 20 794 Hz is told as 20.7 kHz, from 25.996 Hz as 26.0 Hz: never more than was found."""
    told = holds_words(Error(0.0, False, 0.0, 1.0, (25.9964, 20794.4)))
    assert spoken(told) == "within 5 % from 26.0 Hz to 20.7 kHz"


def test_an_error_of_the_peak_is_told_as_such() -> None:
    """A resonance of quality 10⁵ is the peak: beside it all is under a thousandth, and errors say what they are of."""
    f0 = Fraction(7919)
    exact = from_coefficients([Fraction(1)], biquad(f0, Fraction(10**5)))
    other = from_coefficients([Fraction(2)], biquad(f0, Fraction(10**5)))
    found = measure(other, exact, BAND, Fraction(50_000))
    assert found.of_peak
    assert "of the peak; at worst 100 % at 7.9 kHz" in spoken(error_words(found))
