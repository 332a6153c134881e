"""Feedback theory, extra elements and time constants as the textbooks give them.

Gray: P. R. Gray, P. J. Hurst, S. H. Lewis, R. G. Meyer, "Analysis and Design of Analog Integrated Circuits", 5th
edition. Sedra: A. S. Sedra, K. C. Smith, "Microelectronic Circuits", 7th edition. Middlebrook: R. D. Middlebrook, "Null
double injection and the extra element theorem", IEEE Trans. Education 32 (1989) 167. Vorpérian: V. Vorpérian, "Fast
Analytical Techniques for Electrical and Electronic Circuits", 2002. All from memory.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from derive.algebra.ratio import Ratio
from derive.document.compose.constants import constant_blocks, corner_words
from derive.document.records import Paragraph
from derive.explain.asymptotic import Asymptotic
from derive.explain.blackman import Blackman, NoProduct
from derive.explain.constants import Corner
from derive.explain.derived import Derived
from derive.explain.theory import Theory, theory
from derive.spoken import spoken
from tests.asking import Asked
from tests.networks import circuit

VOLTAGE = 'Vs = { signal = "voltage", between = ["in", "gnd"] }\n'
CURRENT = 'Is = { signal = "current", between = ["in", "gnd"] }\n'


DEVICE = 'gm = "40 mS", rpi = "2.5 kΩ", cpi = "20 pF", cmu = "2 pF"'


def theory_of(parts: str, *questions: str, about: str = "") -> tuple[Asked, dict[str, Theory]]:
    asked = Asked(circuit(parts.replace("DEVICE", DEVICE), *questions, about=about))
    found = {q.name: theory(asked.prepared, q, thorough=False) for q in asked.circuit.questions}
    return asked, {name: one for name, one in found.items() if one is not None}


def same(piece: Derived, asked: Asked, formula: str) -> None:
    ratio = piece.exact.ratio
    assert isinstance(ratio, Ratio)
    assert ratio == asked.formula(formula), formula


TRANSRESISTANCE = (
    CURRENT
    + """
