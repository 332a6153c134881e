"""Circuits' symbols for texts by hand, and exact values of trees by which two readings are compared."""

from __future__ import annotations

import random
from collections.abc import Mapping
from fractions import Fraction

from derive.expression.parse import parse_expression
from derive.expression.tree import Expr, evaluate, symbols
from derive.hand.read import read_hand
from derive.hand.records import Hand

ONE_DEVICE: Mapping[str, str] = {
    **dict.fromkeys(("R1", "R2", "R3", "Rc", "Re", "Rf", "Rg", "Rl", "Rload", "rpi_Q1", "ro_Q1"), "Ω"),
    **dict.fromkeys(("C1", "C2", "Cmu_Q1", "Cpi_Q1"), "F"), "L1": "H", "gm_Q1": "S", "beta_Q1": "1",
}  # fmt: skip
TWO_DEVICES: Mapping[str, str] = {
    **ONE_DEVICE, "gm_Q2": "S", "rpi_Q2": "Ω", "beta_Q2": "1", "ro_Q2": "Ω", "Cmu_Q2": "F", "gm_J3": "S",
}  # fmt: skip
ANSWERS = ("A", "Zin", "Zout")


def read(text: str, units: Mapping[str, str] = TWO_DEVICES, aliases: Mapping[str, str] | None = None) -> Hand:
    return read_hand(text, units, ANSWERS, aliases or {})


def value(expr: Expr, seed: int = 0) -> Fraction:
    """The exact value of a tree at a random point that depends on the names alone."""
    names = sorted(symbols(expr))
    point = {name: Fraction(random.Random(f"{seed} {name}").randrange(1, 10**6), 997) for name in names}
    exact = {"sqrt": lambda x: x * x + 7, "log10": lambda x: x * x + 11, "abs": lambda x: x * x + 13}
    return Fraction(evaluate(expr, point, exact))


def same(left: Expr, right: Expr) -> bool:
    """Whether two trees have one value at three points; roots and logarithms stand for other functions there."""
    return all(value(left, seed) == value(right, seed) for seed in range(3))


def tree(text: str) -> Expr:
    return parse_expression(text)
