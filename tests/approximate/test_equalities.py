"""Symbols stated to be alike: what is written for what, what cancels then, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.approximate.reduce import approximate
from derive.derivation.analyse import derive_all
from derive.derivation.wording import verdict
from derive.errors import DescriptionError
from derive.spoken import spoken
from tests.asking import Asked
from tests.networks import circuit

BRIDGE = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "10k", between = ["in", "a"] }
R2 = { resistor = "4.7k", between = ["a", "gnd"] }
R3 = { resistor = "10.1k", between = ["in", "b"] }
R4 = { resistor = "4.71k", between = ["b", "gnd"] }
G1 = { transconductance = "10 mS", from = ["out", "gnd"], sense = ["a", "b"] }
Rl = { resistor = "1k", between = ["out", "gnd"] }
"""
PAIR = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", collector = "c1", emitter = "e", gm = "40 mS", rpi = "5k" }
Q2 = { bjt = "npn", base = "in", collector = "c2", emitter = "e", gm = "39 mS", rpi = "5.2k" }
R1 = { resistor = "4.7k", between = ["c1", "gnd"] }
R2 = { resistor = "4.75k", between = ["c2", "gnd"] }
Rt = { resistor = "100k", between = ["e", "gnd"] }
"""
GAIN = 'A: gain = { from = "in", to = "out" }'
COMMON = 'A: gain = { from = "in", to = "c1" }'


def same(*texts: str) -> tuple[str, ...]:
    return tuple(f'that = "{text}"' for text in texts)


def asked(parts: str, question: str, *statements: str) -> Asked:
    return Asked(circuit(parts, question, assume=same(*statements)))


def test_one_symbol_is_written_for_the_other() -> None:
    """R1 = R2: the one that stands first in the description stays."""
    for text in ("R1 = R3", "R3 = R1"):
        found = asked(BRIDGE, GAIN, text)
        reduced = found.reduced("A")
        assert reduced.ratio == found.formula("G1*Rl*(R4/(R1 + R4) - R2/(R1 + R2))")
        assert float(found.statements[0].equalities[0].value) == pytest.approx(10 / 10.1 if text[1] == "1" else 1.01)


def test_a_matched_bridge_balances_exactly() -> None:
    for texts in (("R1 = R3", "R2 = R4"), ("R1*R4 = R2*R3",), ("R1/R2 = R3/R4",)):
        found = asked(BRIDGE, GAIN, *texts)
        reduced = found.reduced("A")
        assert reduced.spectrum is not None
        assert reduced.spectrum.numerator == (0,)
        effects = approximate(found.exact("A"), found.statements, found.ground).effects
        assert effects[-1].together.worst == 1, "an answer of zero is wrong by the whole"


def test_chains_of_equalities_do_not_depend_on_their_order() -> None:
    for texts in (("R1 = R3", "R3 = Rl"), ("R3 = Rl", "R1 = R3"), ("Rl = R1", "R3 = R1")):
        found = asked(BRIDGE, GAIN, *texts)
        assert found.reduced("A").ratio == found.formula("G1*R1*(R4/(R1 + R4) - R2/(R1 + R2))")


def test_a_factor_between_them() -> None:
    found = asked(BRIDGE, GAIN, "R1 = 2*R2")
    assert found.reduced("A").ratio == found.formula("G1*Rl*(R4/(R3 + R4) - 1/3)")


def test_current_gains_alike() -> None:
    """beta is gm rpi: the last of the four symbols is written by the others."""
    found = asked(PAIR, COMMON, "beta_Q1 = beta_Q2", "gm_Q1 = gm_Q2")
    other = asked(PAIR, COMMON, "gm_Q1 = gm_Q2", "rpi_Q1 = rpi_Q2")
    devices = asked(PAIR, COMMON, "Q1 = Q2")
    assert found.reduced("A").ratio == other.reduced("A").ratio == devices.reduced("A").ratio


def test_common_mode_gain_of_a_matched_pair() -> None:
    """-RC/(2 RT): P. R. Gray and others, "Analysis and Design of Analog Integrated Circuits", 5th edition, section
    3.5.5, for beta and gm RT large (from memory). Two resistances of 2 RT, one for each half.
    """
    found = asked(PAIR, COMMON, "Q1 = Q2", "gm_Q1*Rt >> 1", "beta_Q1 >> 1")
    assert found.reduced("A").ratio == found.formula("-R1/(2*Rt)")
    result = approximate(found.exact("A"), found.statements, found.ground)
    assert result.error.worst < 0.02
    assert verdict(found.statements[0], result.effects[0].alone.worst) == "holds"


def test_ratios_follow_the_equality() -> None:
    """R3 >> R2 and R1 = R3: then R1 >> R2 as well."""
    found = asked(BRIDGE, GAIN, "R1 = R3", "R3 >> R2", "R1 >> R4")
    assert found.reduced("A").ratio == found.formula("G1*Rl*(R4 - R2)/R1")


@pytest.mark.parametrize(
    ("texts", "fragment"),
    [
        (("R1 = R2", "R1 >> R2"), "A1 and A2 contradict"),
        (("R1 = R3", "R3 >> R2", "R2 = R4", "R4 >> R1"), "A1 and A2 and A3 and A4 contradict"),
        (("R1 = R3", "Rl >> R2", "R1 = 2*R3"), "A1 and A3 contradict"),
        (("R1 = R1",), "itself"),
        (("R1 = R2 + R3",), "a sum"),
        (("R1 = G1",), "unit"),
        (("R1*R1 = R2*R2",), "power one"),
        (("R1 = R9",), "no symbol R9"),
        (("R1 = Vs",), "Vs is a signal"),
    ],
)
def test_refused(texts: tuple[str, ...], fragment: str) -> None:
    with pytest.raises(DescriptionError) as caught:
        _ = asked(BRIDGE, GAIN, *texts).statements
    assert fragment in str(caught.value)
    assert caught.value.line is not None


@pytest.mark.parametrize(
    ("parts", "text", "fragment"),
    [
        (PAIR, "Q1 = R1", "Q1 is a bjt"),
        (PAIR, "Q1 = Q1", "itself"),
        (PAIR.replace('rpi = "5k"', 'rpi = "5k", ro = "100k"'), "Q1 = Q2", "only one of them has ro_Q1"),
        (PAIR + 'D1 = { diode = "silicon", anode = "e", cathode = "gnd", rd = "1k" }\n', "Q1 = D1", "one kind"),
    ],
)
def test_devices_refused(parts: str, text: str, fragment: str) -> None:
    with pytest.raises(DescriptionError) as caught:
        _ = asked(parts, COMMON, text).statements
    assert fragment in str(caught.value)


def test_what_nearly_cancels_is_told_with_the_symbols_that_may_be_matched() -> None:
    found = asked(BRIDGE + 'Rd = { resistor = "1M", between = ["a", "b"] }\n', GAIN, "Rd >> R1")
    (derivation,) = derive_all(found.prepared).derivations
    told = " ".join(spoken(words) for words in derivation.remarks)
    assert "Nearly cancels: the numerator's sum without s" in told
    assert "R2 = R4 (alike within 0.21 %) with R1 = R3 (alike within 0.99 %)" in told


def test_positive_feedback_near_one() -> None:
    """1 - A with A = 0.999: a term that is small beside either is not small beside the difference."""
    parts = """
Is = { signal = "current", between = ["gnd", "a"] }
R1 = { resistor = "10k", between = ["a", "gnd"] }
R2 = { resistor = "RTWO", between = ["a", "b"] }
R3 = { resistor = "10", between = ["b", "gnd"] }
G1 = { transconductance = "99.9 µS", from = ["gnd", "a"], sense = ["a", "gnd"] }
"""
    close = Asked(circuit(parts.replace("RTWO", "1M"), 'Z: impedance = { at = "a" }', assume=("R2 >> R1", "R2 >> R3")))
    reduced = close.reduced("Z")
    assert ("denominator", 0) in reduced.kept_whole
    assert not [d for d in reduced.dropped if d.part == "denominator"]
    exact = close.exact("Z").spectrum
    assert reduced.spectrum is not None
    assert abs(reduced.spectrum.exactly_at(Fraction(0)) / exact.exactly_at(Fraction(0)) - 1) < Fraction(1, 1000)
    (derivation,) = derive_all(close.prepared).derivations
    assert "Kept whole" in " ".join(spoken(words) for words in derivation.remarks)
