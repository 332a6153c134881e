"""Which factors are said to be longer than an eye can hold."""

from __future__ import annotations

import pytest

from derive.explain.stage_words import too_long
from derive.expression.parse import parse_expression


@pytest.mark.parametrize(
    ("text", "long"),
    [
        ("R1/(R1 + R2)", False),
        ("R1*R2*R3*R4*R5*R6", False),
        ("R1*R2*R3*R4*R5*R6*R7", True),
        ("1 + R1/R2 + R3/R2", False),
        ("R4/(1 + R1/R2 + R3/R2 + R1/R3)", True),
    ],
)
def test_six_symbols_and_three_terms(text: str, long: bool) -> None:
    assert too_long(parse_expression(text)) is long
