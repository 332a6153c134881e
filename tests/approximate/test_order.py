"""Limits commute, except where together they leave 0/0: then they are taken in turn, and the other order is told."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.algebra.spectrum import Spectrum
from derive.approximate.records import Reduced
from derive.derivation.analyse import derive_all
from derive.errors import DescriptionError
from derive.spoken import spoken
from tests.asking import Asked
from tests.networks import circuit

DIVIDER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1k", between = ["in", "out"] }
R2 = { resistor = "2k", between = ["out", "gnd"] }
"""
STAGE = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", collector = "out", emitter = "e", gm = "40 mS", rpi = "5k", ro = "100k" }
Rc = { resistor = "5k", between = ["out", "gnd"] }
Re = { resistor = "1k", between = ["e", "gnd"] }
"""
GAIN = 'A: gain = { from = "in", to = "out" }'


def _value(spectrum: Spectrum | None) -> Fraction | None:
    return None if spectrum is None else spectrum.exactly_at(Fraction(1))


def _both(parts: str, question: str, *limits: str) -> tuple[Reduced, Reduced]:
    """The answer with the limits in their order, and in the opposite one."""
    name = question.partition(":")[0]
    return tuple(Asked(circuit(parts, question, assume=some)).reduced(name) for some in (limits, limits[::-1]))  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("parts", "limits", "values"),
    [
        # Both arms of a divider open: what is left at last decides.
        (DIVIDER, ("R1 -> inf", "R2 -> inf"), (0, 1)),
        # Both arms short: the output is at the input, or at ground.
        (DIVIDER, ("R1 -> 0", "R2 -> 0"), (1, 0)),
        # A base joined to the emitter leaves no control voltage; an ideal device needs none to carry a current.
        (STAGE.replace(', ro = "100k"', ""), ("gm_Q1 -> inf", "rpi_Q1 -> 0"), (-5, 0)),
    ],
)
def test_where_the_order_matters(parts: str, limits: tuple[str, str], values: tuple[int, int]) -> None:
    for found, (here, there) in zip(_both(parts, GAIN, *limits), (values, values[::-1]), strict=True):
        assert found.in_order
        assert _value(found.spectrum) == here
        assert _value(found.reverse) == there


@pytest.mark.parametrize(
    "limits",
    [
        ("beta_Q1 -> inf", "gm_Q1 -> inf"),
        ("ro_Q1 -> inf", "gm_Q1 -> inf"),
        ("ro_Q1 -> inf", "beta_Q1 -> inf"),
        ("Re -> 0", "Rc -> inf"),
    ],
)
def test_where_it_does_not(limits: tuple[str, str]) -> None:
    first, second = _both(STAGE, GAIN, *limits)
    assert not first.in_order
    assert not second.in_order
    assert first.spectrum == second.spectrum
    assert first.ratio == second.ratio


def test_an_infinite_answer_is_infinite_in_every_order() -> None:
    for found in _both(DIVIDER, 'Z: impedance = { at = "out", without = ["R1"] }', "R2 -> inf"):
        assert found.spectrum is None
        assert not found.in_order


def test_the_sheet_tells_the_other_order() -> None:
    found = derive_all(Asked(circuit(DIVIDER, GAIN, assume=("R1 -> inf", "R2 -> inf"))).prepared)
    told = " ".join(spoken(words) for words in found.derivations[0].remarks)
    assert "The order of the limits matters" in told
    assert "In the opposite order the answer would be 1.000." in told


FOLLOWER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", collector = "gnd", emitter = "out", gm = "40 mS", rpi = "5k" }
RE = { resistor = "1k", between = ["out", "gnd"] }
"""
ZIN = 'Zin: impedance = { at = "in" }'


def test_beta_to_infinity_is_refused_where_the_answer_rises_with_it() -> None:
    """Zin of an emitter follower is beta RE; the advice, followed, gives just that."""
    with pytest.raises(DescriptionError) as caught:
        derive_all(Asked(circuit(FOLLOWER, ZIN, assume=("beta_Q1 -> inf",))).prepared)
    assert "A1: beta_Q1 -> inf makes Zin infinite" in caught.value.what
    assert "gm_Q1*RE >> 1 and beta_Q1 >> 1" in caught.value.remedy
    assert caught.value.line is not None
    advised = Asked(circuit(FOLLOWER, ZIN, assume=("gm_Q1*RE >> 1", "beta_Q1 >> 1")))
    assert advised.reduced("Zin").ratio == advised.formula("beta_Q1*RE")


def test_beta_to_infinity_is_taken_where_the_answer_stays() -> None:
    found = derive_all(Asked(circuit(FOLLOWER, GAIN, assume=("beta_Q1 -> inf",))).prepared)
    reduced = found.derivations[0].approximate
    assert reduced is not None
    assert reduced.reduced.spectrum is not None


def test_a_statement_about_a_removed_symbol_is_measured_and_unused() -> None:
    found = Asked(circuit(STAGE, GAIN, assume=("ro_Q1 -> inf", "ro_Q1 >> Rc", "gm_Q1*Re >> 1")))
    assert found.statements[1].ratio == 20
    analysis = derive_all(found.prepared)
    (derivation,) = analysis.derivations
    assert derivation.approximate is not None
    assert [effect.used for effect in derivation.approximate.effects] == [True, False, True]
    assert "A2 changed nothing more" in spoken(derivation.remarks[0])


def test_a_statement_that_touches_no_answer_is_said_to_be_unused() -> None:
    parts = STAGE + 'Rx = { resistor = "1k", between = ["in", "gnd"] }\n'
    analysis = derive_all(Asked(circuit(parts, GAIN, assume=("Rc >> Rx",))).prepared)
    assert analysis.worst_alone(1) is None
