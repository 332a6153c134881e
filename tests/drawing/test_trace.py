"""What the tracer and the checks of a drawing notice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from derive.drawing.draw import draw
from derive.drawing.place import Effort
from derive.drawing.records import Drawing, Label, Wire
from derive.drawing.trace import check, merged, overlaps, pierced, trace, wanted_nets
from derive.errors import Defect
from tests.drawing.stages import random_wish
from tests.drawing.wishes import stage

QUICK = Effort(seeds=2, moves=20_000)


@pytest.fixture(scope="module")
def drawing() -> Drawing:
    return draw(stage(), effort=QUICK)


def test_the_drawing_says_what_the_wish_says(drawing: Drawing) -> None:
    assert merged(trace(drawing)) == wanted_nets(stage())


@pytest.mark.parametrize("seed", [7, 12, 19, 30, 41])
def test_any_missing_dot_is_noticed(seed: int) -> None:
    wish = random_wish(seed)
    made = draw(wish, effort=QUICK)
    assert made.dots
    for dot in made.dots:
        without = replace(made, dots=tuple(other for other in made.dots if other != dot))
        assert merged(trace(without)) != wanted_nets(wish)
        with pytest.raises(Defect):
            check(wish, without)


def test_any_missing_wire_is_noticed(drawing: Drawing) -> None:
    for wire in drawing.wires:
        without = replace(drawing, wires=tuple(other for other in drawing.wires if other != wire))
        if len(wire.points) == 2 and sum(wire.node == other.node for other in drawing.wires) == 1:
            assert merged(trace(without)) != wanted_nets(stage())


def test_a_wire_through_a_symbol_is_noticed(drawing: Drawing) -> None:
    x, y = next(placed.at for placed in drawing.parts if placed.part.name == "Q1")
    across = replace(drawing, wires=(*drawing.wires, Wire("src", ((x - 1, y - 4), (x - 1, y + 4)))))
    assert any("Q1" in fault for fault in pierced(across))


def test_words_on_words_are_noticed(drawing: Drawing) -> None:
    node, label = drawing.named[0]
    twice = replace(drawing, named=(*drawing.named, ("other", Label("other", label.at, label.anchor))))
    assert any(node in fault and "other" in fault for fault in overlaps(twice))


def test_four_arms_under_one_dot_are_joined(drawing: Drawing) -> None:
    """A crossing without a dot joins nothing; with one it does."""
    x, y = max(point for wire in drawing.wires for point in wire.points)
    level = Wire("a", ((x + 5, y), (x + 9, y)))
    upright = Wire("b", ((x + 7, y - 2), (x + 7, y + 2)))
    crossed = replace(drawing, wires=(*drawing.wires, level, upright))
    assert merged(trace(crossed)) == wanted_nets(stage())
