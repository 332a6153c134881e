"""Certified bounds where the true worst error is known in closed form, and where a proof must fail."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import hypot, pi

import flint
import numpy as np
import pytest

from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.approximate import certify_search
from derive.approximate.axis import place_of
from derive.approximate.certify import certify
from derive.approximate.certify_band import holds_over_band, never_negative
from derive.approximate.certify_box import Quotient
from derive.approximate.certify_search import search
from derive.approximate.certify_sides import Sides, sides_of_inquiry, sides_of_ratio
from derive.approximate.records import Approximate, Certified
from derive.approximate.reduce import approximate
from derive.derivation.analyse import tolerances
from tests.asking import Asked
from tests.networks import circuit

RC = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"], tolerance = "5 %" }
C1 = { capacitor = "10 nF", between = ["out", "gnd"], tolerance = "10 %" }
"""
ABOUT = 'band = ["20 Hz", "2 kHz"]\nspot = "100 Hz"'
GAIN = 'A: gain = { from = "in", to = "out" }'


def certified(parts: str, question: str, assume: Sequence[str], about: str = ABOUT) -> tuple[Approximate, Certified]:
    asked = Asked(circuit(parts, question, assume=assume, about=about))
    name = question.partition(":")[0]
    found = approximate(asked.exact(name), asked.statements, asked.ground)
    proved = certify(asked.exact(name), found, asked.statements, asked.ground, tolerances(asked.circuit))
    return found, proved


def spectrum(above: Sequence[object], below: Sequence[object]) -> Spectrum:
    return from_coefficients([Fraction(a) for a in above], [Fraction(b) for b in below])  # type: ignore[arg-type]


def above(bound: float | None, true: float, by: float) -> bool:
    """Whether a bound is proved, not below the true value, and above it by no more than a part."""
    return bound is not None and true <= bound <= true * (1 + by)


def test_one_for_a_low_pass() -> None:
    """|1 - 1/(1 + jx)|/|1/(1 + jx)| = x = ωRC, so with 5 % and 10 % at worst 1.05·1.1·ωRC at the top of the band."""
    found, proved = certified(RC, GAIN, ["C1 -> 0"])
    x = 2 * pi * 2000 * 1e-5
    assert found.error.worst == pytest.approx(x)
    assert above(proved.band, x, 0.1)
    assert above(proved.tolerances, 1.05 * 1.1 * x, 0.1)
    assert proved.symbols == (("R1", Fraction(1, 20)), ("C1", Fraction(1, 10)))


def test_a_divider() -> None:
    """R2/R1 for R2/(R1 + R2): the error is R2/R1, with 1 % and 2 % at worst R2/R1·1.02/0.99."""
    parts = """
    Vs = { signal = "voltage", between = ["in", "gnd"] }
    R1 = { resistor = "10 kΩ", between = ["in", "out"], tolerance = "1 %" }
    R2 = { resistor = "300 Ω", between = ["out", "gnd"], tolerance = "2 %" }
    """
    _, proved = certified(parts, GAIN, ["R1 >> R2"])
    assert above(proved.band, 0.03, 0.1)
    assert above(proved.tolerances, 0.03 * 1.02 / 0.99, 0.1)


def test_a_resonance_that_moves_with_its_parts() -> None:
    """An RLC low-pass of quality 20 taken without its L and C: the error is |x² - jx/Q| with x = f/f0.

    |1 - H|/|H| = |1/H - 1| = |(jω)²LC + jωRC|, largest at the top with all parts at their upper ends.
    """
    parts = """
    Vs = { signal = "voltage", between = ["in", "gnd"] }
    R1 = { resistor = "50 Ω", between = ["in", "a"], tolerance = "5 %" }
    L1 = { inductor = "10 mH", between = ["a", "out"], tolerance = "10 %" }
    C1 = { capacitor = "10 nF", between = ["out", "gnd"], tolerance = "10 %" }
    """
    _, proved = certified(parts, GAIN, ["C1 -> 0"], 'band = ["100 Hz", "100 kHz"]\nspot = "1 kHz"')
    w = 2 * pi * 100e3
    assert above(proved.band, hypot(w**2 * 1e-10, w * 5e-7), 0.1)
    assert above(proved.tolerances, hypot(w**2 * 1e-10 * 1.21, w * 5e-7 * 1.155), 0.1)


