"""The grammar: what it reads, how it binds, what it refuses and where."""

from __future__ import annotations

import contextlib
import time
from fractions import Fraction

import pytest
from hypothesis import given, settings

from derive.errors import ExpressionError
from derive.expression.parse import parse_expression, parse_statement
from derive.expression.tree import (
    Infinite,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    Volt,
    evaluate,
)
from tests.expression.strategies import texts

A, B, C = Sym("a"), Sym("b"), Sym("c")


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("a || b*c", Product((Parallel((A, B)), C))),
        ("a*b || c", Product((A, Parallel((B, C))))),
        ("a || b + c", Sum((Parallel((A, B)), C))),
        ("a || b**2", Parallel((A, Power(B, 2)))),
        ("a || b || c", Parallel((A, B, C))),
        ("-a*b", Product((Num(Fraction(-1)), A, B))),
        ("-a**2", Product((Num(Fraction(-1)), Power(A, 2)))),
        ("a - b", Sum((A, Product((Num(Fraction(-1)), B))))),
        ("a/b/c", Quotient(Quotient(A, B), C)),
        ("a/b*c", Product((Quotient(A, B), C))),
        ("a*b/c", Quotient(Product((A, B)), C)),
        ("a*(b*c)", Product((A, Product((B, C))))),
        ("(-a)/b", Quotient(Product((Num(Fraction(-1)), A)), B)),
        ("1/3", Num(Fraction(1, 3))),
        ("a**-2", Power(A, -2)),
        ("a**(-2)", Power(A, -2)),
        ("v(Q2.collector)", Volt("Q2.collector")),
        ("v( in+ )", Volt("in+")),
    ],
)
def test_binding(text: str, tree: object) -> None:
    assert parse_expression(text) == tree


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("10k", 10_000),
        ("3.3u", Fraction(33, 10**7)),
        ("3.3µ", Fraction(33, 10**7)),
        ("1e-6", Fraction(1, 10**6)),
        ("5m", Fraction(5, 1000)),
        ("5M", 5_000_000),
        ("1.5G", 1_500_000_000),
        (".5", Fraction(1, 2)),
        ("2**-3", Fraction(1, 8)),
        ("-2**2", -4),
        ("2 - 3 - 4", -5),
        ("16/4/2", 2),
        ("6 || 3", 2),
        ("10*6 || 3", 20),
        ("1 + 6 || 3 || 2", 2),
        ("2*-3", -6),
        ("2 - -3", 5),
        ("--2", 2),
        ("10f*1e15", 10),
        ("1e3k", 10**6),
    ],
)
def test_values_are_exact(text: str, value: Fraction | int) -> None:
    assert evaluate(parse_expression(text), {}) == value


def test_names_of_questions_are_told_from_symbols() -> None:
    assert parse_expression("A*R1", names={"A"}) == Product((Name("A"), Sym("R1")))


@pytest.mark.parametrize("op", [">>", "<<", "="])
def test_relations(op: str) -> None:
    relation = parse_statement(f"a {op} b*c")
    assert (relation.left, relation.op, relation.right) == (A, op, Product((B, C)))


def test_limits() -> None:
    assert parse_statement("a->0").right == Num(Fraction(0))
    assert parse_statement("a -> inf").right == Infinite()


@pytest.mark.parametrize(
    ("text", "column", "fragments"),
    [
        ("", None, ["empty"]),
        ("a b", 3, ["operator is missing", "*"]),
        ("2R1 + a", 1, ["letter code", "2*R1"]),
        ("3b", 1, ["neither a number nor a name", "3*b"]),
        ("a + 4k7", 5, ["letter code", "4.7k"]),
        ("a**b", 4, ["exponent", "whole number"]),
        ("a**0.5", 4, ["0.5", "sqrt"]),
        ("a**21", 4, ["21", "±20"]),
        ("a**b**c", 4, ["exponent"]),
        ("a**2**2", 6, ["power of a power"]),
        ("(a**20)**2", None, ["exponent 40"]),
        ("(a", 3, ["not closed", ")"]),
        ("a)", 2, ["never opened"]),
        ("a +", 4, ["breaks off"]),
        ("a > b", 3, [">>"]),
        ("a >> b", 3, ["statement"]),
        ("a ∥ b", 3, ["||"]),
        ("a·b", 2, ["*"]),
        ("a^2", 2, ["**"]),
        ("a || -b", 6, ["needs something to its left"]),
        ("a // b", 4, ["//", "||"]),
        ("a / ", 4, ["breaks off"]),
        ("Rκ", 2, ["κ", "plain letters"]),
        ("1,5*a", 2, ["decimal point"]),
        ("sin(a)", 1, ["sin", "sqrt", "log10", "abs"]),
        ("inf", 1, ["->"]),
        ("2*inf", 3, ["->"]),
        ("1e999999999", 1, ["sensible size"]),
        ("9" * 80, 1, ["sensible size"]),
        ("a/0", 2, ["division by zero"]),
        ("(" * 50, 41, ["nested"]),
        ("a/" * 80 + "b", None, ["nested"]),
        ("a" * 41, 1, ["longer than 40"]),
        ("a+" * 2001 + "a", 4001, ["4003 characters"]),
        ("a $ b", 3, ["'$'"]),
        ("__import__('os')", 1, ["'_'"]),
    ],
)
def test_refused_in_words(text: str, column: int | None, fragments: list[str]) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse_expression(text)
    assert caught.value.column == column
    for fragment in fragments:
        assert fragment.strip() in f"{caught.value.what} {caught.value.remedy}"


@pytest.mark.parametrize(
    ("text", "fragment"),
    [
        ("a", "relates nothing"),
        ("a >> b >> c", "two sides"),
        ("a >> inf", "right of ->"),
        ("inf -> a", "right of ->"),
        ("a -> -inf", "right of ->"),
        ("a ->", "breaks off"),
        ("-> 0", "left"),
        ("a → 0", "->"),
        ("a ≫ b", ">>"),
        ("a == b", "one ="),
        ("a = b = c", "two sides"),
        (">> b", "left"),
    ],
)
def test_statements_refused_in_words(text: str, fragment: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse_statement(text)
    assert fragment in f"{caught.value.what} {caught.value.remedy}"
    assert caught.value.column is not None


@given(texts)
@settings(max_examples=400, deadline=500)
def test_any_text_gives_a_tree_or_our_error(text: str) -> None:
    for parse in (parse_expression, parse_statement):
        fault = None
        try:
            parse(text)
        except ExpressionError as error:
            fault = error
        if fault is not None:
            assert fault.column is None or 1 <= fault.column <= len(text) + 1
            assert 0 < len(fault.what) < 200


@pytest.mark.parametrize(
    "text",
    [
        "((" * 1990 + "a",
        "a**20*" * 600 + "a",
        "9T*-" * 999 + "1",
        "-" * 3999 + "a",
        "1/9T/" * 700 + "9",
        "a||" * 1300 + "a",
    ],
)
def test_large_texts_are_quick(text: str) -> None:
    parse_expression("a")
    start = time.perf_counter()
    with contextlib.suppress(ExpressionError):
        parse_expression(text)
    assert time.perf_counter() - start < 1.0
