"""Printed forms equal the ratios they stand for, at points that the program did not choose itself."""

from __future__ import annotations

from random import Random

import pytest

from derive.algebra.convert import ratio_of
from derive.algebra.ratio import Ratio
from derive.expression.parse import parse_expression
from derive.expression.text import write
from derive.expression.tree import evaluate
from derive.forms.laurent import Style
from derive.forms.present import READABLE, present
from derive.forms.present import write as write_form
from tests.asking import Asked, random_point
from tests.networks import Piece, circuit, random_active, random_passive
from tests.stating import random_statements

KINDS = ("resistor", "capacitor", "inductor")
SEEDS = range(15)


def _check(style: Style, ratio: Ratio, source: Random) -> bool:
    """Whether a form was found; it and its coefficients are equal to what they stand for."""
    form = present(style, ratio)
    for _ in range(2):
        point = random_point(ratio.ring.names, source)
        s = point["s"]
        for coefficient in form.coefficients:
            point[coefficient.name] = coefficient.ratio.value(point, s)  # type: ignore[index]
            if coefficient.tree is not None:
                assert evaluate(coefficient.tree, point) == point[coefficient.name]  # type: ignore[index]
                assert style.cost(coefficient.tree) <= READABLE
        if form.tree is not None:
            assert evaluate(form.tree, point) == ratio.value(point, s)
    return form.tree is not None


def _asked(seed: int, active: tuple[str, ...]) -> tuple[Random, Asked]:
    source = Random(f"forms {seed} {active}")
    inner = random_active(source, 2, active) if active else random_passive(source, 3, 2, KINDS)
    pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *inner]
    asks = ('A: gain = { from = "n1", to = "n2" }', 'Z: impedance = { at = "n2" }')
    return source, Asked(circuit(pieces, *asks, assume=random_statements(pieces, source, 2)))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("active", [(), ("bjt",), ("jfet",)], ids=str)
def test_forms_are_equal(seed: int, active: tuple[str, ...]) -> None:
    source, asked = _asked(seed, active)
    for name in "AZ":
        for ratio in (asked.exact(name).ratio, asked.reduced(name).ratio):
            if ratio is not None:
                _check(asked.style, ratio, source)


def test_most_small_answers_find_a_form() -> None:
    found = []
    for seed in SEEDS:
        source, asked = _asked(seed, ())
        ratio = asked.exact("Z").ratio
        assert ratio is not None
        found.append(_check(asked.style, ratio, source))
    assert sum(found) > 0.8 * len(found)


@pytest.mark.parametrize("seed", SEEDS)
def test_forms_survive_their_text(seed: int) -> None:
    """What is written in our own grammar is read back as the same ratio (the record holds it so)."""
    _, asked = _asked(seed, ("bjt",))
    ratio = asked.reduced("Z").ratio
    assert ratio is not None
    tree = write_form(asked.style, ratio)
    if tree is not None:
        assert ratio_of(parse_expression(write(tree)), ratio.ring) == ratio
