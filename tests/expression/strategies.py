"""Random expression trees and random texts of and near the grammar."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from derive.expression.tree import Call, Expr, Num, Parallel, Power, Product, Quotient, Sum, Sym, Volt

NAMES = ("R1", "gm_Q1", "C2", "s", "beta_Q2")

numbers = st.builds(Num, st.builds(Fraction, st.integers(-999, 999), st.sampled_from((1, 2, 3, 5, 7, 40, 1000))))
leaves: st.SearchStrategy[Expr] = st.one_of(
    numbers,
    st.sampled_from([Sym(name) for name in NAMES]),
    st.just(Volt("in+")),
    st.just(Volt("Q2.collector")),
)


def _grow(inner: st.SearchStrategy[Expr]) -> st.SearchStrategy[Expr]:
    several = st.lists(inner, min_size=1, max_size=3).map(tuple)
    return st.one_of(
        several.map(Sum),
        several.map(Product),
        st.builds(Quotient, inner, inner.filter(lambda expr: expr != Num(Fraction(0)))),
        st.builds(Power, inner, st.sampled_from((-2, -1, 0, 1, 2))),
        st.lists(inner, min_size=2, max_size=3).map(tuple).map(Parallel),
        st.builds(Call, st.sampled_from(("sqrt", "log10", "abs")), inner),
    )


trees: st.SearchStrategy[Expr] = st.recursive(leaves, _grow, max_leaves=12)

GRAMMATICAL = (
    *"+-*/()=",
    "||",
    "**",
    ">>",
    "<<",
    "->",
    "inf",
    "sqrt(",
    "v(",
    "v(a)",
    "10k",
    "1e-6",
    " ",
    "0",
)
STRANGE = (*"|<>^µΩé∥\n\0'\\", '"', "4k7", "1e999", "20", "21", ".5", "3.", "__class__", "9" * 70)
tokens = st.sampled_from([*NAMES, *GRAMMATICAL, *STRANGE])
texts = st.one_of(st.lists(tokens, max_size=25).map("".join), st.text(max_size=60))
