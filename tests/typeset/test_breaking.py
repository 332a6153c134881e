"""Widths are never underestimated, and nothing runs over."""

from __future__ import annotations

import random
import re
import subprocess
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings

from derive.document.records import Document, Ledger, Paragraph, Row, TitleBlock
from derive.expression.tree import (
    ZERO,
    Call,
    Expr,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Relation,
    S,
    Sum,
    Sym,
    Volt,
    negate,
)
from derive.typeset import compile_pdf, render
from derive.typeset.breaking import fit, fit_lines, portions
from derive.typeset.math import Setter, Style
from derive.typeset.page import TEMPLATES
from derive.typeset.pieces import RELATION
from derive.typeset.spelling import Spelling
from derive.words import Formula, Line

R1, R2, RLOAD, GM, RPI, BETA = (Sym(name) for name in ("R1", "R2", "Rload", "gm_Q1", "rpi_Q1", "beta_Q1"))
ONE = Num(Fraction(1))
SPELLING = Spelling.of(
    ["R1", "R2", "Rload", "gm_Q1", "rpi_Q1", "beta_Q1", "Cpi_Q1"],
    ["Q1"],
    ["out", "Q1.base", "n_1"],
    ["A", "boot", "tau_1"],
)
SIZES = {"display": r"\displaystyle", "inline": ""}
FOLLOWER = Sum((RPI, Product((Sum((BETA, ONE)), R2))))
EXPRESSIONS: list[tuple[Expr, Style]] = [
    (Sum((R1, R2, RLOAD)), "display"),
    (Product((GM, R1, RPI, Sym("Cpi_Q1"))), "display"),
    (Parallel((R1, R2, Quotient(ONE, GM))), "display"),
    (Parallel((R1, R2, Quotient(ONE, GM))), "inline"),
    (Quotient(Product((GM, Parallel((R1, RLOAD)))), Sum((ONE, Product((GM, R2)), Quotient(R2, RPI)))), "display"),
    (Quotient(ONE, Sum((Quotient(ONE, R1), Quotient(ONE, FOLLOWER)))), "display"),
    (Product((Sum((ONE, Quotient(R1, Sum((R1, R2))))), Sum((R1, negate(R2))))), "display"),
    (Power(Sum((R1, Quotient(R2, RLOAD))), 2), "display"),
    (Sum((Power(S, 2), Product((Num(Fraction(2)), S, R1)), Num(Fraction("4.7e-9")))), "display"),
    (Call("sqrt", Product((GM, RPI, R1))), "display"),
    (Call("log10", Call("abs", Name("A"))), "display"),
    (Call("exp", Quotient(R1, R2)), "display"),
    (Call("exp", Sum((R1, R2))), "inline"),
    (Product((Name("boot"), Name("tau_1"), Volt("Q1.base"), Volt("n_1"))), "display"),
    (negate(Quotient(Volt("out"), Volt("Q1.base"))), "display"),
    (Product((Num(Fraction(1, 2)), GM, Power(Name("tau_1"), 3))), "inline"),
    (Call("abs", Quotient(Sum((R1, Quotient(R2, RLOAD))), GM)), "display"),
]  # fmt: skip


@pytest.mark.tex
def test_widths_against_tex(tmp_path: Path) -> None:
    """At least the width that TeX gives, and at most 1.4 times that."""
    preamble, words = ((TEMPLATES / name).read_text("utf-8") for name in ("preamble.tex", "words.tex"))
    preamble = preamble.replace(r'\BLOCK{include "words.tex"}', words)
    pieces = [Setter(SPELLING, style).set(expr) for expr, style in EXPRESSIONS]
    body = "\n".join(
        rf"\sbox0{{${SIZES[style]} {piece.ink}$}}\typeout{{W:\the\wd0:}}"
        for piece, (_, style) in zip(pieces, EXPRESSIONS, strict=True)
    )
    (tmp_path / "widths.tex").write_text(f"{preamble}\n\\begin{{document}}\n{body}\n\\end{{document}}\n", "utf-8")
    run = ["pdflatex", "-interaction=nonstopmode", "-halt-on-error", "-no-shell-escape", "widths.tex"]
    output = subprocess.run(run, cwd=tmp_path, capture_output=True, check=False, timeout=60).stdout.decode()
    true = [float(points) / 10 for points in re.findall(r"W:([0-9.]+)pt:", output)]
    assert len(true) == len(pieces)
    for width, piece in zip(true, pieces, strict=True):
        assert width <= piece.width <= 1.4 * width, piece.ink


def test_what_fits_stays_on_one_line() -> None:
    assert fit(Line(Name("A"), "=", Quotient(R1, R2)), 24, SPELLING) == [r"A & = \frac{R_{1}}{R_{2}}"]


def test_a_sum_breaks_before_its_signs() -> None:
    lines = fit(Line(Name("A"), "=", Sum((R1, R2, RLOAD, negate(R1), R2))), 9, SPELLING)
    assert lines[0].startswith("A & = R_{1}")
    assert all(re.match(r"& \\continued [+-] ", line) for line in lines[1:])
    assert len(lines) == 3


def test_a_product_breaks_before_a_factor() -> None:
    lines = fit(Line(Name("A"), "=", Product((Sum((R1, R2)), Sum((R2, RLOAD)), Sum((RLOAD, R1))))), 12, SPELLING)
    assert lines[1].startswith(r"& \continued \times (")


