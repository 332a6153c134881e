"""Short forms of random circuits: what is printed has the error that is told, measured afresh by other means."""

from __future__ import annotations

from cmath import sqrt
from fractions import Fraction
from itertools import pairwise
from math import pi
from random import Random
from typing import Any

import pytest

from derive.derivation.derive import Sheet, derive_question
from derive.expression.tree import evaluate
from derive.structure.records import Short
from derive.structure.shortest import shortest
from derive.structure.units import with_betas
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.nodal import admittance, equations, voltages
from tests.stating import random_statements

MIXES = [("bjt",), ("jfet",), ("transconductance",), ("bjt", "jfet")]
CASES = [(mix, seed) for mix in MIXES for seed in range(4)]
WITHIN = Fraction(1, 10)
BAND = (100.0, 1e5)


def _asked(mix: tuple[str, ...], seed: int) -> tuple[Random, list[Piece], Asked]:
    source = Random(f"short {mix} {seed}")
    pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 4, mix)]
    asks = ('A: gain = { from = "n1", to = "n4" }', 'Z: impedance = { at = "n4" }')
    statements = random_statements(pieces, source, 2) if seed % 2 else []
    return source, pieces, Asked(circuit(pieces, *asks, assume=statements, about='band = ["100 Hz", "100 kHz"]'))


def _printed(found: Short, asked: Asked, s: complex) -> complex:
    values: dict[Any, Any] = {name: float(value) for name, value in with_betas(asked.ground.numbers).items()}
    values["s"] = s
    for piece in found.written.pieces:
        values[piece.name] = evaluate(piece.tree, values, {"sqrt": sqrt}, float)
    return complex(evaluate(found.written.tree, values, {"sqrt": sqrt}, float))


def _afresh(name: str, pieces: list[Piece], s: complex) -> complex:
    if name == "A":
        return voltages(equations(pieces, lambda branch: admittance(branch, s), volts=1))["n4"]
    return voltages(equations(pieces, lambda branch: admittance(branch, s), [("n4", "gnd", 1)]))["n4"]


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_reported_errors_are_those_of_what_is_printed(mix: tuple[str, ...], seed: int) -> None:
    source, pieces, asked = _asked(mix, seed)
    for name in "AZ":
        exact = asked.exact(name)
        found = shortest(exact, asked.statements, asked.ground, asked.style, WITHIN)
        if found is None:
            continue
        places = [BAND[0] * (BAND[1] / BAND[0]) ** source.random() for _ in range(40)] + [found.error.at]
        true = [_afresh(name, pieces, 2j * pi * f) for f in places]
        made = [_printed(found, asked, 2j * pi * f) for f in places]
        peak = max(map(abs, true))
        errors = [abs(a - e) / abs(e) for a, e in zip(made, true, strict=True) if abs(e) > 2e-3 * peak]
        assert max(errors, default=0) <= found.error.worst * (1 + 1e-6) + 1e-7
        if abs(true[-1]) > 2e-3 * peak:
            assert errors[-1] == pytest.approx(found.error.worst, rel=1e-5, abs=1e-7)
        assert found.reached == (found.error.worst <= WITHIN)
        if found.exact:
            assert found.error.worst < 1e-9


@pytest.mark.parametrize("seed", range(4))
def test_the_frontier_falls(seed: int) -> None:
    """Longer forms on the frontier err less, and the same description gives the same form."""
    _, _, asked = _asked(("bjt", "jfet"), seed)
    exact = asked.exact("A")
    found = shortest(exact, (), asked.ground, asked.style, WITHIN)
    again = shortest(exact, (), asked.ground, asked.style, WITHIN)
    assert found == again
    if found is not None:
        points = found.frontier
        assert all(a.symbols < b.symbols and a.worst > b.worst for a, b in pairwise(points))


def test_a_bootstrap_is_told_by_one_minus_it() -> None:
    parts = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
J1 = { jfet = "n-channel", gate = "in", drain = "gnd", source = "out", gm = "4 mS", ro = "50 kΩ" }
Rs = { resistor = "10 kΩ", between = ["out", "gnd"] }
Rg = { resistor = "1 MΩ", between = ["in", "out"] }
"""
    about = circuit(parts, 'K: within = "5 %"\nbootstrap = { part = "Rg", near = "in" }')
    asked = Asked(about)
    sheet = Sheet(asked.network, asked.ground, asked.style, (), {})
    derivation = derive_question(about.questions[0], sheet)
    assert derivation.shortened is not None
    left = 1 - derivation.spot
    assert derivation.shortened.short.spectrum.at_frequency(1000) == pytest.approx(left, rel=0.05)
    assert derivation.shortened.steps[0].kind == "approximate"
