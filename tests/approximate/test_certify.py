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
from derive.derivation.analyse import analyse, tolerances
from derive.document.compose.certified import of_answer, of_short_form
from derive.errors import DescriptionError
from derive.record import record
from derive.spoken import spoken
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


def test_a_branch_that_is_left_out() -> None:
    """One for an RLC low-pass of quality 20: the error is |1/H - 1| = |(jω)²LC + jωRC|, largest at the top with all
    parts at their upper ends.
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


def test_a_resonance_that_moves_with_its_parts() -> None:
    """R for a series circuit near its resonance: |R - Z|/|Z| = |X|/√(R² + X²) with X = ωL - 1/(ωC)."""
    parts = """
    R1 = { resistor = "50 Ω", between = ["in", "a"], tolerance = "5 %" }
    L1 = { inductor = "10 mH", between = ["a", "b"], tolerance = "1 %" }
    C1 = { capacitor = "10 nF", between = ["b", "gnd"], tolerance = "1 %" }
    """
    about = 'band = ["15.9 kHz", "15.95 kHz"]\nspot = "15.91 kHz"'
    _, proved = certified(parts, 'Z: impedance = { at = "in" }', ['short = ["L1"]', 'short = ["C1"]'], about)

    def error(f: float, r: float, both: float) -> float:
        x = 2 * pi * f * 10e-3 * both - 1 / (2 * pi * f * 10e-9 * both)
        return abs(x) / hypot(r, x)

    ends = (15.9e3, 15.95e3)
    assert above(proved.band, max(error(f, 50, 1) for f in ends), 0.1)
    assert above(proved.tolerances, max(error(f, 47.5, both) for f in ends for both in (0.99, 1.01)), 0.15)


def test_a_notch_is_told_by_its_peak() -> None:
    """1 for a notch H without loss: |1 - H|/|H| has no bound. Where |H| is just a thousandth of its peak of about one
    it is a thousand, and closer by, relative to the peak, it is one.
    """
    parts = """
    Vs = { signal = "voltage", between = ["in", "gnd"] }
    R1 = { resistor = "1 kΩ", between = ["in", "out"], tolerance = "5 %" }
    L1 = { inductor = "10 mH", between = ["out", "m"] }
    C1 = { capacitor = "10 nF", between = ["m", "gnd"] }
    """
    found, proved = certified(parts, GAIN, ["C1 -> 0"], 'band = ["1 kHz", "30 kHz"]\nspot = "1 kHz"')
    assert found.error.small
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


@pytest.mark.parametrize("quality", [10, 100, 1000])
def test_a_ridge_is_told_truly_or_given_up(quality: int) -> None:
    """A resonance that L and C move by a tenth, and a copy with twice the loss: |e| = 1/2 at resonance, less elsewhere.

    The worst lies on a surface that is as thin as the resonance is sharp.
    """
    names = ("s", "L", "C")
    s, ell, c = flint.fmpq_mpoly_ctx.get(names, "lex").gens()
    loss, rest = s * c / (quality * flint.fmpq(10**4)), 1 + s**2 * ell * c / flint.fmpq(10**8)
    exact, other = (Sides(names, 0 * s + 1, rest + loss * count) for count in (1, 2))
    found = search(exact, other, (Fraction(1000), Fraction(3000)), [Fraction(1, 10)] * 2)
    assert 0.499 < found.largest <= 0.5 + 1e-9
    assert (found.bound is None and quality > 100) or above(found.bound, 0.5, 1)
    assert found.boxes <= certify_search.EFFORT + certify_search.BATCH


def test_boxes_bound_what_lies_in_them() -> None:
    """Random quotients: no point of a box is outside its bounds, and small boxes are bound closely."""
    random = np.random.default_rng(5)
    names = ("s", "a", "b")
    context = flint.fmpq_mpoly_ctx.get(names, "lex")
    for _ in range(20):
        sides = [
            context.from_dict(
                {tuple(map(int, random.integers(0, 3, 3))): flint.fmpq(int(random.integers(1, 50))) for _ in range(6)}
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
            # The points of this test are rounded too.
            assert found.lower[0] * (1 - 1e-9) <= size <= found.upper[0] * (1 + 1e-9)
        narrow = quotient.bound(middle, radius * 1e-6)
        assert narrow.lower[0] * (1 - 1e-4) <= narrow.middle[0] <= narrow.upper[0] <= narrow.middle[0] * 1.002


def test_what_was_proved_in_words_and_in_the_record() -> None:
    """With the symbols and their tolerances; true where asked in [about], unless the question says otherwise."""
    again = GAIN.replace("A:", "B:") + "\ncertify = false"
    analysis = analyse(circuit(RC, GAIN, again, assume=["C1 -> 0"], about=ABOUT + "\ncertify = true"))
    told = [[spoken(paragraph.words) for paragraph in of_answer(d, analysis)] for d in analysis.derivations]
    assert told == [
        [
            "The error is certified: below 13 % from 20 Hz to 2 kHz, and below 15 % over all tolerances "
            "(R1 5 % and C1 10 %)."
        ],
        [],
    ]
    found = record(analysis, {})["answers"]
    assert found["A"]["certified"] == {"band": 0.13, "tolerances": 0.15}
    assert found["B"]["certified"] is None


@pytest.mark.parametrize(("parts", "assume", "words"), [
    (RC.replace(', tolerance = "5 %"', "").replace(', tolerance = "10 %"', ""), "C1 -> 0",
     "not certified over tolerances: no part that bears on this answer has a stated tolerance."),
    (RC, "R1 -> inf", "not certified from 20 Hz to 2 kHz: the error is infinite."),
])  # fmt: skip
def test_what_is_not_proved_says_why(parts: str, assume: str, words: str) -> None:
    analysis = analyse(circuit(parts, 'Z: impedance = { at = "in" }' if "inf" in assume else GAIN,
                               assume=[assume], about=ABOUT + "\ncertify = true"))  # fmt: skip
    [paragraph] = of_answer(analysis.derivations[0], analysis)
    assert spoken(paragraph.words).endswith(words)


def test_an_exact_answer_needs_no_certificate() -> None:
    analysis = analyse(circuit(RC, GAIN, about=ABOUT + "\ncertify = true"))
    [paragraph] = of_short_form(analysis.derivations[0], analysis)
    assert "no error to certify" in spoken(paragraph.words)


def test_a_short_form_is_certified_as_it_is_printed() -> None:
    """A divider within 5 %: R2/R1 for R2/(R1 + R2), off by 3 % and over the tolerances by 3.0 %·1.02/0.99 at most."""
    parts = """
    Vs = { signal = "voltage", between = ["in", "gnd"] }
    R1 = { resistor = "10 kΩ", between = ["in", "out"], tolerance = "1 %" }
    R2 = { resistor = "300 Ω", between = ["out", "gnd"], tolerance = "2 %" }
    """
    analysis = analyse(circuit(parts, GAIN + '\nwithin = "5 %"\ncertify = true', about=ABOUT))
    shortened = analysis.derivations[0].shortened
    assert shortened is not None
    assert shortened.certified is not None
    assert above(shortened.certified.band, 0.03, 0.1)
    assert above(shortened.certified.tolerances, 0.03 * 1.02 / 0.99, 0.1)
    [paragraph] = of_short_form(analysis.derivations[0], analysis)
    assert spoken(paragraph.words).startswith("The error of the short form is certified: below 3.1 %")
    assert record(analysis, {})["answers"]["A"]["short"]["certified"]["tolerances"] == shortened.certified.tolerances


def test_certify_is_true_or_false() -> None:
    with pytest.raises(DescriptionError, match="neither true nor false; write true or false"):
        circuit(RC, GAIN + '\ncertify = "yes"', about=ABOUT)
