"""Marks in their places: voltages and arrows beside wires, loops along them, badges beside parts, none upon another.

Enters: a drawing and what is to be marked. Leaves: a ``Marked``: geometry that a writer draws as it stands.
Must not know: LaTeX, SVG, how voltages and loops are found.

Each mark stands as near as it can to what it speaks of: places along the wire (or around the body) are tried from
the nearest outwards, and the first that touches nothing is taken; what stands farther off gets a thin line to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.drawing.records import Arrow, Badge, Drawing, Loop, Marks, Place
from derive.drawing.rooms import Room, along, around, body_of, extent, overlap, pins_of, taken, widened
from derive.drawing.symbols import CHARACTER, LINE, Box
from derive.drawing.traces import trace

TIGHT = 0.85
"""Letters of marks, as a share of those of the drawing's own words."""
HEIGHT = LINE * TIGHT
SHORT, LONG = 0.9, 2.6
"""Lengths of an arrow for a size of zero and of one."""
HEAD = 0.7
"""Room for the width of an arrow."""
BESIDE = 0.3
FAR = 1.2
"""A mark farther from its wire than this is tied to it by a line."""
STEP = 0.3
"""Between parallel loops."""
BAND = 0.2
"""Half of the width that a loop's band keeps free."""
HEADS = 2
"""Arrowheads on a loop."""
OUTWARD = tuple(0.35 * step for step in range(1, 36))

Sort: TypeAlias = Literal["voltage", "arrow", "loop", "badge"]


