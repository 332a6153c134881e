"""The model of an op amp: its elements, its symbols, its inner node."""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest

from derive.circuit.records import Part, Quantity
from derive.network.opamp import PI, follows, opamp

INPUTS, OUTPUT = ("p", "m"), ("out", "gnd")


def part(out: str = "out", **values: str) -> Part:
    units = {"gain": "1", "gbw": "Hz"}
    stated = {key: Quantity(Fraction(text), units[key], text) for key, text in values.items()}
    return Part("U1", "opamp", "finite", {"plus": "p", "minus": "m", "out": out}, stated, ("parts", "U1"))


def test_without_values_the_output_holds_the_inputs_together() -> None:
    found = opamp(part())
    assert not found.elements
    assert not found.symbols
    assert [(e.current, e.voltage) for e in found.forced] == [(OUTPUT, INPUTS)]


@pytest.mark.parametrize(
    ("values", "law"),
    [
        ({"gain": "2e5"}, {"a0_U1": "ratio"}),
        ({"gbw": "3e6"}, {"tau_U1": "delay"}),
        ({"gain": "2e5", "gbw": "3e6"}, {"a0_U1": "ratio", "tau_U1": "delay"}),
    ],
)
def test_what_is_not_stated_is_not_there(values: dict[str, str], law: dict[str, str]) -> None:
    found = opamp(part(**values))
    one, *losses = found.elements
    assert (one.law, one.symbol, one.current, one.voltage) == ("unity", None, ("gnd", "U1.inner"), INPUTS)
    assert {e.name: e.law for e in losses} == law
    assert all(e.current == e.voltage == ("U1.inner", "gnd") for e in losses)
    assert [(e.current, e.voltage) for e in found.forced] == [(OUTPUT, ("U1.inner", "out"))]


def test_symbols() -> None:
    """tau = 1/(2 pi gbw): 1 MHz gives 159.15 ns."""
    found = {symbol.name: symbol for symbol in opamp(part(gain="2e5", gbw="1e6")).symbols}
    assert {name: (s.unit, s.parameter, s.formula is None) for name, s in found.items()} == {
        "a0_U1": ("1", False, True),
        "gbw_U1": ("Hz", True, True),
        "tau_U1": ("s", False, False),
    }
    assert found["a0_U1"].value == 200_000
    assert float(found["tau_U1"].value) == pytest.approx(159.154943e-9)
    assert found["tau_U1"].value * 2 * PI * found["gbw_U1"].value == 1


def test_pi_to_fifty_digits() -> None:
    with mpmath.workdps(70):
        assert abs(mpmath.mpf(PI.numerator) / PI.denominator - mpmath.pi) < mpmath.mpf(10) ** -50


def test_only_a_finite_op_amp_follows_an_inner_node() -> None:
    """An ideal one whose output is wired to its inverting input holds two nodes of the circuit together."""
    assert follows(opamp(part(gain="10")).forced[0]) == "U1.inner"
    assert follows(opamp(part(out="m")).forced[0]) is None
