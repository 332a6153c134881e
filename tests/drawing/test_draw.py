"""How a drawing looks: signal from left to right, potential from top to bottom; hints; what is stored."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from derive.drawing.draw import draw
from derive.drawing.errors import Undrawable
from derive.drawing.place import Effort
from derive.drawing.records import Drawing, Placed, Wish
from derive.drawing.store import stored
from derive.drawing.symbols import pins
from tests.drawing.wishes import stage, two

QUICK = Effort(seeds=2, moves=20_000)


def placed(drawing: Drawing, name: str) -> Placed:
    return next(one for one in drawing.parts if one.part.name == name)


def place(drawing: Drawing, name: str, pin: str) -> tuple[int, int]:
    one = placed(drawing, name)
    x, y = pins(one.part.kind, one.turn, one.mirrored)[pin]
    return one.at[0] + x, one.at[1] + y


@pytest.fixture(scope="module")
def drawing() -> Drawing:
    return draw(stage(), effort=QUICK)


def test_the_signal_goes_from_left_to_right(drawing: Drawing) -> None:
    columns = [place(drawing, "Vs", "first")[0], place(drawing, "Rs", "first")[0], place(drawing, "Q1", "base")[0],
               place(drawing, "Q1", "collector")[0], place(drawing, "Co", "second")[0]]  # fmt: skip
    assert columns == sorted(columns)
    assert placed(drawing, "Rl").at[0] >= placed(drawing, "Co").at[0]


def test_potential_goes_from_top_to_bottom(drawing: Drawing) -> None:
    rows = [place(drawing, "Rc", "first")[1], place(drawing, "Rc", "second")[1], place(drawing, "Q1", "collector")[1],
            place(drawing, "Q1", "emitter")[1], place(drawing, "Re", "first")[1]]  # fmt: skip
    assert rows == sorted(rows, reverse=True)
    assert drawing.crossings == 0


def test_rails_and_ground_are_symbols_at_their_pins(drawing: Drawing) -> None:
    ways = {(terminal.node, terminal.way, terminal.label) for terminal in drawing.terminals}
    assert ways == {("vcc", "above", "+12 V"), ("gnd", "below", None)}
    assert len(drawing.terminals) == 4


def test_named_nodes_have_their_name_and_a_wire(drawing: Drawing) -> None:
    assert {node for node, _ in drawing.named} == {"src", "out"}
    assert {"src", "out"} <= {wire.node for wire in drawing.wires}


def test_the_same_wish_gives_the_same_drawing(drawing: Drawing) -> None:
    script = (
        "from tests.drawing.wishes import stage; from derive.drawing.draw import draw;"
        "from derive.drawing.place import Effort; print(repr(draw(stage(), effort=Effort(2, 20_000))))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == repr(drawing)


def test_a_pair_stands_level_and_mirrored() -> None:
    from derive.drawing.records import Wanted

    parts = (
        two("Vs", "voltage source", "a", "gnd"), two("Re", "resistor", "tail", "vee"),
        Wanted("Q1", "npn", (("base", "a"), ("collector", "vcc"), ("emitter", "tail"))),
        Wanted("Q2", "npn", (("base", "b"), ("collector", "out"), ("emitter", "tail"))),
        two("Rc", "resistor", "vcc", "out"), two("R1", "resistor", "b", "gnd"),
    )  # fmt: skip
    rails = (("vcc", "+12 V", "above"), ("vee", "−12 V", "below"))
    made = draw(Wish(parts, "gnd", rails, path=("a", "out"), pairs=(("Q1", "Q2"),)), effort=QUICK)  # type: ignore[arg-type]
    first, second = placed(made, "Q1"), placed(made, "Q2")
    assert first.at[1] == second.at[1]
    assert first.at[0] < second.at[0]
    assert (first.mirrored, second.mirrored) == (False, True)


def test_rows_and_columns_are_followed() -> None:
    made = draw(stage(rows=(("Rl", "Re"),), columns=(("Vs", "Rs"),)), effort=QUICK)
    assert placed(made, "Rl").at[1] == placed(made, "Re").at[1]
    assert placed(made, "Vs").at[0] == placed(made, "Rs").at[0]


def test_places_and_turns_are_followed() -> None:
    made = draw(stage(at=(("Q1", (20, 3)), ("Vs", (2, -5))), turned=(("Rs", 90),)), effort=QUICK)
    assert placed(made, "Q1").at == (20, 3)
    assert placed(made, "Vs").at == (2, -5)
    assert placed(made, "Rs").turn == 90


@pytest.mark.parametrize(
    ("hints", "words"),
    [
        ({"rows": (("Rl", "R9"),)}, "R9 is no part"),
        ({"at": (("Rl", (3, 3)), ("Re", (3, 3)))}, "Rl and Re are both asked to stand at 3, 3"),
        ({"at": (("Rl", (3, 3)), ("Re", (3, 4)))}, "nothing lies on anything else"),
        ({"at": (("Rl", (3, 3)), ("Re", (9, 4))), "rows": (("Rl", "Re"),)}, "cannot stand in one of the rows"),
    ],
)
def test_hints_that_cannot_be_followed_are_told(hints: dict[str, object], words: str) -> None:
    with pytest.raises(Undrawable, match=words):
        draw(stage(**hints), effort=Effort(seeds=1, moves=5_000))


def test_what_is_stored_stays(drawing: Drawing) -> None:
    data = json.loads(json.dumps(stored(drawing)))
    again = draw(stage(), data, QUICK)
    assert [(p.at, p.turn, p.mirrored) for p in again.parts] == [(p.at, p.turn, p.mirrored) for p in drawing.parts]


def test_an_added_part_moves_nothing_else(drawing: Drawing) -> None:
    wish = stage()
    more = Wish(**{**vars(wish), "parts": (*wish.parts, two("Ce", "capacitor", "e", "gnd", "100 µF"))})
    again = draw(more, stored(drawing), QUICK)
    for part in wish.parts:
        assert placed(again, part.name).at == placed(drawing, part.name).at


def test_a_part_wired_otherwise_is_placed_anew(drawing: Drawing) -> None:
    wish = stage()
    parts = tuple(two("Rl", "resistor", "e", "gnd", "10 kΩ") if p.name == "Rl" else p for p in wish.parts)
    parts = tuple(two("Co", "capacitor", "c", "base", "1 µF") if p.name == "Co" else p for p in parts)
    again = draw(
        Wish(**{**vars(wish), "parts": parts, "path": ("src", "base", "c"), "named": ()}), stored(drawing), QUICK
    )
    assert placed(again, "Q1").at == placed(drawing, "Q1").at
    assert len(again.parts) == len(parts)