def test_the_inverse_of_a_resonance() -> None:
    """1/H for the branch to ground: here the exact answer is the resonance itself, of which one is a bad copy.

    Z of L, C and R in series against R alone: |R - Z|/|Z|; with X = ωL - 1/(ωC) that is |X|/√(R² + X²) below one.
    """
    parts = """
    R1 = { resistor = "50 Ω", between = ["in", "a"], tolerance = "5 %" }
    L1 = { inductor = "10 mH", between = ["a", "b"], tolerance = "10 %" }
    C1 = { capacitor = "10 nF", between = ["b", "gnd"], tolerance = "10 %" }
    """
    about = 'band = ["15.9 kHz", "15.95 kHz"]\nspot = "15.91 kHz"'
    ends = [Fraction("15.9e3"), Fraction("15.95e3")]
    limits = ['short = ["L1"]', 'short = ["C1"]']
    _, proved = certified(parts, 'Z: impedance = { at = "in" }', limits, about)

    def error(f: float, r: float, c: float) -> float:
        x = 2 * pi * f * 10e-3 - 1 / (2 * pi * f * 10e-9)
        del r, c
        return abs(x) / hypot(50, x)

    assert above(proved.band, max(error(float(f), 1, 1) for f in ends), 0.1)
    reactance = 2 * pi * 15.95e3 * 11e-3 - 1 / (2 * pi * 15.95e3 * 11e-9)
    other = 2 * pi * 15.9e3 * 9e-3 - 1 / (2 * pi * 15.9e3 * 9e-9)
    worst = max(abs(x) / hypot(47.5, x) for x in (reactance, other))
    assert above(proved.tolerances, worst, 0.1)


def test_a_notch_is_told_by_its_peak() -> None:
    """A notch without loss moves with its parts; |1 - H|/|H| is without bound, relative to the peak it is not."""
    parts = """
    Vs = { signal = "voltage", between = ["in", "gnd"] }
    R1 = { resistor = "1 kΩ", between = ["in", "out"], tolerance = "5 %" }
    L1 = { inductor = "10 mH", between = ["out", "m"], tolerance = "5 %" }
    C1 = { capacitor = "10 nF", between = ["m", "gnd"], tolerance = "5 %" }
    """
    found, proved = certified(parts, GAIN, ["C1 -> 0"], 'band = ["1 kHz", "30 kHz"]\nspot = "1 kHz"')
    assert found.error.small
    # Where |H| is a thousandth of the peak, which is nearly one, 1 for H is off by a thousand times.
    assert above(proved.band, found.error.worst, 0.11)
    assert above(proved.tolerances, found.error.worst, 0.2)


def test_an_answer_too_long_to_write_is_certified_from_its_diagram() -> None:
    """The same polynomials come from the diagram and from the written ratio."""
    asked = Asked(circuit(RC, GAIN, about=ABOUT))
    exact, names = asked.exact("A"), ("s", "R1", "C1")
    assert exact.ratio is not None
    numbers = asked.ground.numbers
    one, other = sides_of_inquiry(exact.inquiry, names, numbers), sides_of_ratio(exact.ratio, names, numbers)
    assert one.above * other.below == one.below * other.above
    assert one.at_nominal() == exact.spectrum


def test_a_false_bound_is_not_proved() -> None:
    """The error of 1 for 1/(1 + jωτ) is ωτ: a bound a millionth below it at the top is not proved, one above it is."""
    one, low_pass = spectrum([1], [1]), spectrum([1], [1, Fraction(1, 10**6)])
    band = Fraction(20), Fraction(20_000)
    true = Fraction(2 * pi) * band[1] / 10**6
    for factor, proved in ((1 + Fraction(1, 10**6), True), (1 - Fraction(1, 10**6), False)):
        assert holds_over_band(one, low_pass, band, true * factor, place_of(20)) is proved


