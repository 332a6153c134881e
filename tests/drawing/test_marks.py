"""Marks stand clear of the drawing and of each other, near what they speak of; loops run along their wires."""

from __future__ import annotations

from itertools import combinations, pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from derive.drawing.marks import Marked, place
from derive.drawing.records import Arrow, Badge, Drawing, Loop, Marks, Voltage
from derive.drawing.rooms import along, overlap, pins_of, taken
from derive.drawing.traces import trace
from tests.drawing.hand_placed import AROUND, INNER, follower, marks

NODES = ("src", "gate", "out", "boot", "vcc")


def assert_clear(drawing: Drawing, marked: Marked) -> None:
    boxes = [note.box for note in marked.notes]
    boxes += [along(s.foot, s.tip, 0.05) for s in marked.shafts]
    assert not [(a, b) for a, b in combinations(boxes, 2) if overlap(a, b)]
    assert not [(box, other) for box in boxes for other in taken(drawing) if overlap(box, other)]
    left, bottom, right, top = marked.extent
    assert all(left <= b[0] and bottom <= b[1] and b[2] <= right and b[3] <= top for b in boxes)


def test_every_mark_is_there_and_clear() -> None:
    drawing = follower()
    marked = place(drawing, marks())
    assert_clear(drawing, marked)
    assert sorted((note.sort, note.of) for note in marked.notes) == sorted(
        [("arrow", "gate"), ("arrow", "out"), ("arrow", "boot"), ("badge", "Rg"), ("loop", "L"), ("loop", "T"),
         ("voltage", "gate"), ("voltage", "out"), ("voltage", "boot"), ("voltage", "src")]
    )  # fmt: skip
    assert marked.faded == {"Cb"}


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(NODES), st.text(min_size=1, max_size=14)), max_size=12),
    st.lists(st.tuples(st.sampled_from(NODES), st.booleans(), st.floats(0, 1)), max_size=8),
    st.lists(st.sampled_from(("Rg", "R1", "R2", "Cb", "Q1")), max_size=5),
)
def test_any_number_of_marks_stays_clear(
    voltages: list[tuple[str, str]], arrows: list[tuple[str, bool, float]], badges: list[str]
) -> None:
    wanted = Marks(
        tuple(Voltage(node, words) for node, words in voltages),
        tuple(Arrow(node, up, size, "0.50") for node, up, size in arrows),
        (Loop("T", AROUND, True, 0),),
        tuple(Badge(part, "× 10") for part in badges),
    )
    drawing = follower()
    marked = place(drawing, wanted)
    assert len(marked.notes) == len(voltages) + len(arrows) + len(badges) + 1
    assert_clear(drawing, marked)


def test_arrows_point_and_grow() -> None:
    up, down = place(follower(), Marks((), (Arrow("gate", True, 1, "1"), Arrow("out", False, 0.1, "−0.1")))).shafts
    assert up.tip[1] > up.foot[1]
    assert down.tip[1] < down.foot[1]
    assert up.tip[1] - up.foot[1] > down.foot[1] - down.tip[1]


def test_a_loop_runs_along_its_wires_and_closes() -> None:
    (run,) = trace(follower(), Loop("T", AROUND, False, 0))
    assert run[0] == run[-1]
    assert set(run) >= {(14, 1), (14, 0), (19, 0), (19, -7), (8, -7), (8, 2), (14, 2)}
    assert all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(run))


def test_loops_side_by_side_do_not_cover_each_other() -> None:
    first, second = place(follower(), Marks(loops=(Loop("T", AROUND, False, 0), Loop("L", INNER, True, 1)))).loops
    assert not set(first.runs[0]) & set(second.runs[0])
    assert first.pattern != second.pattern
    assert all(abs(a[0][0] - b[0][0]) + abs(a[0][1] - b[0][1]) > 1 for a in first.heads for b in second.heads)


def test_a_loop_through_what_is_not_drawn_has_a_gap() -> None:
    through = (("R1", "first"), ("R1", "second"), ("R2", "first"), ("R2", "second"), ("Vs", "second"), ("Vs", "first"),
               ("Rs", "first"), ("Rs", "second"), ("Q1", "gate"), ("Q1", "source"), ("Rx", "first"))  # fmt: skip
    runs = trace(follower(), Loop("T", through, False, 0))
    assert len(runs) == 1
    places = {name: pins_of(part) for part in follower().parts for name in [part.part.name]}
    assert {runs[0][0], runs[0][-1]} == {places["R2"]["second"], places["Vs"]["second"]}


def test_marks_of_what_is_not_drawn_are_left_out() -> None:
    wanted = Marks((Voltage("nowhere", "1 V"),), (Arrow("nowhere", True, 1, ""),), (), (Badge("R99", "× 2"),))
    marked = place(follower(), wanted)
    assert not marked.notes
    assert not marked.shafts


def test_an_empty_drawing_has_an_extent() -> None:
    left, bottom, right, top = place(Drawing((), (), (), (), ()), Marks()).extent
    assert left < right
    assert bottom < top
