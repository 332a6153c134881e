"""Short ways from parts to an explanation, for tests."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from derive.circuit.records import Circuit
from derive.derivation.analyse import Prepared, prepare
from derive.errors import DescriptionError
from derive.explain.explain import Explanation, explain
from tests.networks import Piece, circuit, random_active

STAGE = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
"""


def explained(parts: str, about: str = "") -> tuple[Prepared, Explanation]:
    """The gain from ``in`` to ``out`` explained."""
    return of_circuit(circuit(parts, 'A: gain = { from = "in", to = "out" }', about=about))


def of_circuit(made: Circuit) -> tuple[Prepared, Explanation]:
    prepared = prepare(made)
    found = explain(made.questions[0], made, prepared.network, prepared.ground)
    assert found is not None
    return prepared, found


def explained_at_random(name: str, kinds: Sequence[str]) -> tuple[list[Piece], Explanation]:
    """A random network driven at n1 whose n4 moves; those that the reader refuses are passed over."""
    source = Random(name)
    while True:
        pieces = random_active(source, 4, kinds)
        pieces.insert(0, Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"))
        try:
            prepared = prepare(circuit(pieces, 'A: gain = { from = "n1", to = "n4" }'))
        except DescriptionError:
            continue
        found = explain(prepared.circuit.questions[0], prepared.circuit, prepared.network, prepared.ground)
        if found is not None:
            return pieces, found
