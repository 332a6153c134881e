"""Dimensions, against those of the SI."""

from __future__ import annotations

import pytest

from derive.errors import ExpressionError
from derive.expression.dimension import UNITS, check_relation, dimension, in_words
from derive.expression.parse import parse_expression, parse_statement

SYMBOLS = {
    "R1": "Ω",
    "R2": "Ω",
    "C1": "F",
    "L1": "H",
    "gm": "S",
    "beta": "1",
    "VA": "V",
    "Ic": "A",
    "k": "A/V²",
}


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("gm*R1", "1"),
        ("R1*C1", "s"),
        ("1/(R1*C1)", "rad/s"),
        ("L1/R1", "s"),
        ("sqrt(L1*C1)", "s"),
        ("sqrt(L1/C1)", "Ω"),
        ("VA/Ic", "Ω"),
        ("s*C1", "S"),
        ("s*L1", "Ω"),
        ("R1 || R2 + 1/gm", "Ω"),
        ("beta/gm", "Ω"),
        ("sqrt(2*k*Ic)", "S"),
        ("v(out)*gm", "A"),
        ("VA*Ic", "W"),
        ("w/(2*pi)", "Hz"),
        ("abs(R1)**-1", "S"),
        ("log10(gm*R1)", "1"),
    ],
)
def test_dimensions(text: str, unit: str) -> None:
    assert dimension(parse_expression(text), SYMBOLS) == UNITS[unit]


@pytest.mark.parametrize(
    ("text", "fragments"),
    [
        ("R1 + 1", ["R1 is in ohms", "1 is a pure number"]),
        ("R1 || C1", ["R1 is in ohms", "C1 is in farads"]),
        ("gm*R1 - R2", ["gm*R1 is a pure number", "R2 is in ohms"]),
        ("log10(R1)", ["R1 is in ohms", "log10"]),
        ("R9", ["R9 is not a symbol"]),
    ],
)
def test_terms_that_differ_are_named(text: str, fragments: list[str]) -> None:
    with pytest.raises(ExpressionError) as caught:
        dimension(parse_expression(text), SYMBOLS)
    for fragment in fragments:
        assert fragment in caught.value.what


def test_both_sides_of_a_relation() -> None:
    check_relation(parse_statement("gm*R1 >> 1"), SYMBOLS)
    check_relation(parse_statement("R1 -> inf"), SYMBOLS)
    with pytest.raises(ExpressionError, match=r"R1 is in ohms, 1/gm \+ C1|R1 is in ohms, C1 is in farads"):
        check_relation(parse_statement("R1 >> C1"), SYMBOLS)


def test_a_dimension_without_a_name() -> None:
    assert in_words(dimension(parse_expression("R1**2"), SYMBOLS)) == "in Ω²"
