"""Algebra as LaTeX: golden fragments, and every bracket checked by reading the algebra back."""

from __future__ import annotations

from fractions import Fraction
from types import ModuleType

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from derive.expression.tree import (
    Call,
    Expr,
    Infinite,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    Sym,
    evaluate,
    negate,
)
from derive.typeset.breaking import fit
from derive.typeset.math import Setter, Style
from derive.typeset.spelling import Spelling
from derive.words import Line

R1, R2, GM, BETA = Sym("R1"), Sym("R2"), Sym("gm_Q1"), Sym("beta_Q1")
ONE, TWO = Num(Fraction(1)), Num(Fraction(2))
SPELLING = Spelling.of(["R1", "R2", "gm_Q1", "beta_Q1"], ["Q1"], ["out"], ["A", "Zin"])
GOLDEN: list[tuple[Expr, Style, str]] = [
    (Parallel((R1, R2)), "display", r"R_{1} \parallel R_{2}"),
    (Product((GM, Parallel((R1, R2)))), "display", r"g_{\mathrm{m1}}\,(R_{1} \parallel R_{2})"),
    (Sum((Parallel((R1, R2)), R1)), "display", r"(R_{1} \parallel R_{2}) + R_{1}"),
    (Sum((R1, negate(R2))), "display", "R_{1} - R_{2}"),
    (negate(Sum((R1, R2))), "display", "-(R_{1} + R_{2})"),
    (Quotient(ONE, GM), "display", r"\frac{1}{g_{\mathrm{m1}}}"),
    (Quotient(R1, Sum((R2, Quotient(ONE, GM)))), "display", r"\frac{R_{1}}{R_{2} + 1/g_{\mathrm{m1}}}"),
    (Quotient(R1, Sum((ONE, Quotient(R1, Sum((R1, R2)))))), "display",
     r"\frac{R_{1}}{1 + \dfrac{R_{1}}{R_{1} + R_{2}}}"),
    (Product((Sum((ONE, Quotient(R1, R2))), R2)), "display", r"\biggl(1 + \frac{R_{1}}{R_{2}}\biggr)\,R_{2}"),
    (Quotient(Sum((R1, R2)), Product((GM, R1))), "inline", r"(R_{1} + R_{2})/(g_{\mathrm{m1}} R_{1})"),
    (Parallel((R1, Quotient(ONE, GM))), "inline", r"R_{1} \parallel 1/g_{\mathrm{m1}}"),
    (Power(Sum((ONE, BETA)), 2), "display", r"(1 + \beta_{1})^{2}"),
    (Power(GM, 2), "display", r"g_{\mathrm{m1}}^{2}"),
    (Power(R1, -1), "display", r"\frac{1}{R_{1}}"),
    (Product((TWO, Num(Fraction(3)), R1)), "display", r"2 \cdot 3 R_{1}"),
    (Product((Num(Fraction(1, 2)), GM)), "display", r"\tfrac{1}{2} g_{\mathrm{m1}}"),
    (Num(Fraction("3.3e-6")), "display", r"3.3 \times 10^{-6}"),
    (Num(Fraction("0.026")), "display", "0.026"),
    (Call("sqrt", Sum((R1, R2))), "display", r"\sqrt{R_{1} + R_{2}}"),
    (Call("log10", R1), "display", r"\log_{10}(R_{1})"),
    (Call("exp", Quotient(R1, R2)), "inline", r"\exp(R_{1}/R_{2})"),
    (Call("abs", Name("A")), "display", r"\lvert A\rvert"),
    (negate(Quotient(R1, R2)), "display", r"-\frac{R_{1}}{R_{2}}"),
    (Infinite(), "display", r"\infty"),
    (Product((Sym("s"), R1)), "display", "s R_{1}"),
]  # fmt: skip


@pytest.mark.parametrize(("expr", "style", "latex"), GOLDEN)
def test_golden(expr: Expr, style: Style, latex: str) -> None:
    assert Setter(SPELLING, style).set(expr).ink == latex


def test_relations_have_their_signs() -> None:
    setter = Setter(SPELLING, "inline")
    statement = Relation(Product((GM, R1)), ">>", ONE)
    assert setter.state(statement).ink == r"g_{\mathrm{m1}} R_{1} \gg 1"
    assert setter.state(Relation(BETA, "->", Infinite())).ink == r"\beta_{1} \to \infty"


def values_of(reader: ModuleType) -> tuple[Spelling, dict[str, Fraction], dict[object, Fraction]]:
    """A spelling, and the same numbers by LaTeX and by symbol."""
    spelling = Spelling.of(reader.SYMBOLS, reader.DEVICES, reader.NODES, reader.NAMES)
    numbers = [Fraction(p) for p in (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31)]
    by_latex = {spelling.spell(atom).latex: number for atom, number in zip(reader.ATOMS, numbers, strict=True)}
    by_symbol: dict[object, Fraction] = {}
    for atom, number in zip(reader.ATOMS, numbers, strict=True):
        by_symbol[atom.name if isinstance(atom, Sym) else atom] = number
    return spelling, by_latex, by_symbol


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), style=st.sampled_from(["display", "inner", "inline"]))
def test_reads_back_as_the_same_value(data: st.DataObject, style: Style, reader: ModuleType) -> None:
    expr = data.draw(reader.expressions())
    spelling, by_latex, by_symbol = values_of(reader)
    try:
        expected = evaluate(expr, by_symbol, {"abs": abs})
    except ZeroDivisionError:
        assume(False)
    assert reader.read(Setter(spelling, style).set(expr).ink, by_latex) == expected


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), width=st.sampled_from([12.0, 18.0, 24.0, 48.0]))
def test_broken_lines_read_back_as_the_same_value(data: st.DataObject, width: float, reader: ModuleType) -> None:
    expr = data.draw(reader.expressions(depth=4, width=6))
    spelling, by_latex, by_symbol = values_of(reader)
    try:
        expected = evaluate(expr, by_symbol, {"abs": abs})
    except ZeroDivisionError:
        assume(False)
    values = {**by_latex}
    values.pop("A")
    assume(Name("A") not in list(_atoms(expr)))
    lines = fit(Line(Name("A"), "=", expr), width, spelling)
    assert reader.read_lines(lines, values) == expected


def _atoms(expr: Expr) -> list[Expr]:
    from derive.expression.tree import walk

    return list(walk(expr))
