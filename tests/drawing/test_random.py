"""Random circuits: nothing lies on anything else, and the drawing's wires join what the circuit joins."""

from __future__ import annotations

import pytest

from derive.drawing.draw import draw
from derive.drawing.place import Effort
from derive.drawing.records import Drawing
from derive.drawing.trace import merged, overlaps, pierced, trace, wanted_nets
from tests.drawing.stages import random_wish

QUICK = Effort(seeds=2, moves=20_000)


def sound(seed: int) -> Drawing:
    wish = random_wish(seed)
    drawing = draw(wish, effort=QUICK)
    assert overlaps(drawing) == []
    assert pierced(drawing) == []
    assert merged(trace(drawing)) == wanted_nets(wish)
    assert {part.part.name for part in drawing.parts} == {part.name for part in wish.parts}
    return drawing


@pytest.mark.parametrize("seed", range(0, 200, 17))
def test_a_random_circuit_is_drawn_soundly(seed: int) -> None:
    sound(seed)


@pytest.mark.slow
def test_two_hundred_random_circuits() -> None:
    drawings = [sound(seed) for seed in range(200)]
    crossings = [drawing.crossings for drawing in drawings]
    unnamed = sum(len(set(random_wish(n).named) - dict(d.named).keys()) for n, d in enumerate(drawings))
    print(f"{sum(crossings)} crossings in 200 drawings, {max(crossings)} at most, {unnamed} nodes without their name")
    assert sum(crossings) < 200
