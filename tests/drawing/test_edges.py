"""Circuits at the edge: no wire at all, a lone node, a shorted part, loads in parallel, nothing to draw."""

from __future__ import annotations

from dataclasses import replace

import pytest

from derive.drawing.draw import draw
from derive.drawing.place import Effort
from derive.drawing.records import Drawing, Wanted, Wish
from derive.drawing.trace import merged, trace, wanted_nets
from tests.drawing.wishes import stage, two

QUICK = Effort(seeds=2, moves=5_000)
RAILS = (("vcc", "+12 V", "above"), ("vee", "−12 V", "below"))
OP_AMP = Wanted("U1", "op amp", (("plus", "in"), ("minus", "out"), ("out", "out")))
CASES = {
    "no wire": (
        two("C1", "capacitor", "vcc", "gnd"),
        two("C2", "capacitor", "vcc", "vee"),
        two("R1", "resistor", "gnd", "vee"),
    ),
    "one part": (two("R1", "resistor", "a", "gnd", "1 kΩ"),),
    "a lone node": (two("Vs", "voltage source", "in", "gnd"), two("R1", "resistor", "in", "open")),
    "a follower": (two("Vs", "voltage source", "in", "gnd"), OP_AMP),
    "a shorted part": (
        two("Vs", "voltage source", "in", "gnd"),
        two("R1", "resistor", "in", "in"),
        two("R2", "resistor", "in", "gnd"),
    ),
    "in parallel": tuple(two(f"R{n}", "resistor", "a", "gnd") for n in range(1, 7)),
    "between two nodes": tuple(two(f"R{n}", "resistor", "a", "b") for n in range(1, 5)),
    "a battery across rails": (
        two("B1", "battery", "vcc", "vee"),
        two("R1", "resistor", "vcc", "x"),
        two("R2", "resistor", "x", "vee"),
    ),
    "long words": (
        two("Rlong", "resistor", "in", "out", "1.234567 MΩ and more"),
        two("C1", "capacitor", "out", "gnd", "470 pF"),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_it_is_drawn_all_the_same(name: str) -> None:
    wish = Wish(CASES[name], "gnd", RAILS, named=("in", "out"))  # type: ignore[arg-type]
    assert merged(trace(draw(wish, effort=QUICK))) == wanted_nets(wish)


def test_nothing_to_draw_is_an_empty_drawing() -> None:
    assert draw(Wish((), "gnd")) == Drawing((), (), (), (), ())


def test_a_wish_without_path_or_levels_is_drawn() -> None:
    wish = replace(stage(), path=(), level=(), named=())
    assert merged(trace(draw(wish, effort=QUICK))) == wanted_nets(wish)


def test_a_path_of_nodes_that_are_not_there_does_no_harm() -> None:
    wish = replace(stage(), path=("src", "nowhere", "out"))
    assert merged(trace(draw(wish, effort=QUICK))) == wanted_nets(wish)
