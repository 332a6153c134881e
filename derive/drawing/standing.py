"""Where words may stand beside what they speak of: the nearest place that touches nothing.

Enters: a drawing, the room that is taken, words with the points they may stand at. Leaves: a ``Note``.
Must not know: LaTeX, SVG, what the words say.

Places around the points are tried from the nearest outwards, and the first that is free is taken; what stands farther
off gets a thin line to its point.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Literal, TypeAlias

from derive.drawing.records import Drawing, Place
from derive.drawing.rooms import Room, around, extent, pins_of
from derive.drawing.symbols import Box

HEIGHT = 0.8
"""Of a line of words, which are smaller than the drawing's own."""
BESIDE = 0.35
FAR = 1.2
"""A mark farther from its wire than this is tied to it by a line."""
OUTWARD = tuple(0.25 * step for step in range(1, 50))

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
    anchor: Literal["left", "centre", "right"] = "centre"

    @property
    def at(self) -> Place:
        """Where the words are anchored: at the side of their box that is next to what they speak of."""
        x = {"left": self.box[0], "right": self.box[2], "centre": (self.box[0] + self.box[2]) / 2}[self.anchor]
        return x, (self.box[1] + self.box[3]) / 2


def width_of(words: str) -> float:
    """A generous estimate of the width of a mark's words."""
    return max(0.6, sum(_character(char) for char in words))


def _character(char: str) -> float:
    if char in " .,:;'|!il()":
        return 0.27
    if char.isdigit() or (char.isascii() and char.islower() and char not in "mw"):
        return 0.4
    return 0.64 if char.isascii() or char in "−×ΩµΔ±·°" else 0.9


def spots_of(drawing: Drawing, node: str) -> list[Place]:
    """Points of a node at which a mark may point: along its wires, the middle of the longest run first; else its
    pins and local symbols."""
    runs = [(a, b) for wire in drawing.wires if wire.node == node
            for a, b in pairwise(wire.points) if a != b]  # fmt: skip
    runs.sort(key=lambda run: (-length(*run), run))
    spots: list[Place] = []
    for a, b in runs:
        steps = max(1, round(2 * length(a, b)))
        shares = sorted((n / steps for n in range(steps + 1)), key=lambda share: abs(share - 0.5))
        spots += [(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for share in shares]
    for part in drawing.parts:
        places = pins_of(part)
        spots += [places[pin] for pin, at in part.part.pins if at == node and pin in places]
    spots += [terminal.at for terminal in drawing.terminals if terminal.node == node]
    return list(dict.fromkeys(spots))


def length(a: Place, b: Place) -> float:
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


def stand(
    sort: Sort, of: str, words: str, width: float, height: float, spots: Sequence[Place], room: Room, pattern: int = 0
) -> Note | None:
    """The words in the first free place; None where there is nothing to speak of.

    Far from what they speak of, they stand where a line to it crosses nothing; where there is no such place, anywhere.
    """
    if not spots:
        return None
    crossed: Note | None = None
    for box, spot, off in _candidates(spots, width, height):
        if not room.free(box):
            continue
        tie = (spot, _edge(box, spot)) if off > FAR else None
        anchor = _towards(box, spot) if sort == "voltage" else "centre"
        note = Note(sort, of, words, box, tie, pattern, anchor)
        if tie is None or room.passes(*tie):
            _take(note, room)
            return note
        crossed = crossed or note
    if crossed is None:
        # Beyond all that is drawn there is always room.
        x, y = spots[0]
        box = around((x, extent(room.boxes)[3] + height), width, height)
        crossed = Note(sort, of, words, box, ((x, y), _edge(box, (x, y))), pattern)
    _take(crossed, room)
    return crossed


def _take(note: Note, room: Room) -> None:
    """The words take their room, and so does the line to them."""
    room.take(note.box)
    if note.tie:
        (x, y), (far_x, far_y) = note.tie
        count = max(1, ceil(2 * length(*note.tie)))
        for n in range(1, count):
            room.take(around((x + (far_x - x) * n / count, y + (far_y - y) * n / count), 0.2, 0.2))


def _towards(box: Box, spot: Place) -> Literal["left", "centre", "right"]:
    return "left" if spot[0] < box[0] else "right" if spot[0] > box[2] else "centre"


def _edge(box: Box, spot: Place) -> Place:
    """The point of a box nearest to a place."""
    return min(max(spot[0], box[0]), box[2]), min(max(spot[1], box[1]), box[3])
