"""Reads set algebra back and evaluates it, by the usual order of precedence alone.

Written apart from the typesetter, so that a bracket that is missing shows as another value.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction

from hypothesis import strategies as st

from derive.expression.tree import Call, Expr, Name, Num, Parallel, Power, Product, Quotient, Sum, Sym, Volt

SPACES = re.compile(r"\\,|\\quad|\\continued|\\[bB]igg[lr]|&|\s+")
TOKEN = re.compile(
    r"\\d?frac|\\tfrac|\\sqrt|\\cdot|\\times|\\parallel|\\[lr]vert|\\log_\{10\}|[0-9]+(?:\.[0-9]+)?"
    r"|(?:\\mathrm\{[^{}]*\}|\\[a-z]+|[A-Za-z])(?:_\{(?:[^{}]|\{[^{}]*\})*\})?(?:\(s\))?|[-+/^(){}]"
)


class Reader:
    """A recursive descent over tokens; ``values`` maps the LaTeX of each symbol to its number."""

    def __init__(self, latex: str, values: Mapping[str, Fraction]) -> None:
        text = SPACES.sub(" ", latex)
        self.tokens = TOKEN.findall(text)
        assert "".join(self.tokens).replace(" ", "") == text.replace(" ", "")
        self.values, self.place = values, 0

    def peek(self) -> str:
        return self.tokens[self.place] if self.place < len(self.tokens) else ""

    def take(self, wanted: str | None = None) -> str:
        token = self.peek()
        assert wanted is None or token == wanted, (token, wanted, self.tokens)
        self.place += 1
        return token

    def all(self) -> Fraction:
        value = self.sum()
        assert self.peek() == "", self.tokens[self.place :]
        return value

    def sum(self) -> Fraction:
        sign = -1 if self.peek() == "-" else 1
        if sign < 0:
            self.take()
        value = sign * self.parallel()
        while self.peek() in ("+", "-"):
            value = value + self.parallel() if self.take() == "+" else value - self.parallel()
        return value

    def parallel(self) -> Fraction:
        branches = [self.product()]
        while self.peek() == r"\parallel":
            self.take()
            branches.append(self.product())
        return branches[0] if len(branches) == 1 else 1 / sum((1 / b for b in branches), Fraction(0))

    def product(self) -> Fraction:
        value = self.power()
        while True:
            token = self.peek()
            if token == "/":
                self.take()
                return value / self.power()
            if token in (r"\cdot", r"\times"):
                self.take()
            elif token in ("", "+", "-", ")", "}", r"\parallel", r"\rvert"):
                return value
            value *= self.power()

    def power(self) -> Fraction:
        value = self.atom()
        if self.peek() == "^":
            self.take()
            value **= int(self.group(self.sum))
        return value

    def group(self, inner: Callable[[], Fraction]) -> Fraction:
        self.take("{")
        value = inner()
        self.take("}")
        return value

    def atom(self) -> Fraction:
        token = self.take()
        if token == "(":
            value = self.sum()
            self.take(")")
            return value
        if token == r"\lvert":
            value = abs(self.sum())
            self.take(r"\rvert")
            return value
        if token.endswith("frac"):
            above = self.group(self.sum)
            return above / self.group(self.sum)
        if token[0].isdigit():
            return Fraction(token)
        return self.values[token.replace(" ", "")]


def read(latex: str, values: Mapping[str, Fraction]) -> Fraction:
    """The value of set algebra. ``values`` by the LaTeX of each symbol."""
    return Reader(latex, {key.replace(" ", ""): value for key, value in values.items()}).all()


def read_lines(lines: list[str], values: Mapping[str, Fraction]) -> Fraction:
    """The value of the right side of the first line, the names that follow filled in."""
    known = {key.replace(" ", ""): value for key, value in values.items()}
    joined: list[tuple[str, str]] = []
    for line in lines:
        if r"\continued" in line:
            joined[-1] = (joined[-1][0], joined[-1][1] + " " + line.replace(r"\continued", ""))
        else:
            left, _, right = line.partition("=")
            joined.append((left.replace("&", "").strip(), right))
    waiting = {left.replace(" ", ""): right for left, right in joined}
    assert len(waiting) == len(joined), "a name is given twice"
    while waiting:
        ready = [left for left, right in waiting.items() if not _unknown(right, known)]
        assert ready, f"names in a circle: {waiting}"
        for left in ready:
            known[left] = Reader(waiting.pop(left), known).all()
    return known[joined[0][0].replace(" ", "")]


def _unknown(latex: str, known: Mapping[str, Fraction]) -> bool:
    names = [token.replace(" ", "") for token in Reader(latex, known).tokens if "_" in token or token.isalpha()]
    return any(name not in known for name in names)


ATOMS: tuple[Expr, ...] = (
    *(Sym(name) for name in ("R1", "Rload", "gm_Q1", "rpi_Q1", "beta_Q1", "Cpi_Q1", "s")),
    Volt("out"), Volt("Q1.base"), Name("A"), Name("boot"),
)  # fmt: skip
SYMBOLS, DEVICES, NODES, NAMES = (
    ["R1", "Rload", "gm_Q1", "rpi_Q1", "beta_Q1", "Cpi_Q1"], ["Q1"], ["out", "Q1.base"], ["A", "boot"],
)  # fmt: skip


def expressions(depth: int = 4, width: int = 4) -> st.SearchStrategy[Expr]:
    """Trees over ATOMS, with positive numbers, signs, and functions that have exact values."""
    leaves = st.one_of(
        st.sampled_from(ATOMS),
        st.sampled_from([Num(Fraction(n)) for n in ("1", "2", "10", "1/2", "0.026", "4700", "-1", "-3", "22/7")]),
    )

    def grow(inner: st.SearchStrategy[Expr]) -> st.SearchStrategy[Expr]:
        several = st.lists(inner, min_size=2, max_size=width).map(tuple)
        return st.one_of(
            several.map(Sum), several.map(Product), several.map(Parallel),
            st.builds(Quotient, inner, inner), st.builds(Power, inner, st.sampled_from([2, 3, -1])),
            st.builds(Call, st.just("abs"), inner),
        )  # fmt: skip

    return st.recursive(leaves, grow, max_leaves=6 * depth)
