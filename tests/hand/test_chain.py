"""Chains of equalities, real quantities, long answers, limits that part, and what is told of each."""

from __future__ import annotations

from math import pi

import pytest

from derive.check import Checker, claims_of, told
from derive.description.reader import read_text
from derive.errors import ExpressionError
from derive.hand.judge import judge
from derive.hand.verdicts import Judged
from derive.hand.worth import Side
from tests.hand.circuits import EXACT, OWN, STAGE, matter_of, written

DESCRIPTION = (
    "[about]\n[parts]"
    + STAGE
    + '[[question]]\nname = "A"\ngain = { from = "b", to = "c" }\n'
    + '[[question]]\nname = "Zin"\nimpedance = { at = "b", without = ["Rs"] }\n'
)
LOW_PASS = """[about]
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "10 kΩ", between = ["in", "out"] }
C1 = { capacitor = "10 nF", between = ["out", "gnd"] }
[[question]]
name = "H"
gain = { from = "in", to = "out" }
"""


@pytest.fixture(scope="module")
def stage() -> Checker:
    return Checker(read_text(DESCRIPTION, "stage.toml"))


@pytest.fixture(scope="module")
def low_pass() -> Checker:
    return Checker(read_text(LOW_PASS, "low_pass.toml"))


def test_the_line_with_the_slip_is_found(stage: Checker) -> None:
    text = """Rx = Rc || RL
    A = -beta_Q1*Rx/(rpi_Q1 + (beta_Q1 + 1)*Re)
    = -beta_Q1*(Rc + RL)/(rpi_Q1 + (beta_Q1 + 1)*Re)
    = -beta_Q1*(Rc + RL)/Re"""
    found = stage.check("A", text)
    assert [link.holds for link in found.links] == [True, False, False]
    assert found.slip_at == 1
    assert not found.holds
    repair = found.diagnosis and found.diagnosis.repair
    assert repair is not None
    assert (repair.slip, repair.finding.kind) == ("series", "exact")
    assert "The slip is in line 3. It would be right with Rc || RL instead of Rc + RL" in told(found)


def test_two_slips_that_cancel_do_not_pass(stage: Checker) -> None:
    right = "-beta_Q1*(Rc || RL)/(rpi_Q1 + (beta_Q1 + 1)*Re)"
    found = stage.check("A", f"A = {right}\n= beta_Q1*(Rc || RL)/(rpi_Q1 + (beta_Q1 + 1)*Re)\n= {right}")
    assert found.result.kind == "exact"
    assert not found.holds
    assert [link.holds for link in found.links] == [True, False, False]


def test_an_approximate_line_carries_its_error(stage: Checker) -> None:
    found = stage.check("A", "A = -beta_Q1*(Rc || RL)/(rpi_Q1 + (beta_Q1 + 1)*Re)\n≈ -gm_Q1*(Rc || RL)/(1 + gm_Q1*Re)")
    error = found.links[1].finding.error
    assert found.holds
    assert error is not None
    # With beta = 140 and gm Re = 3: 1 - alpha = 1/141 of the emitter's share, 3/4 of it here.
    assert error.spot == pytest.approx(3 / 4 / 140, rel=0.01)
    assert [str(each.relation.left.name) for each in found.result.silent] == ["beta_Q1"]  # type: ignore[union-attr]


def test_a_magnitude_is_right_to_fifty_digits(low_pass: Checker) -> None:
    found = low_pass.check("H", "1/sqrt(1 + (w*R1*C1)**2)")
    assert (found.result.kind, found.result.proof, found.result.read) == ("exact", "digits", "magnitude")
    assert low_pass.check("H", "1/sqrt(1 + (2*pi*f*R1*C1)**2)").result.kind == "exact"
    wrong = low_pass.check("H", "1/sqrt(1 - (w*R1*C1)**2)")
    assert wrong.result.kind == "wrong"
    repair = wrong.diagnosis and wrong.diagnosis.repair
    assert repair is not None
    assert repair.slip == "sign"


