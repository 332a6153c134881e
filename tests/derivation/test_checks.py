"""Steps cannot be made without evidence, and the checks can fail."""

from __future__ import annotations

from fractions import Fraction
from math import nan

import pytest

from derive.derivation.checks import EXACT, MEASURED, approximate, equal, remark
from derive.errors import Defect
from derive.expression.parse import parse_expression
from derive.words import Line

POINT = {"R1": Fraction(2), "R2": Fraction(3)}


def line(left: str | None, right: str, sign: str = "=") -> Line:
    return Line(None if left is None else parse_expression(left), sign, parse_expression(right))


def test_an_equality_is_evaluated() -> None:
    step = equal(("by hand",), (line("R1 || R2", "R1*R2/(R1 + R2)"), line(None, "6/5")), (), [POINT])
    assert step.evidence == EXACT


@pytest.mark.parametrize(
    "lines",
    [
        (line("R1", "R2"),),
        (line("R1 + R2", "5"), line(None, "R1*R2")),
        (line("R1", "R1", "≈"),),
    ],
)
def test_a_false_equality_is_a_defect(lines: tuple[Line, ...]) -> None:
    with pytest.raises(Defect, match="does not hold"):
        equal(("by hand",), lines, (), [POINT])


def test_one_bad_point_is_enough() -> None:
    with pytest.raises(Defect):
        equal((), (line("R1", "2"),), (), [POINT, {**POINT, "R1": Fraction(4)}])


def test_an_approximation_needs_a_measured_error() -> None:
    assert approximate((), (line("R1", "R2", "≈"),), (), 0.5, ()).evidence == MEASURED
    with pytest.raises(Defect, match="without a measured error"):
        approximate((), (line("R1", "R2", "≈"),), (), nan, ())


def test_a_remark_claims_nothing() -> None:
    assert remark(("said",)).lines == ()
