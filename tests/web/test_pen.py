"""MathML: golden pieces, and the same decisions as on paper."""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings

from derive.expression.tree import Call, Num, Parallel, Power, Product, Quotient, S, Sum, Sym, Volt
from derive.typeset.math import Setter
from derive.typeset.spelling import Spelling
from derive.web.pen import MATHML
from tests.typeset import reader

SPELLING = Spelling.of(["R1", "gm_Q1", "rpi_Q1", "beta_Q1"], ["Q1"], ["out"])
ONE = Num(Fraction(1))
R1, GM, RPI = Sym("R1"), Sym("gm_Q1"), Sym("rpi_Q1")
R1_ML = "<msub><mrow><mi>R</mi></mrow><mrow><mn>1</mn></mrow></msub>"
GM_ML = "<msub><mrow><mi>g</mi></mrow><mrow><mi>m1</mi></mrow></msub>"
TIMES = "<mo>\u2062</mo>"
PAPER = Spelling.of(reader.SYMBOLS, reader.DEVICES, reader.NODES, reader.NAMES)
GOLDEN = [
    (R1, R1_ML),
    (Product((GM, R1)), GM_ML + TIMES + R1_ML),
    (Quotient(ONE, GM), f'<mfrac displaystyle="true"><mrow><mn>1</mn></mrow><mrow>{GM_ML}</mrow></mfrac>'),
    (Power(R1, 2), "<msubsup><mrow><mi>R</mi></mrow><mrow><mn>1</mn></mrow><mn>2</mn></msubsup>"),
    (Parallel((R1, GM)), f'{R1_ML}<mo form="infix">∥</mo>{GM_ML}'),
    (Product((Num(Fraction(-1)), R1)), f'<mo form="prefix">−</mo>{R1_ML}'),
    (Call("sqrt", R1), f"<msqrt>{R1_ML}</msqrt>"),
    (S, "<mrow><mi>s</mi></mrow>"),
    (Volt("out"), "<msub><mrow><mi>v</mi></mrow><mrow><mi>out</mi></mrow></msub>"),
]


@pytest.mark.parametrize(("expr", "written"), GOLDEN)
def test_golden(expr, written):
    assert Setter(SPELLING, "display", MATHML).set(expr).ink == written


def test_brackets_stand_where_they_stand_on_paper():
    expr = Product((R1, Sum((ONE, Product((GM, R1))))))
    ink = Setter(SPELLING, "display", MATHML).set(expr).ink
    assert ink.count(">(<") == ink.count(">)<") == 1


@given(reader.expressions())
@settings(max_examples=150, deadline=None)
def test_both_pens_write_the_same_formula(expr):
    """As many brackets, fractions and roots in MathML as in LaTeX, and well-formed."""
    for style in ("display", "inline"):
        paper = Setter(PAPER, style).set(expr).ink
        ink = Setter(PAPER, style, MATHML).set(expr).ink
        ElementTree.fromstring(f"<math>{ink}</math>")
        assert ink.count(">(<") == len(re.findall(r"\(", paper))
        assert ink.count("<mfrac") == len(re.findall(r"\\[dt]?frac", paper))
        assert ink.count("<msqrt") == paper.count(r"\sqrt")
