"""Statements that contradict each other are refused by name; others leave a term in every sum."""

from __future__ import annotations

from random import Random

import pytest

from derive.algebra.ring import terms
from derive.approximate.records import Reduced
from derive.approximate.reduce import reduce_answer
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.stating import random_statements

ASKS = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')


@pytest.mark.parametrize(("larger", "smaller"), [("R1", "R2"), ("gm_Q1*R1", "1"), ("R1 + R2", "R3")])
def test_contradictions_are_refused_by_name(larger: str, smaller: str) -> None:
    parts = (
        'Q1 = { bjt = "npn", base = "n1", collector = "n3", emitter = "gnd", gm = "10 mS", rpi = "1k" }\n'
        'R1 = { resistor = "1k", between = ["n1", "n3"] }\nR2 = { resistor = "2k", between = ["n3", "gnd"] }\n'
        'R3 = { resistor = "3k", between = ["n3", "gnd"] }\n'
        'Vs = { signal = "voltage", between = ["n1", "gnd"] }'
    )
    opposite = f"{smaller} >> {larger}" if "+" not in larger else f"{smaller} >> R2"
    statements = (f"{larger} >> {smaller}", "gm_Q1*R3 >> 1", opposite)
    with pytest.raises(DescriptionError) as caught:
        _ = Asked(circuit(parts, *ASKS, assume=statements)).statements
    assert "A1 and A3 contradict" in str(caught.value)
    assert "A2" not in caught.value.what
    assert caught.value.line is not None


def test_a_circle_of_three_is_refused_by_name() -> None:
    parts = (
        'R1 = { resistor = "1k", between = ["n1", "n3"] }\nR2 = { resistor = "2k", between = ["n3", "gnd"] }\n'
        'R3 = { resistor = "3k", between = ["n3", "gnd"] }\nVs = { signal = "voltage", between = ["n1", "gnd"] }'
    )
    with pytest.raises(DescriptionError, match="A1 and A2 and A3 contradict"):
        _ = Asked(circuit(parts, *ASKS, assume=("R1 >> R2", "R2 >> R3", "R3 >> R1"))).statements


@pytest.mark.parametrize("seed", range(30))
def test_statements_are_dropped_or_refused_but_never_circular(seed: int) -> None:
    """Statements of any truth: either the reader refuses them, or every answer keeps a term in each sum."""
    source = Random(f"any {seed}")
    pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, ("bjt",))]
    try:
        asked = Asked(circuit(pieces, *ASKS, assume=random_statements(pieces, source, 4, true=False)))
        statements = asked.statements
    except DescriptionError as error:
        expect = ("contradict", "compares")
        refused = [word for word in expect if word in error.what]
        assert refused
        return
    for name in "AZ":
        exact = asked.exact(name)
        found: Reduced = reduce_answer(exact, statements, asked.ground)
        assert found.ratio is not None
        assert exact.ratio is not None
        for before, after in ((exact.ratio.above, found.ratio.above), (exact.ratio.below, found.ratio.below)):
            assert bool(terms(before)) == bool(terms(after))
