"""No mark is taken for another's: it stands nearer to its own than to all else, or has a line to its own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from derive.drawing.belonging import CLEAR, CLOSE, gap
from derive.drawing.draw import draw
from derive.drawing.marks import Marked, place_on
from derive.drawing.place import Effort
from derive.drawing.records import Arrow, Drawing, Label, Loop, Marks, Placed, Voltage, Wanted, Wire
from derive.drawing.rooms import along, overlap
from derive.drawing.stage import Stage, stage_of
from derive.drawing.standing import length
from derive.drawing.symbols import Box
from tests.drawing.hand_placed import AROUND, INNER, follower, part
from tests.drawing.stages import random_wish

QUICK = Effort(seeds=2, moves=20_000)


def nodes_of(drawing: Drawing) -> list[str]:
    rails = {terminal.node for terminal in drawing.terminals}
    return list(dict.fromkeys(node for p in drawing.parts for _, node in p.part.pins if node not in rails))


def voltages(drawing: Drawing) -> Marks:
    return Marks(tuple(Voltage(node, f"−{n}.62 mV") for n, node in enumerate(nodes_of(drawing))))


def arrows(drawing: Drawing) -> Marks:
    nodes = enumerate(nodes_of(drawing))
    return Marks(arrows=tuple(Arrow(node, n % 2 == 0, n % 5 / 4, "1.02 mV") for n, node in nodes))


def untied(marked: Marked) -> Iterator[tuple[str, list[Box]]]:
    """The node of each mark without a line, and the boxes of what is seen of it, the arrow first."""
    shafts = iter(marked.shafts)
    for note in marked.notes:
        if note.sort in ("voltage", "arrow"):
            shaft = [along((s := next(shafts)).foot, s.tip, 0.33)] if note.sort == "arrow" else []
            if note.tie is None:
                yield note.of, [*shaft, note.box]


def assert_belonging(stage: Stage, marked: Marked) -> None:
    """Told from the things that are seen, not from how the places were chosen."""
    for node, boxes in untied(marked):
        own = [t.box for t in stage.things if t.sort in ("wire", "name") and t.of == node]
        other = [t.box for t in stage.things if t.sort not in ("wire", "name") or t.of != node]
        near = min(gap(boxes[0], box) for box in own)
        assert near <= CLOSE, node
        assert all(gap(seen, box) > near + CLEAR - 0.2 for seen in boxes for box in other), node


def pierced(stage: Stage, marked: Marked) -> list[str]:
    """Marks whose line runs across a body or across words of a part."""
    solid = [thing.box for thing in stage.things if thing.sort in ("body", "words")]
    return [note.of for note in marked.notes if note.tie and any(_across(*note.tie, box) for box in solid)]


def _across(start: tuple[float, float], end: tuple[float, float], box: Box) -> bool:
    count = max(2, round(10 * length(start, end)))
    points = ((start[0] + (end[0] - start[0]) * n / count, start[1] + (end[1] - start[1]) * n / count)
              for n in range(1, count))  # fmt: skip
    return any(overlap((x, y, x, y), box) for x, y in points)


@pytest.mark.parametrize("seed", range(3, 200, 23))
def test_marks_of_a_random_circuit_are_told_apart(seed: int) -> None:
    drawing = draw(random_wish(seed), effort=QUICK)
    stage = stage_of(drawing)
    for wanted in (voltages(drawing), arrows(drawing)):
        marked = place_on(stage, wanted)
        assert len(marked.notes) == len(nodes_of(drawing))
        assert_belonging(stage, marked)
        assert place_on(stage_of(drawing), wanted) == marked


@pytest.mark.slow
def test_lines_of_a_hundred_random_circuits_run_clear_of_parts() -> None:
    across = tied = 0
    for seed in range(100):
        drawing = draw(random_wish(seed), effort=QUICK)
        stage = stage_of(drawing)
        for wanted in (voltages(drawing), arrows(drawing)):
            marked = place_on(stage, wanted)
            assert_belonging(stage, marked)
            across += len(pierced(stage, marked))
            tied += sum(note.tie is not None for note in marked.notes)
    print(f"{across} of {tied} lines across a part or its words")
    assert across < tied / 50


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(("src", "gate", "out", "boot")), unique=True), st.booleans())
def test_any_choice_of_nodes_is_told_apart(nodes: list[str], traced: bool) -> None:
    loops = (Loop("T", AROUND, True, 0),) if traced else ()
    stage = stage_of(follower())
    for wanted in (Marks(tuple(Voltage(node, "87.6 mV") for node in nodes), loops=loops),
                   Marks(arrows=tuple(Arrow(node, True, 1.0, "1.00 mV") for node in nodes), loops=loops)):  # fmt: skip
        marked = place_on(stage, wanted)
        assert_belonging(stage, marked)
        assert not pierced(stage, marked)


def test_words_stand_beside_the_name_of_their_node() -> None:
    marked = place_on(stage_of(follower()), Marks((Voltage("out", "2.31 V"),)))
    (note,) = marked.notes
    assert note.tie is None
    assert note.at[1] == 0
    assert 23.4 < note.box[0] < 26


def test_a_node_between_two_pins_is_pointed_at() -> None:
    """Between two upright resistors there is no room that is clearly the node's."""

    def upright(name: str, nodes: tuple[str, str], y: int) -> Placed:
        return part(name, "resistor", nodes, (0, y), 270, value="1 kΩ")

    drawing = Drawing((upright("R1", ("a", "b"), 2), upright("R2", ("b", "c"), -2)), (), (), (), ())
    (note,) = place_on(stage_of(drawing), Marks((Voltage("b", "1.00 V"),))).notes
    assert note.tie is not None
    assert note.tie[0] == (0, 0)
    assert note.tie[1][1] == 0


def test_words_keep_off_the_wire_that_crosses_theirs() -> None:
    wires = (Wire("up", ((0, 3), (0, -3))), Wire("across", ((-8, 0), (8, 0))))
    drawing = Drawing((), wires, (), (), (("across", Label("across", (1.5, 0.75), "left")),))
    stage = stage_of(drawing)
    marked = place_on(stage, Marks((Voltage("up", "752 mV"), Voltage("across", "87.6 mV"))))
    assert_belonging(stage, marked)


@pytest.mark.parametrize(("loop", "source"), [(AROUND, "Q1"), (INNER, "Q1"), ((*AROUND[2:], *AROUND[:2]), "Cb")])
def test_the_name_of_a_loop_stands_by_its_source(loop: tuple[tuple[str, str], ...], source: str) -> None:
    stage = stage_of(follower())
    (note,) = place_on(stage, Marks(loops=(Loop("T", loop, True, 0),))).notes
    assert gap(note.box, stage.bodies[source]) < 2.5
    assert min(gap(note.box, other) for name, other in stage.bodies.items() if name != source) > 0


def test_wanted_parts_may_have_pins_that_are_not_drawn() -> None:
    odd = Placed(Wanted("R1", "resistor", (("first", "a"), ("third", "b"))), (0, 0), 0, False, ())
    marked = place_on(stage_of(Drawing((odd,), (), (), (), ())), Marks((Voltage("a", "1 V"), Voltage("b", "2 V"))))
    assert [note.of for note in marked.notes] == ["a"]
