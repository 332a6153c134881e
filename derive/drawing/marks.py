"""Marks in their places: voltages and arrows beside wires, loops along them, badges beside parts, none upon another.

Enters: a drawing and what is to be marked. Leaves: a ``Marked``: geometry that a writer draws as it stands.
Must not know: LaTeX, SVG, how voltages and loops are found.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import islice

from derive.drawing.bands import Traced, bands, boxes_of, sign
from derive.drawing.belonging import target_of_node, target_of_part
from derive.drawing.letters import width_of
from derive.drawing.note import HEIGHT, Mark, Note
from derive.drawing.records import Arrow, Badge, Drawing, Marks, Place, Voltage
from derive.drawing.rooms import Room, extent, widened
from derive.drawing.stage import Stage, stage_of
from derive.drawing.standing import close, stand
from derive.drawing.symbols import Box

SHORT, LONG = 0.9, 2.6
"""Lengths of an arrow for a size of zero and of one."""
HEAD = 0.66
"""Room for the width of an arrow."""
CHOICE = 12
"""Places close by beyond which a mark is not thought to lack any."""


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


@lru_cache(maxsize=32)
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
    sources = {loop.name: stage.bodies.get(loop.through[0][0]) for loop in marks.loops if loop.through}
    notes: list[Note] = []
    for loop in loops:
        notes += sign(loop, sources.get(loop.of), room)
    for badge in marks.badges:
        notes += _badge(stage, badge, room)
    found = _seated([*(_arrow(arrow) for arrow in marks.arrows), *(_voltage(v) for v in marks.voltages)], stage, room)
    shafts: list[Shaft] = []
    for arrow, note in zip(marks.arrows, found, strict=False):
        if note is not None:
            shaft, words = _parted(arrow, note)
            shafts.append(shaft)
            notes.append(words)
    notes += [note for note in found[len(marks.arrows) :] if note is not None]
    boxes = [*stage.extent, *(note.box for note in notes), *(box for loop in loops for box in boxes_of(loop))]
    boxes += [widened(extent([(*s.foot, *s.foot), (*s.tip, *s.tip)]), HEAD / 2) for s in shafts]
    return Marked(tuple(notes), tuple(shafts), tuple(loops), frozenset(marks.faded), widened(extent(boxes), 0.3))


def _seated(wanted: list[Mark], stage: Stage, room: Room) -> list[Note | None]:
    """The places of marks of nodes; whoever has the fewest places close by chooses first."""
    targets = [target_of_node(stage.things, mark.of, stage.spots(mark.of)) for mark in wanted]
    choice = [sum(1 for _ in islice(close(*pair, room), CHOICE)) for pair in zip(wanted, targets, strict=True)]
    found: list[Note | None] = [None] * len(wanted)
    for index in sorted(range(len(wanted)), key=lambda n: (choice[n] or CHOICE + 1, n)):
        found[index] = stand(wanted[index], targets[index], room)
    return found


def _voltage(voltage: Voltage) -> Mark:
    return Mark("voltage", voltage.node, voltage.words, width_of(voltage.words))


def _arrow(arrow: Arrow) -> Mark:
    """An arrow with its words on its right, as one box."""
    return Mark("arrow", arrow.node, arrow.words, HEAD + width_of(arrow.words), max(_length(arrow), HEIGHT), head=HEAD)


def _length(arrow: Arrow) -> float:
    return SHORT + (LONG - SHORT) * min(max(arrow.size, 0.0), 1.0)


def _parted(arrow: Arrow, note: Note) -> tuple[Shaft, Note]:
    """The arrow and its words, each in its place in the box."""
    left, bottom, right, top = note.box
    x, middle = left + HEAD / 2, (bottom + top) / 2
    ends = (x, middle - _length(arrow) / 2), (x, middle + _length(arrow) / 2)
    foot, tip = ends if arrow.up else ends[::-1]
    words = (left + HEAD, middle - HEIGHT / 2, right, middle + HEIGHT / 2)
    return Shaft(arrow.node, foot, tip), Note("arrow", arrow.node, arrow.words, words, note.tie, 0, "left")


def _badge(stage: Stage, badge: Badge, room: Room) -> list[Note]:
    if badge.part not in stage.bodies:
        return []
    bodies = [thing.box for thing in stage.things if thing.sort == "body" and thing.of == badge.part]
    left, bottom, right, top = extent(bodies)
    x, y = (left + right) / 2, (bottom + top) / 2
    spots = [(right, y), (left, y), (x, top), (x, bottom), (right, top), (left, top), (right, bottom), (left, bottom)]
    mark = Mark("badge", badge.part, badge.words, width_of(badge.words) + 0.5, HEIGHT + 0.3)
    note = stand(mark, target_of_part(stage.things, badge.part, spots), room)
    return [note] if note else []
