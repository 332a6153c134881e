"""What the sheet prints reads back to what it was set from, for people copy from the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from derive.circuit.parts import is_finite
from derive.circuit.symbols import symbols_of_all
from derive.derivation.analyse import analyse
from derive.description.reader import read as read_circuit
from derive.errors import ExpressionError
from derive.expression.dimension import dimension
from derive.expression.text import write
from derive.expression.tree import (
    ONE,
    Call,
    Expr,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    Volt,
    negate,
    symbols,
    walk,
)
from derive.hand.read import read_hand
from derive.typeset.math import Setter
from derive.typeset.spelling import Spelling
from tests.hand.samples import TWO_DEVICES, same, value

WORKED = sorted((Path(__file__).parents[2] / "worked").glob("*.toml"))
DEVICES = ("Q1", "Q2", "J3")


def expressions(record: Any, seen: set[int]) -> Iterator[Expr]:
    """All expressions of an analysis, wherever they stand."""
    if id(record) in seen:
        return
    seen.add(id(record))
    if isinstance(record, Num | Sym | Sum | Product | Quotient | Power | Parallel | Call):
        yield record
    elif isinstance(record, tuple | list):
        for part in record:
            yield from expressions(part, seen)
    elif isinstance(record, dict):
        for part in record.values():
            yield from expressions(part, seen)
    elif is_dataclass(record):
        for entry in fields(record):
            yield from expressions(getattr(record, entry.name), seen)


def is_formula(expr: Expr) -> bool:
    """In symbols of the circuit alone, and short enough to be printed."""
    parts = list(walk(expr))
    return len(parts) < 400 and not any(isinstance(part, Name | Volt) for part in parts)


@pytest.mark.parametrize("path", WORKED, ids=[path.stem for path in WORKED])
def test_formulas_of_a_worked_sheet(path) -> None:
    analysis = analyse(read_circuit(path))
    found = {expr for expr in expressions(analysis.derivations, set()) if is_formula(expr) and symbols(expr)}
    names = {name for expr in found for name in symbols(expr)} - {"s", "w", "f", "pi"}
    parts = analysis.circuit.parts.values()
    units = symbols_of_all(parts)
    devices = [p.name for p in parts if p.kind in ("bjt", "jfet", "mosfet", "diode") or is_finite(p)]
    spelling = Spelling.of(names, devices)
    assert len(found) > 5
    for expr in found:
        for text in (Setter(spelling).set(expr).ink, Setter(spelling, "inline").set(expr).ink, write(expr)):
            (link,) = read_hand(text, units).links
            assert same(link.value, expr), text


def symbols_in(unit: str) -> st.SearchStrategy[Expr]:
    return st.sampled_from([Sym(name) for name, own in TWO_DEVICES.items() if own == unit])


def grow(pure: st.SearchStrategy[Expr], ohms: st.SearchStrategy[Expr]) -> st.SearchStrategy[tuple[Expr, Expr]]:
    """A pure number and an impedance, made of smaller ones."""
    larger_pure = st.one_of(
        pure,
        st.lists(pure, min_size=2, max_size=3).map(tuple).map(Sum),
        st.tuples(pure, pure).map(Product),
        st.builds(Quotient, ohms, ohms),
        st.builds(Quotient, pure, pure),
        st.tuples(symbols_in("S"), ohms).map(Product),
        st.tuples(laplace, symbols_in("F"), ohms).map(Product),
        st.builds(Power, pure, st.sampled_from((-2, -1, 2, 3))),
        st.builds(Call, st.sampled_from(("sqrt", "abs")), pure),
        pure.map(negate),
    )
    larger_ohms = st.one_of(
        ohms,
        st.lists(ohms, min_size=2, max_size=3).map(tuple).map(Sum),
        st.lists(ohms, min_size=2, max_size=3).map(tuple).map(Parallel),
        st.tuples(pure, ohms).map(Product),
        st.tuples(ohms, pure).map(Product),
        st.builds(Quotient, ohms, pure),
        st.builds(Quotient, pure, symbols_in("S")),
        st.builds(Quotient, st.just(ONE), st.tuples(laplace, symbols_in("F")).map(Product)),
        ohms.map(negate),
    )
    return st.tuples(larger_pure, larger_ohms)


laplace = st.just(Sym("s"))
_pure: st.SearchStrategy[Expr] = st.one_of(st.integers(1, 2000).map(lambda n: Num(Fraction(n))), symbols_in("1"))
_ohms: st.SearchStrategy[Expr] = symbols_in("Ω")


@st.composite
def formulas(draw: st.DrawFn) -> Expr:
    pure, ohms = [draw(_pure)], [draw(_ohms)]
    for _ in range(draw(st.integers(1, 5))):
        both = grow(st.one_of(st.sampled_from(pure), _pure), st.one_of(st.sampled_from(ohms), _ohms))
        new_pure, new_ohms = draw(both)
        pure.append(new_pure)
        ohms.append(new_ohms)
    return draw(st.sampled_from((pure[-1], ohms[-1])))


SHEET = Spelling.of(TWO_DEVICES, DEVICES)


@settings(max_examples=500, deadline=None)
@given(formulas())
def test_random_formulas(expr) -> None:
    dimension(expr, TWO_DEVICES)
    try:
        value(expr)
    except ZeroDivisionError:
        assume(False)
    for text in (Setter(SHEET).set(expr).ink, Setter(SHEET, "inline").set(expr).ink, write(expr)):
        try:
            (link,) = read_hand(text, TWO_DEVICES).links
        except ExpressionError as error:
            # What is not sure is refused; what is read is right.
            if "two ways" not in error.what and "powers of powers" not in error.what:
                raise
            continue
        assert same(link.value, expr), text
