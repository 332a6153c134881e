"""Free room in a drawing: what is taken already, and where a box may still stand.

Enters: a drawing. Leaves: boxes, and whether one is free. Must not know: LaTeX, SVG, what a mark says.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil, hypot

from derive.drawing.letters import name_box
from derive.drawing.records import Drawing, Place, Placed, Point
from derive.drawing.symbols import Box, body, label_box, pins, terminal_box

WIRE = 0.14
"""Half of the width that a wire keeps free."""
LEAD = 0.12
THIN = 0.45
"""A box narrower than this is a line's."""
CROSSED = (3.0, 8.0)
"""What it costs a line to cross a line, and anything else."""


def moved(box: Box, place: Place) -> Box:
    """A box as seen from the page, that was seen from a place."""
    return box[0] + place[0], box[1] + place[1], box[2] + place[0], box[3] + place[1]


def widened(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def around(place: Place, width: float, height: float) -> Box:
    """A box of a size with its middle at a place."""
    return place[0] - width / 2, place[1] - height / 2, place[0] + width / 2, place[1] + height / 2


def along(start: Place, end: Place, half: float) -> Box:
    """The box of a straight run."""
    left, right = sorted((start[0], end[0]))
    bottom, top = sorted((start[1], end[1]))
    return left - half, bottom - half, right + half, top + half


def body_of(part: Placed) -> Box:
    return moved(body(part.part.kind, part.turn, part.mirrored), part.at)


def pins_of(part: Placed) -> dict[str, Point]:
    """Where the pins of a placed part lie on the page."""
    found = pins(part.part.kind, part.turn, part.mirrored)
    return {name: (x + part.at[0], y + part.at[1]) for name, (x, y) in found.items()}


def taken(drawing: Drawing) -> list[Box]:
    """The boxes of all that is drawn: bodies, leads, words, wires, local symbols."""
    boxes: list[Box] = []
    for part in drawing.parts:
        inner = body_of(part)
        boxes.append(inner)
        boxes += [along(pin, nearest(pin, inner), LEAD) for pin in pins_of(part).values()]
        boxes += [label_box(label) for label in part.labels]
    for wire in drawing.wires:
        boxes += [along(a, b, WIRE) for a, b in pairwise(wire.points)]
    boxes += [moved(terminal_box(t.label, t.way), t.at) for t in drawing.terminals]
    boxes += [name_box(label) for _, label in drawing.named]
    return boxes


def nearest(pin: Place, box: Box) -> Place:
    return min(max(pin[0], box[0]), box[2]), min(max(pin[1], box[1]), box[3])


def extent(boxes: Iterable[Box]) -> Box:
    """The box around boxes; of nothing, a point."""
    found = list(boxes)
    if not found:
        return 0.0, 0.0, 0.0, 0.0
    return min(b[0] for b in found), min(b[1] for b in found), max(b[2] for b in found), max(b[3] for b in found)


@dataclass
class Room:
    """What is taken; marks are added one by one as they find their places."""

    boxes: list[Box] = field(default_factory=list)
    notes: list[Box] = field(default_factory=list)
    """Of the boxes those that are marks."""

    def free(self, box: Box, clearance: float = 0.06) -> bool:
        wide = widened(box, clearance)
        return not any(overlap(wide, other) for other in self.boxes)

    def crossed(self, start: Place, end: Place) -> float:
        """What a line crosses, but for what it begins on: the sum of what each box is worth; thin ones are wires."""
        count = max(2, ceil(8 * hypot(end[0] - start[0], end[1] - start[1])))
        shares = [n / count for n in range(1, count)]
        points = [(start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])) for t in shares]
        within = along(start, end, 0.05)
        ahead = [b for b in self.boxes if overlap(within, b) and not overlap(around(start, 0.1, 0.1), b)]
        hit = [b for b in ahead if any(overlap(around(point, 0.05, 0.05), b) for point in points)]
        return sum(CROSSED[min(b[2] - b[0], b[3] - b[1]) > THIN] for b in hit)