def test_w_in_even_powers_goes_back_into_s(low_pass: Checker) -> None:
    found = low_pass.check("H", "(1 - s*R1*C1)/(1 + w**2*R1**2*C1**2)")
    assert (found.result.kind, found.result.proof) == ("exact", "polynomials")


def test_an_approximation_says_where_it_holds() -> None:
    found = Checker(read_text(LOW_PASS.replace("[about]", '[about]\nspot = "50 Hz"'), "low.toml")).check("H", "≈ 1")
    assert found.result.kind == "wrong"
    assert found.result.inside is not None
    # |1 - H|/|H| = w R C: within 5 % up to 0.05/(2 pi R C), 79.6 Hz.
    assert found.result.inside == (20, pytest.approx(79.6, rel=0.05))
    spot = found.result.error
    assert spot is not None
    assert spot.spot == pytest.approx(2 * pi * 50 * 1e-4, rel=1e-9)


def test_decibels_for_a_ratio(low_pass: Checker) -> None:
    found = low_pass.check("H", "20*log10(1/sqrt(1 + (w*R1*C1)**2))")
    repair = found.diagnosis and found.diagnosis.repair
    assert not found.holds
    assert repair is not None
    assert repair.slip == "decibels"


def test_where_no_slip_fits_the_limits_are_told(stage: Checker) -> None:
    found = stage.check("Zin", "(Re + R1)*R2/(rpi_Q1 + RL) + Rc")
    assert found.diagnosis is not None
    assert found.diagnosis.repair is None
    assert found.diagnosis.disagree
    assert "No single slip of the usual kinds explains it. For " in told(found)


def test_long_answers_are_compared_in_a_field() -> None:
    known = next(k for k in EXACT if k.name == OWN[5][0])
    matter = matter_of(known)
    side = Side(matter.ground.ring, matter.ground.numbers, known.tree)
    bare = Side(
        matter.ground.ring, matter.ground.numbers, None, matter.exact.inquiry, known_spectrum=matter.exact.spectrum
    )
    from derive.hand.equality import proof_of

    assert proof_of(side, bare, matter.network.symbols) == "field"
    wrong = Side(matter.ground.ring, matter.ground.numbers, written("-(" + known.formula + ")").links[0].value)
    assert proof_of(wrong, bare, matter.network.symbols) is None


def test_parameters_of_the_bias_stand_for_what_follows_from_them() -> None:
    text = DESCRIPTION.replace('gm = "20 mS", rpi = "7 kΩ"', 'ic = "0.5 mA", beta = 140')
    found = Checker(read_text(text, "stage.toml")).check("A", "-(Ic_Q1/VT)*(Rc || RL)/(1 + Re/rpi_Q1 + Ic_Q1*Re/VT)")
    assert (found.result.kind, found.result.proof) == ("exact", "digits")


def test_another_question_is_not_answered(stage: Checker) -> None:
    with pytest.raises(ExpressionError, match="it is about Zin, and A was named"):
        stage.check("A", "Zin = R1")


def test_claims_of_a_file() -> None:
    assert claims_of("# one\nA = R1/R2\n  = R1/R2\n\nZ ≈ R1\nA = 2", ["A", "Z"]) == [
        (2, "A", "A = R1/R2\n  = R1/R2"), (5, "Z", "Z ≈ R1"), (6, "A", "A = 2"),
    ]  # fmt: skip
    with pytest.raises(ExpressionError, match="line 1: a claim begins with the name of a question"):
        claims_of("R1/R2", ["A"])


def test_the_tolerance_decides(stage: Checker) -> None:
    text = "A ≈ -(Rc || RL)/Re"
    assert not stage.check("A", text).holds
    loose: Judged = stage.check("A", text, 0.5)
    assert loose.holds
    assert loose.result.kind == "close"
    assert judge(stage.matter("A"), loose.hand, text, tolerance=0.5).holds
