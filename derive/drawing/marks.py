"""Marks in their places: voltages and arrows beside wires, loops along them, badges beside parts, none upon another.

Enters: a drawing and what is to be marked. Leaves: a ``Marked``: geometry that a writer draws as it stands.
Must not know: LaTeX, SVG, how voltages and loops are found.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from derive.drawing.bands import Traced, bands, boxes_of, sign
from derive.drawing.records import Arrow, Badge, Drawing, Marks, Place
from derive.drawing.rooms import Room, extent, widened
from derive.drawing.stage import Stage, stage_of
from derive.drawing.standing import HEIGHT, Note, stand, width_of
from derive.drawing.symbols import Box

SHORT, LONG = 0.9, 2.6
"""Lengths of an arrow for a size of zero and of one."""
HEAD = 0.7
"""Room for the width of an arrow."""


@dataclass(frozen=True)
class Shaft:
    """An arrow from its foot to its tip."""

    of: str
    foot: Place
    tip: Place


@dataclass(frozen=True)
class Marked:
    """All marks of a drawing in their places, and the box around drawing and marks."""

    notes: tuple[Note, ...]
    shafts: tuple[Shaft, ...]
    loops: tuple[Traced, ...]
    faded: frozenset[str]
    extent: Box


@lru_cache(maxsize=16)
def place(drawing: Drawing, marks: Marks) -> Marked:
    """Where each mark of a drawing stands. Marks of nodes and parts that are not drawn are left out.

    Kept, since every page that shows the drawing asks anew.
    """
    return place_on(stage_of(drawing), marks)


def place_on(stage: Stage, marks: Marks) -> Marked:
    """Where each mark stands on whatever shows the circuit."""
    room = Room(list(stage.taken))
    loops = bands(stage, marks.loops)
    for loop in loops:
        room.boxes += boxes_of(loop)
    notes: list[Note] = []
    shafts: list[Shaft] = []
    for loop in loops:
        notes += sign(loop, room)
    for badge in marks.badges:
        notes += _badge(stage, badge, room)
    for arrow in marks.arrows:
        shaft = _arrow(stage, arrow, room)
        if shaft:
            shafts.append(shaft[0])
            notes.append(shaft[1])
    for voltage in marks.voltages:
        spots = stage.spots(voltage.node)
        note = stand("voltage", voltage.node, voltage.words, width_of(voltage.words), HEIGHT, spots, room)
        notes += [note] if note else []
    boxes = [*stage.extent, *(note.box for note in notes), *(box for loop in loops for box in boxes_of(loop))]
    boxes += [widened(extent([(*s.foot, *s.foot), (*s.tip, *s.tip)]), HEAD / 2) for s in shafts]
    return Marked(tuple(notes), tuple(shafts), tuple(loops), frozenset(marks.faded), widened(extent(boxes), 0.3))


def _arrow(stage: Stage, arrow: Arrow, room: Room) -> tuple[Shaft, Note] | None:
    """An arrow with its words on its right, as one box."""
    length = SHORT + (LONG - SHORT) * min(max(arrow.size, 0.0), 1.0)
    width = HEAD + width_of(arrow.words)
    note = stand("arrow", arrow.node, arrow.words, width, max(length, HEIGHT), stage.spots(arrow.node), room)
    if note is None:
        return None
    left, bottom, right, top = note.box
    x, middle = left + HEAD / 2, (bottom + top) / 2
    ends = (x, middle - length / 2), (x, middle + length / 2)
    foot, tip = ends if arrow.up else ends[::-1]
    words = (left + HEAD, middle - HEIGHT / 2, right, middle + HEIGHT / 2)
    return Shaft(arrow.node, foot, tip), Note("arrow", arrow.node, arrow.words, words, note.tie, 0, "left")


def _badge(stage: Stage, badge: Badge, room: Room) -> list[Note]:
    if badge.part not in stage.bodies:
        return []
    left, bottom, right, top = stage.bodies[badge.part]
    x, y = (left + right) / 2, (bottom + top) / 2
    spots = [(right, y), (left, y), (x, top), (x, bottom), (right, top), (left, top), (right, bottom), (left, bottom)]
    note = stand("badge", badge.part, badge.words, width_of(badge.words) + 0.5, HEIGHT + 0.3, spots, room)
    return [note] if note else []
