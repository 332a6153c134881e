"""Circuits for the tests of the bias point, written as descriptions are."""

from __future__ import annotations

from derive.bias.records import Bias
from derive.bias.solve import solve
from derive.circuit.records import Circuit
from derive.description.reader import read_text

QUESTION = '\n[[question]]\nname = "Zx"\nimpedance = {{ between = ["{0}", "gnd"] }}\n'


def described(parts: str, asked: str, about: str = "", end: str = "") -> Circuit:
    """A circuit with these lines under [parts], and a question about a node so that it is a whole description."""
    return read_text(f"[about]\n{about}\n[parts]\n{parts}\n{end}{QUESTION.format(asked)}", "bias.toml")


def solved(parts: str, asked: str, about: str = "", end: str = "") -> Bias:
    """Its bias point, which must be there."""
    bias = solve(described(parts, asked, about, end))
    assert isinstance(bias, Bias), bias
    return bias