@dataclass(frozen=True)
class Note:
    """Words in a box; ``of``: what it speaks of (node, loop or part). ``tie``: the ends of a line to that."""

    sort: Sort
    of: str
    words: str
    box: Box
    tie: tuple[Place, Place] | None = None
    pattern: int = 0

    @property
    def middle(self) -> Place:
        return (self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2


@dataclass(frozen=True)
class Shaft:
    """An arrow from its foot to its tip."""

    of: str
    foot: Place
    tip: Place


@dataclass(frozen=True)
class Traced:
    """The line of a loop in runs of points, and where an arrowhead shows its direction (place, way)."""

    of: str
    runs: tuple[tuple[Place, ...], ...]
    heads: tuple[tuple[Place, Place], ...]
    pattern: int
    negative: bool


@dataclass(frozen=True)
class Marked:
    """All marks of a drawing in their places, and the box around drawing and marks."""

    notes: tuple[Note, ...]
    shafts: tuple[Shaft, ...]
    loops: tuple[Traced, ...]
    faded: frozenset[str]
    extent: Box


def place(drawing: Drawing, marks: Marks) -> Marked:
    """Where each mark stands. Marks of nodes and parts that are not drawn are left out."""
    room = Room(taken(drawing))
    drawn = list(room.boxes)
    loops = _loops(drawing, marks.loops)
    for loop in loops:
        room.boxes += [along(a, b, BAND) for run in loop.runs for a, b in zip(run, run[1:], strict=False)]
    notes: list[Note] = []
    shafts: list[Shaft] = []
    for loop in loops:
        notes += _sign(loop, room)
    for badge in marks.badges:
        notes += _badge(drawing, badge, room)
    for arrow in marks.arrows:
        shaft = _arrow(drawing, arrow, room)
        if shaft:
            shafts.append(shaft[0])
            notes.append(shaft[1])
    for voltage in marks.voltages:
        spots = _spots(drawing, voltage.node)
        note = _stand("voltage", voltage.node, voltage.words, _width(voltage.words), HEIGHT, spots, room)
        notes += [note] if note else []
    boxes = [*drawn, *(note.box for note in notes), *(_run_box(run) for loop in loops for run in loop.runs)]
    boxes += [widened(extent([(*s.foot, *s.foot), (*s.tip, *s.tip)]), HEAD / 2) for s in shafts]
    return Marked(tuple(notes), tuple(shafts), tuple(loops), frozenset(marks.faded), widened(extent(boxes), 0.3))


def _width(words: str) -> float:
    return max(CHARACTER * TIGHT * len(words), 0.6)


# --- Where a mark may stand ---------------------------------------------------------------------------------


def _spots(drawing: Drawing, node: str) -> list[Place]:
    """Points of a node at which a mark may point: along its wires, the middle of the longest run first; else its
    pins and local symbols."""
    runs = [(a, b) for wire in drawing.wires if wire.node == node
            for a, b in zip(wire.points, wire.points[1:], strict=False) if a != b]  # fmt: skip
    runs.sort(key=lambda run: (-_length(*run), run))
    spots: list[Place] = []
    for a, b in runs:
        steps = max(1, round(2 * _length(a, b)))
        shares = sorted((n / steps for n in range(steps + 1)), key=lambda share: abs(share - 0.5))
        spots += [(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for share in shares]
    for part in drawing.parts:
        places = pins_of(part)
        spots += [places[pin] for pin, at in part.part.pins if at == node and pin in places]
    spots += [terminal.at for terminal in drawing.terminals if terminal.node == node]
    return list(dict.fromkeys(spots))


def _length(a: Place, b: Place) -> float:
    return abs(b[0] - a[0]) + abs(b[1] - a[1])


def _near(spot: Place, width: float, height: float, off: float) -> Iterator[Box]:
    """Boxes at a distance from a point: above, below, beside, and at the corners."""
    x, y = spot
    dx, dy = width / 2 + off, height / 2 + off
    for place in ((x, y + dy), (x, y - dy), (x + dx, y), (x - dx, y), (x + dx, y + dy), (x - dx, y + dy),
                  (x + dx, y - dy), (x - dx, y - dy)):  # fmt: skip
        yield around(place, width, height)


def _candidates(spots: Sequence[Place], width: float, height: float) -> Iterator[tuple[Box, Place, float]]:
    """Boxes with the point that each speaks of, the nearest to the wire first."""
    for off in (BESIDE, *(BESIDE + far for far in OUTWARD)):
        for spot in spots:
            for box in _near(spot, width, height, off):
                yield box, spot, off


def _stand(
    sort: Sort, of: str, words: str, width: float, height: float, spots: Sequence[Place], room: Room, pattern: int = 0
) -> Note | None:
    """The words in the first free place; None where there is nothing to speak of."""
    for box, spot, off in _candidates(spots, width, height):
        if room.free(box):
            room.take(box)
            return Note(sort, of, words, box, (spot, _edge(box, spot)) if off > FAR else None, pattern)
    if not spots:
        return None
    # Beyond all that is drawn there is always room.
    outer = extent(room.boxes)
    x, y = spots[0]
    box = around((x, outer[3] + height), width, height)
    room.take(box)
    return Note(sort, of, words, box, ((x, y), _edge(box, (x, y))), pattern)


def _edge(box: Box, spot: Place) -> Place:
    """The point of a box nearest to a place."""
    return min(max(spot[0], box[0]), box[2]), min(max(spot[1], box[1]), box[3])


# --- The sorts of marks -----------------------------------------------------------------------------------------


def _arrow(drawing: Drawing, arrow: Arrow, room: Room) -> tuple[Shaft, Note] | None:
    """An arrow with its words on its right, as one box."""
    length = SHORT + (LONG - SHORT) * min(max(arrow.size, 0.0), 1.0)
    width = HEAD + _width(arrow.words)
    note = _stand("arrow", arrow.node, arrow.words, width, max(length, HEIGHT), _spots(drawing, arrow.node), room)
    if note is None:
        return None
    left, bottom, right, top = note.box
    x, middle = left + HEAD / 2, (bottom + top) / 2
    ends = (x, middle - length / 2), (x, middle + length / 2)
    foot, tip = ends if arrow.up else ends[::-1]
    words = (left + HEAD, middle - HEIGHT / 2, right, middle + HEIGHT / 2)
    return Shaft(arrow.node, foot, tip), Note("arrow", arrow.node, arrow.words, words, note.tie)


def _badge(drawing: Drawing, badge: Badge, room: Room) -> list[Note]:
    found = [part for part in drawing.parts if part.part.name == badge.part]
    if not found:
        return []
    left, bottom, right, top = body_of(found[0])
    x, y = (left + right) / 2, (bottom + top) / 2
    spots = [(right, y), (left, y), (x, top), (x, bottom), (right, top), (left, top), (right, bottom), (left, bottom)]
    note = _stand("badge", badge.part, badge.words, _width(badge.words) + 0.5, HEIGHT + 0.3, spots, room)
    return [note] if note else []


def _loops(drawing: Drawing, loops: Iterable[Loop]) -> list[Traced]:
    """The lines of loops, side by side where there are several."""
    wanted = list(loops)
    bodies = [body_of(part) for part in drawing.parts]
    traced: list[Traced] = []
    for number, loop in enumerate(wanted):
        runs = trace(drawing, loop)
        if not runs:
            continue
        # A square line shifted along a diagonal keeps one distance from itself everywhere.
        by = STEP * (number - (len(wanted) - 1) / 2)
        runs = tuple(tuple((x + by, y - by) for x, y in run) for run in runs)
        others = [head[0] for other in traced for head in other.heads]
        traced.append(Traced(loop.name, runs, _heads(runs, bodies, others), loop.pattern, loop.negative))
    return traced


def _heads(
    runs: tuple[tuple[Place, ...], ...], bodies: list[Box], others: list[Place]
) -> tuple[tuple[Place, Place], ...]:
    """Two arrowheads on the longest straight pieces, clear of bodies and of the heads of other loops."""
    pieces = [(a, b) for run in runs for a, b in zip(run, run[1:], strict=False)]
    heads: list[tuple[Place, Place]] = []
    for a, b in sorted(pieces, key=lambda piece: -_length(*piece)):
        spots = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in (0.5, 0.35, 0.65, 0.2, 0.8)]
        free = [spot for spot in spots if not any(overlap(around(spot, 1, 1), body) for body in bodies)
                and all(_length(spot, other) > 1.2 for other in (*others, *(head[0] for head in heads)))]  # fmt: skip
        if free and _length(a, b) > 1:
            heads.append((free[0], _way(a, b)))
        if len(heads) == HEADS:
            break
    return tuple(heads)


def _way(a: Place, b: Place) -> Place:
    length = _length(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _sign(loop: Traced, room: Room) -> list[Note]:
    """The loop's sign and name, near one of its longest pieces."""
    words = f"{'−' if loop.negative else '+'} {loop.of}"
    pieces = [(a, b) for run in loop.runs for a, b in zip(run, run[1:], strict=False)]
    pieces.sort(key=lambda piece: -_length(*piece))
    spots = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for a, b in pieces for t in (0.3, 0.7, 0.5, 0.1, 0.9)]
    note = _stand("loop", loop.of, words, _width(words) + 0.6, HEIGHT + 0.3, spots, room, loop.pattern)
    return [note] if note else []


def _run_box(run: tuple[Place, ...]) -> Box:
    return widened(extent([(*place, *place) for place in run]), 0.15)