def test_a_narrow_excess_is_found() -> None:
    """Two resonances of quality 10⁶ that differ by 1/1000 at one frequency: a bound below that is not proved."""
    w0 = Fraction(2 * pi) * 7919
    exact, other = (spectrum([1], [1, 1 / (w0 * q), 1 / w0**2]) for q in (10**6, 999_000))
    band = Fraction(7000), Fraction(9000)
    assert holds_over_band(other, exact, band, Fraction("0.001001"), None)
    assert not holds_over_band(other, exact, band, Fraction("0.000999"), None)


def test_bernstein_coefficients_decide() -> None:
    """(x - 1)² + e on [0, 3] has a negative coefficient though it is positive; halved at 1 it has none."""
    side = flint.fmpq_poly([1 + flint.fmpq(1, 100), -2, 1])
    one, three = flint.fmpq(1), flint.fmpq(3)
    assert not never_negative(side, 0 * one, three)
    assert never_negative(side, 0 * one, one)
    assert never_negative(side, one, three)
    assert not never_negative(side - flint.fmpq(1, 50), 0 * one, one)


def test_effort_that_is_exceeded_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(certify_search, "EFFORT", 1)
    monkeypatch.setattr(certify_search, "BATCH", 1)
    _, proved = certified(RC, GAIN, ["C1 -> 0"])
    assert proved.tolerances is None
    assert proved.why == "not within the effort"
    assert proved.band is not None


def test_a_bound_with_many_tolerances_at_a_sharp_resonance_is_given_up_or_true() -> None:
    """Quality 1000 and parts of 10 %: the worst lies on a thin ridge; whatever is told is above what is found."""
    names = ("s", "L", "C")
    context = flint.fmpq_mpoly_ctx.get(names, "lex")
    s, ell, c = context.gens()
    w0 = flint.fmpq(10**4)
    exact = Sides(names, context.constant(1), 1 + s / (1000 * w0) * c + s**2 * ell * c / w0**2)
    other = Sides(names, context.constant(1), context.constant(1) + s**2 * ell * c / w0**2 + s / (500 * w0) * c)
    band = Fraction(1000), Fraction(3000)
    found = search(exact, other, band, [Fraction(1, 10), Fraction(1, 10)])
    # |e| = |d - n|/|n'| with d - n = jωC/(500 w0) - …: at the resonance the copy is half as high, e = 1/2.
    assert found.largest <= 0.5 + 1e-9
    assert above(found.bound, 0.5, 0.1)


def test_boxes_bound_what_lies_in_them() -> None:
    """Random quotients: no point of a box is outside its bounds, and small boxes are bound closely."""
    random = np.random.default_rng(5)
    names = ("s", "a", "b")
    context = flint.fmpq_mpoly_ctx.get(names, "lex")
    for _ in range(20):
        sides = [
            context.from_dict(
                {
                    tuple(map(int, random.integers(0, 3, 3))): flint.fmpq(int(random.integers(1, 50)))
                    for _ in range(6)
                }
            )
            for _ in range(2)
        ]
        quotient = Quotient(sides[0] - sides[1], sides[1], Fraction(1))
        middle, radius = random.uniform(-1, 1, (1, 3)), random.uniform(0.001, 0.2, (1, 3))
        found = quotient.bound(middle, radius)
        deltas = np.vstack([random.uniform(-1, 1, (300, 3)), np.array(np.meshgrid(*[[-1, 1]] * 3)).reshape(3, -1).T])
        for point in np.exp(middle + deltas * radius):
            values = []
            for side in sides:
                terms = side.to_dict().items()
                s, r, c_ = 1j * point[0], point[1], point[2]
                values.append(sum(float(c) * s ** int(e[0]) * r ** int(e[1]) * c_ ** int(e[2]) for e, c in terms))
            size = abs((values[0] - values[1]) / values[1])
            assert found.lower[0] * (1 - 1e-9) <= size <= found.upper[0] * (1 + 1e-9)
        narrow = quotient.bound(middle, radius * 1e-6)
        assert narrow.upper[0] <= narrow.middle[0] * (1 + 1e-3) + 1e-4


DESCRIBED = """
[about]
title = "Certified"
{about}
[parts]
{parts}
[[question]]
name = "A"
gain = {{ from = "in", to = "out" }}
{question}
[[assume]]
that = "C1 -> 0"
"""