Q1 = { bjt = "npn", base = "in", collector = "out", emitter = "gnd", gm = "40 mS", rpi = "2.5 kΩ" }
Rf = { resistor = "20 kΩ", between = ["in", "out"] }
Rc = { resistor = "5 kΩ", between = ["out", "gnd"] }
"""
)


def test_shunt_shunt_stage() -> None:
    """Gray, section 8.8 (return ratio of the shunt–shunt stage, Blackman's formula for its ports; from memory):
    T = gm rpi Rc/(rpi + Rf + Rc), A_inf = -Rf, and with the source dead rpi ∥ (Rf + Rc) times a divider.
    Shorting either port takes the return ratio away, so that each port is its dead impedance over 1 + T.
    """
    asked, found = theory_of(
        TRANSRESISTANCE,
        'A: gain = { from = "Is", to = "out" }\nloop = "gm_Q1"',
        'Zin: impedance = { at = "in", without = ["Is"] }',
        'Zout: impedance = { at = "out" }',
    )
    ratio = "gm_Q1*rpi_Q1*Rc/(rpi_Q1 + Rf + Rc)"
    gain = found["A"].around
    assert isinstance(gain, Asymptotic)
    assert gain.chosen
    same(gain.ratio, asked, ratio)
    same(gain.ideal, asked, "-Rf")
    same(gain.dead, asked, "(rpi_Q1 || (Rf + Rc))*Rc/(Rf + Rc)")
    for name, dead in (("Zin", "rpi_Q1 || (Rf + Rc)"), ("Zout", "Rc || (Rf + rpi_Q1)")):
        port = found[name].around
        assert isinstance(port, Blackman)
        same(port.dead, asked, dead)
        same(port.opened, asked, ratio)
        same(port.shorted, asked, "0")
        assert asked.exact(name).ratio == asked.formula(f"({dead})/(1 + {ratio})")


SERIES_SHUNT = (
    VOLTAGE
    + """
Q1 = { bjt = "npn", base = "in", collector = "c1", emitter = "e1", gm = "20 mS", rpi = "10 kΩ" }
Q2 = { bjt = "pnp", base = "c1", collector = "out", emitter = "gnd", gm = "40 mS", rpi = "5 kΩ" }
R1 = { resistor = "10 kΩ", between = ["c1", "gnd"] }
R2 = { resistor = "4.7 kΩ", between = ["out", "gnd"] }
Re = { resistor = "100 Ω", between = ["e1", "gnd"] }
Rf = { resistor = "1 kΩ", between = ["out", "e1"] }
"""
)


def test_series_shunt_pair() -> None:
    """Sedra, section 11.4, Gray, section 8.6.1 (from memory): around the second transistor the ideal gain is 1 + Rf/Re;
    the loop is around the output, raises the input impedance and lowers the output impedance.
    """
    asked, found = theory_of(
        SERIES_SHUNT,
        'A: gain = { from = "in", to = "out" }\nloop = "gm_Q2"',
        'Zin: impedance = { at = "in" }\nloop = "gm_Q2"',
        'Zout: impedance = { at = "out" }\nloop = "gm_Q2"',
        'Auto: gain = { from = "in", to = "out" }',
    )
    gain, zin, zout = (found[name].around for name in ("A", "Zin", "Zout"))
    assert isinstance(gain, Asymptotic)
    assert isinstance(zin, Blackman)
    assert isinstance(zout, Blackman)
    # With gm_Q2 without limit no current flows in R1 and rpi_Q2: Q1 carries none, so its emitter follows the base.
    same(gain.ideal, asked, "1 + Rf/Re")
    same(zout.shorted, asked, "0")
    assert zout.opened.exact.ratio == gain.ratio.exact.ratio
    same(zout.dead, asked, "R2 || (Rf + (Re || (rpi_Q1/(1 + beta_Q1))))")
    assert abs(zin.factor) > 1 > abs(zout.factor)
    # Port open: no base current, so that Q1 does not conduct and nothing comes back.
    same(zin.opened, asked, "0")
    same(zin.dead, asked, "rpi_Q1 + (beta_Q1 + 1)*(Re || (Rf + R2))")
    assert found["Auto"].loop in ("gm_Q1", "gm_Q2")


def test_shunt_series_pair() -> None:
    """Gray, section 8.6.3 (from memory): a current amplifier: with gm_Q1 without limit the input is a virtual ground
    and the emitter current of the second transistor is -(1 + Rf/Re) times the signal's.
    """
    parts = (
        CURRENT
        + """
Q1 = { bjt = "npn", base = "in", collector = "c1", emitter = "gnd", gm = "20 mS", rpi = "10 kΩ" }
Q2 = { bjt = "npn", base = "c1", collector = "gnd", emitter = "e2", gm = "40 mS", rpi = "5 kΩ" }
R1 = { resistor = "10 kΩ", between = ["c1", "gnd"] }
Re = { resistor = "1 kΩ", between = ["e2", "gnd"] }
Rf = { resistor = "10 kΩ", between = ["e2", "in"] }
"""
    )
    asked, found = theory_of(
        parts, 'A: gain = { from = "Is", to = "e2" }\nloop = "gm_Q1"', 'Zin: impedance = { at = "in" }'
    )
    gain = found["A"].around
    assert isinstance(gain, Asymptotic)
    same(gain.ideal, asked, "-Rf")
    zin = found["Zin"].around
    assert isinstance(zin, Blackman)
    assert abs(zin.factor) < 1
    same(zin.shorted, asked, "0")


def test_dead_source_leaves_nothing() -> None:
    """The gate of a follower with its gate resistor to the output, whose only load is a source that senses the gate:
    with that source dead no current flows, the impedance is infinite, and the budget of the port is taken."""
    parts = """
J1 = { jfet = "n-channel", gate = "g", drain = "gnd", source = "out", gm = "4 mS" }
Rg = { resistor = "1 MΩ", between = ["g", "out"] }
G1 = { transconductance = "1 mS", from = ["out", "gnd"], sense = ["g", "gnd"] }
"""
    _, found = theory_of(parts, 'Z: impedance = { at = "g" }\nloop = "G1"')
    around = found["Z"].around
    assert isinstance(around, NoProduct)
    assert around.dead == "infinite"
    assert around.budget is not None
    assert sum(share.share for share in around.budget.shares) == pytest.approx(1)


def test_extra_element_of_a_common_emitter_stage() -> None:
    """Middlebrook's and Vorpérian's example (from memory): the capacitance from base to collector as the extra element:
    Z_d = (Rs ∥ rpi)(1 + gm Rc) + Rc, Z_n = -1/gm, which puts the zero into the right half plane.
    """
    parts = (
        VOLTAGE
        + """
Rs = { resistor = "1 kΩ", between = ["in", "b"] }
Q1 = { bjt = "npn", base = "b", collector = "out", emitter = "gnd", gm = "40 mS", rpi = "2.5 kΩ" }
Rc = { resistor = "4.7 kΩ", between = ["out", "gnd"] }
Cmu = { capacitor = "2 pF", between = ["b", "out"] }
"""
    )
    asked, found = theory_of(parts, 'A: gain = { from = "in", to = "out" }\nextra = "Cmu"')
    one = found["A"].extra
    assert one is not None
    assert one.reference == "open"
    same(one.without, asked, "-gm_Q1*Rc*rpi_Q1/(rpi_Q1 + Rs)")
    assert one.driving is not None
    assert one.nulled is not None
    same(one.driving, asked, "(Rs || rpi_Q1)*(1 + gm_Q1*Rc) + Rc")
    same(one.nulled, asked, "-1/gm_Q1")
    zero = found["A"].roots.zeros[0]
    assert zero.value.real == pytest.approx(40e-3 / 2e-12)
    assert {o.symbol for o in zero.leading} == {"Cmu", "gm_Q1"}


def test_extra_element_in_series_takes_the_short_as_reference() -> None:
    """A coupling capacitor: open, nothing passes, so the dual form is taken (Vorpérian, chapter 3; from memory)."""
    parts = (
        VOLTAGE
        + """
Cc = { capacitor = "1 µF", between = ["in", "a"] }
R1 = { resistor = "1 kΩ", between = ["a", "out"] }
R2 = { resistor = "2 kΩ", between = ["out", "gnd"] }
"""
    )
    asked, found = theory_of(parts, 'H: gain = { from = "in", to = "out" }\nextra = "Cc"')
    one = found["H"].extra
    assert one is not None
    assert one.reference == "short"
    same(one.without, asked, "R2/(R1 + R2)")
    assert one.driving is not None
    same(one.driving, asked, "R1 + R2")
    assert one.nulled is None


def corner(found: Theory, end: str) -> Corner:
    assert found.constants is not None
    return next(c for c in found.constants.corners if c.end == end)


def test_open_circuit_time_constants_of_a_common_emitter_stage() -> None:
    """Gray, section 7.3.2, Sedra, section 10.4.3 (from memory): R of Cpi = Rs ∥ rpi; R of Cmu = R + Rc + gm R Rc with
    that R; the sum is the coefficient of s."""
    parts = (
        VOLTAGE
        + """
Rs = { resistor = "1 kΩ", between = ["in", "b"] }
Q1 = { bjt = "npn", base = "b", collector = "out", emitter = "gnd", DEVICE }
Rc = { resistor = "4.7 kΩ", between = ["out", "gnd"] }
"""
    )
    asked, found = theory_of(parts, 'A: gain = { from = "in", to = "out" }')
    upper = corner(found["A"], "upper")
    seen = {c.part: c.seen for c in upper.constants}
    same(seen["Cpi_Q1"], asked, "Rs || rpi_Q1")
    same(seen["Cmu_Q1"], asked, "(Rs || rpi_Q1)*(1 + gm_Q1*Rc) + Rc")
    assert upper.nature == "single"
    assert upper.by_sum == pytest.approx(upper.true, rel=0.02)
    assert upper.constants[0].part == "Cmu_Q1"


def test_time_constants_of_a_cascode() -> None:
    """Gray, section 7.3.3 (from memory): the cascode takes away the Miller effect: the capacitance of the input device
    from base to collector sees (Rs ∥ rpi)(1 + gm1/gm2·α) and little more, not gm Rc times it."""
    parts = (
        VOLTAGE
        + """
Rs = { resistor = "1 kΩ", between = ["in", "b"] }
Q1 = { bjt = "npn", base = "b", collector = "mid", emitter = "gnd", DEVICE }
Q2 = { bjt = "npn", base = "gnd", collector = "out", emitter = "mid", DEVICE }
Rc = { resistor = "4.7 kΩ", between = ["out", "gnd"] }
"""
    )
    asked, found = theory_of(parts, 'A: gain = { from = "in", to = "out" }')
    upper = corner(found["A"], "upper")
    seen = {c.part: c.seen for c in upper.constants}
    emitter = "(rpi_Q2/(1 + beta_Q2))"
    same(seen["Cmu_Q1"], asked, f"(Rs || rpi_Q1)*(1 + gm_Q1*{emitter}) + {emitter}")
    same(seen["Cpi_Q2"], asked, emitter)
    same(seen["Cmu_Q2"], asked, "Rc")
    assert upper.true is not None
    assert upper.by_sum < upper.true, "for real poles the sum of time constants is on the safe side"


def test_short_circuit_time_constants() -> None:
    """Gray, section 7.3.5; Sedra, section 10.1.2 (from memory): the emitter's bypass sees Re ∥ (rpi + Rs)/(beta + 1),
    the coupling capacitor Rs + rpi; the sum of their inverses is the lower corner."""
    parts = (
        VOLTAGE
        + """
Rs = { resistor = "1 kΩ", between = ["in", "a"] }
Ci = { capacitor = "10 µF", between = ["a", "b"] }
Rb = { resistor = "47 kΩ", between = ["b", "gnd"] }
Q1 = { bjt = "npn", base = "b", collector = "out", emitter = "e", gm = "40 mS", rpi = "2.5 kΩ" }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
Ce = { capacitor = "100 µF", between = ["e", "gnd"] }
Rc = { resistor = "4.7 kΩ", between = ["out", "gnd"] }
"""
    )
    asked, found = theory_of(parts, 'A: gain = { from = "in", to = "out" }')
    lower = corner(found["A"], "lower")
    seen = {c.part: c.seen for c in lower.constants}
    same(seen["Ce"], asked, "Re || ((rpi_Q1 + (Rs || Rb))/(beta_Q1 + 1))")
    same(seen["Ci"], asked, "Rs + (Rb || rpi_Q1)")
    assert lower.constants[0].part == "Ce"
    assert lower.true is not None
    assert abs(lower.error or 1) < 0.1


def test_complex_poles_are_told() -> None:
    """A second-order low-pass of unity gain with Q = sqrt(C1/C2)/2 = 5: the sum of time constants is no corner."""
    parts = (
        VOLTAGE
        + """
R1 = { resistor = "10 kΩ", between = ["in", "a"] }
R2 = { resistor = "10 kΩ", between = ["a", "p"] }
C1 = { capacitor = "100 nF", between = ["a", "out"] }
C2 = { capacitor = "1 nF", between = ["p", "gnd"] }
U1 = { opamp = "ideal", plus = "p", minus = "out", out = "out" }
"""
    )
    _, found = theory_of(
        parts, 'H: gain = { from = "in", to = "out" }', about='spot = "1 Hz"\nband = ["0.1 Hz", "10 Hz"]'
    )
    assert corner(found["H"], "upper").nature == "complex"
    pole = found["H"].roots.poles[0]
    assert pole.quality == pytest.approx(5.0)
    # omega0 = 1/sqrt(R1 R2 C1 C2), Q = sqrt(C1/C2)/2 for equal resistors: each moves with its textbook exponent.
    moves = {o.symbol: o for o in pole.owners}
    assert moves["C1"].sensitivity.real == pytest.approx(-0.5)
    assert (moves["C1"].quality, moves["C2"].quality) == (pytest.approx(0.5), pytest.approx(-0.5))
    assert moves["R1"].quality == pytest.approx(0.0, abs=1e-9)


FOLLOWER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
J1 = { jfet = "n-channel", gate = "in", drain = "gnd", source = "out", gm = "4 mS", cgs = "4 pF", cgd = "2 pF" }
Rk = { resistor = "470", between = ["out", "tap"] }
Rl = { resistor = "4.7 kΩ", between = ["tap", "gnd"] }
Rg = { resistor = "10 MΩ", between = ["in", "tap"] }
"""


def test_bootstrapped_follower() -> None:
    """Sedra, section 7.3.6 and common practice: the gate resistor to the tap of a source resistor appears as
    Rg/(1 - A), A = gm Rl/(1 + gm (Rk + Rl)); Cgs as Cgs (1 - A_out)."""
    _, found = theory_of(FOLLOWER, 'Z: impedance = { at = "in" }', 'A: gain = { from = "in", to = "out" }')
    boots = {one.symbol: one for one in found["Z"].bootstraps.found}
    assert set(boots) == {"Rg", "Cgs_J1"}
    follows = 4e-3 * 4700 / (1 + 4e-3 * 5170)
    assert boots["Rg"].resistance == pytest.approx(10e6 / (1 - follows), rel=1e-3)
    assert (boots["Rg"].near, boots["Rg"].far) == ("in", "tap")
    out = 4e-3 * 5170 / (1 + 4e-3 * 5170)
    assert boots["Cgs_J1"].capacitance == pytest.approx(4e-12 * (1 - out), rel=1e-3)
    assert not boots["Rg"].negative
    assert boots["Rg"].share is not None
    assert abs(boots["Rg"].share) < abs(boots["Rg"].share_held or 0)
    assert 2 * pi * boots["Cgs_J1"].high > 4e-3 / 4e-12 / 10
    error = found["A"].errors[0]
    assert (error.part, error.pins) == ("J1", ("gate", "source"))
    assert error.ratio.spot.real == pytest.approx(1 - out, rel=1e-3)


def test_negative_input_capacitance_is_named() -> None:
    """A capacitor from the output of a gain of two to its input appears as minus its value: 1 - A = -1."""
    parts = """
U1 = { opamp = "ideal", plus = "in", minus = "m", out = "out" }
Ra = { resistor = "10 kΩ", between = ["out", "m"] }
Rb = { resistor = "10 kΩ", between = ["m", "gnd"] }
Rs = { resistor = "10 kΩ", between = ["in", "gnd"] }
Cn = { capacitor = "10 pF", between = ["in", "out"] }
"""
    _, found = theory_of(parts, 'Z: impedance = { at = "in" }')
    (one,) = found["Z"].bootstraps.found
    assert one.symbol == "Cn"
    assert one.capacitance == pytest.approx(-10e-12)
    assert one.negative == ("capacitance",)


def test_parts_in_series_with_the_signal_are_no_bootstraps() -> None:
    """Both ends of a coupling capacitor and of a small series resistor move together, and neither is a bootstrap."""
    parts = (
        VOLTAGE
        + """
Rs = { resistor = "10", between = ["in", "a"] }
Cc = { capacitor = "10 µF", between = ["a", "out"] }
Rl = { resistor = "10 kΩ", between = ["out", "gnd"] }
"""
    )
    _, found = theory_of(parts, 'A: gain = { from = "in", to = "out" }')
    assert found["A"].bootstraps.found == ()


def test_no_corners_where_the_spot_lies_in_no_mid_band() -> None:
    """The same low-pass with its spot at the pole: with C2 shorted and C1 open nothing comes through, and there is no
    mid-band to have corners around."""
    parts = (
        VOLTAGE
        + """
R1 = { resistor = "82 kΩ", between = ["in", "a"] }
R2 = { resistor = "82 kΩ", between = ["a", "p"] }
C1 = { capacitor = "100 nF", between = ["a", "out"] }
C2 = { capacitor = "22 nF", between = ["p", "gnd"] }
U1 = { opamp = "ideal", plus = "p", minus = "out", out = "out" }
"""
    )
    _, found = theory_of(
        parts, 'H: gain = { from = "in", to = "out" }', about='spot = "41.4 Hz"\nband = ["1 Hz", "1 kHz"]'
    )
    constants = found["H"].constants
    assert constants is not None
    assert constants.corners == ()
    ((end, why),) = constants.refused
    assert end == "both"
    assert "the spot lies in no mid-band" in why
    said = [spoken(block.words) for block in constant_blocks(constants) if isinstance(block, Paragraph)]
    assert said == [f"None: {why}."]


@pytest.mark.parametrize(("share", "true", "verb"), [
    (0.9, 1e5, "dominates"), (0.6, 1e5, "has the largest part"), (0.9, None, ""), (0.4, 1e5, ""),
])  # fmt: skip
def test_what_a_part_is_said_to_have_of_a_corner(share: float, true: float | None, verb: str) -> None:
    _, found = theory_of(
        VOLTAGE + 'R1 = { resistor = "1 kΩ", between = ["in", "out"] }\n'
        'C1 = { capacitor = "1 nF", between = ["out", "gnd"] }\n'
        'C2 = { capacitor = "1 nF", between = ["out", "gnd"] }\n',
        'A: gain = { from = "in", to = "out" }',
    )
    made = corner(found["A"], "upper")
    first, second = made.constants
    made = replace(made, constants=(replace(first, share=share), replace(second, share=1 - share)), true=true)
    text = spoken(corner_words(made))
    assert [v for v in ("dominates", "has the largest part") if v in text] == ([verb] if verb else [])