def test_a_wide_quotient_becomes_a_fraction_of_names() -> None:
    wide = Sum((R1, R2, RLOAD, Product((GM, R1, R2)), Product((S, R1))))
    lines = fit(Line(Name("A"), "=", Quotient(wide, Sum((*wide.terms, R1)))), 16, SPELLING)
    assert lines[0] == r"A & = \frac{N_{1}(s)}{D_{1}(s)}"
    assert any(line.startswith("N_{1}(s) & = ") for line in lines)
    assert any(line.startswith("D_{1}(s) & = ") for line in lines)


def test_names_keep_clear_of_the_names_of_the_sheet() -> None:
    spelling = Spelling.of(["R1", "R2"], [], [], ["N"])
    wide = Sum((R1, R2) * 6)
    assert fit(Line(Name("N"), "=", Quotient(wide, R1)), 16, spelling)[0] == r"N & = \frac{P_{1}}{R_{1}}"


def test_a_wide_left_side_has_its_own_line() -> None:
    left = Sum((R1, R2, RLOAD, R1, R2, RLOAD))
    lines = fit_lines((Line(left, "=", Sum((R2, RLOAD, R1, R2))),), 16, SPELLING)
    assert lines[0].startswith("& R_{1}")
    assert any(line.startswith(r"& \quad = ") for line in lines)


def test_what_closes_a_long_left_side_has_room_there() -> None:
    """A left side that fills the column but for "= 0" is broken, whatever the column's width."""
    left = Sum((R1, R2, RLOAD, Product((GM, R1)), Quotient(R2, R1)))
    whole = Setter(SPELLING).set(left).width
    for width in (whole - 1, whole, whole + 1, whole + 1.9, whole + 2.5):
        lines = fit(Line(left, "=", ZERO), width, SPELLING)
        assert lines[-1].endswith("= 0")
        assert (len(lines) > 1) == (width < whole + RELATION + 0.5)


def test_portions_keep_their_columns() -> None:
    cut = portions(["A & = 1", "N_{1} & = 2", "& 3", "D & = 4"], 2)
    assert cut == [["A & = 1", "N_{1} & = 2"], [r"\hphantom{N_{1}} & 3", "D & = 4"]]


@pytest.mark.tex
def test_nothing_runs_over(reader: ModuleType) -> None:
    """Random algebra in the ledger, in rules, notes and running words: TeX reports no overfull box."""
    exprs: list[Expr] = []

    @settings(max_examples=60, deadline=None, database=None, derandomize=True)
    @given(reader.expressions(depth=8, width=7))
    def gather(expr: Expr) -> None:
        exprs.append(expr)

    gather()
    rows = tuple(
        Row(("rule ", Formula(expr)), (Line(expr, "≈", other), Line(None, "=", Quotient(other, expr))),
            (Formula(Name("A")),), ("note ", Formula(Relation(other, ">>", expr))))
        for expr, other in pairwise(exprs)
    )  # fmt: skip
    words = tuple(
        Paragraph(("Some words before ", Formula(expr), " and some after, so that lines break. " * 2)) for expr in exprs
    )
    title = TitleBlock("Random", None, None, None, None, None, None, None, "en")
    sheet = render(Document(title, (Ledger(rows), *words), ()), reader.SYMBOLS, reader.DEVICES)
    assert compile_pdf(sheet.tex, sheet.pictures).startswith(b"%PDF")


@pytest.mark.tex
def test_laws_of_all_lengths_fit_their_column() -> None:
    """Kirchhoff's equations with long left sides, closed by "= 0" or "= i", at every length near the column's."""
    parts: list[Expr] = [Sym(name) for name in ("R1", "R2", "Rload", "rpi_Q1")]
    nodes = [Volt(name) for name in ("Q1.base", "n_1", "out", "gate")]
    draw = random.Random(3)

    def term() -> Expr:
        difference = Sum((draw.choice(nodes), negate(draw.choice(nodes))))
        inner = Sum((ONE, Product((S, R1, Sum((Sym("Cpi_Q1"), Quotient(R2, R1)))))))
        kinds: tuple[Expr, ...] = (
            Quotient(difference, draw.choice(parts)),
            Product((S, Sym("Cpi_Q1"), difference)),
            negate(Product((GM, difference))),
            Product((Sum((Quotient(ONE, R1), Quotient(ONE, R2))), draw.choice(nodes))),
            Quotient(draw.choice(nodes), draw.choice(parts)),
            Product((inner, draw.choice(nodes))),
            draw.choice(nodes),
        )
        return draw.choice(kinds)

    def law() -> Line:
        left = Sum(tuple(term() for _ in range(draw.randint(2, 7))))
        return Line(left, "=", draw.choice((ZERO, Sym("i"))))

    rows = tuple(Row(("law",), (law(),), ()) for _ in range(250))
    title = TitleBlock("Random laws", None, None, None, None, None, None, None, "en")
    symbols = ["R1", "R2", "Rload", "rpi_Q1", "Cpi_Q1", "gm_Q1", "i"]
    sheet = render(Document(title, (Ledger(rows),), ()), symbols, ["Q1"])
    assert compile_pdf(sheet.tex, sheet.pictures).startswith(b"%PDF")
