"""Where words may stand beside what they speak of: the nearest place where nobody takes them for another's.

Enters: words, what they speak of, the room that is taken. Leaves: a ``Note``.
Must not know: LaTeX, SVG, what the words say.

A place close by is taken where the words are clearly nearer to their own than to anything else: beside the name of
their own first, then along its wires. Where there is none, they get a thin line (a tie) to a spot of their own, the
shortest that crosses nothing; where every line crosses something, the one that crosses least.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, hypot
from typing import Literal, TypeAlias

from derive.drawing.belonging import Target, gap
from derive.drawing.records import Drawing, Place
from derive.drawing.rooms import Room, around, extent, nearest, pins_of
from derive.drawing.symbols import Box

HEIGHT = 0.8
"""Of a line of words, which are smaller than the drawing's own."""
BESIDE = (0.35, 0.5, 0.65)
"""Distances of marks that need no tie."""
NAME = 0.25
"""From a name to words beside it."""
LEAST = 0.45
"""Of a tie's length."""
REACH = ((3.0, 4), (9.0, 2))
"""How far a tie goes at most, and how many places a unit are tried: first close by, then farther off."""
APART = 0.3
TIGHT = 0.4
"""What a tied mark keeps free around itself, and the length of tie that it rather has than not."""
ASTRAY = (0.9, 1.2)
"""Nearer than this to what is not its own a tied mark seems to belong there, and how much tie that is worth."""
TRIED = 1600
"""Ties among which the one that crosses least is sought."""

Sort: TypeAlias = Literal["voltage", "arrow", "loop", "badge"]
Anchor: TypeAlias = Literal["left", "centre", "right"]


@dataclass(frozen=True)
class Note:
    """Words in a box; ``of``: what it speaks of (node, loop or part). ``tie``: the ends of a line to that."""

    sort: Sort
    of: str
    words: str
    box: Box
    tie: tuple[Place, Place] | None = None
    pattern: int = 0
    anchor: Anchor = "centre"

    @property
    def at(self) -> Place:
        """Where the words are anchored: at the side of their box that is next to what they speak of."""
        x = {"left": self.box[0], "right": self.box[2], "centre": (self.box[0] + self.box[2]) / 2}[self.anchor]
        return x, (self.box[1] + self.box[3]) / 2


@dataclass(frozen=True)
class Mark:
    """Words that seek a place, of a size; ``shaft``: length of the arrow on their left, ``head`` wide."""

    sort: Sort
    of: str
    words: str
    width: float
    height: float = HEIGHT
    pattern: int = 0
    head: float = 0.0

    def inks(self, box: Box) -> tuple[Box, ...]:
        """What is seen of the mark within its box."""
        left, bottom, right, top = box
        if not self.head:
            return (box,)
        middle = (bottom + top) / 2
        words = (left + self.head, middle - HEIGHT / 2, right, middle + HEIGHT / 2)
        return (left + self.head / 4, bottom, left + 3 * self.head / 4, top), words


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


def near(spot: Place, width: float, height: float, off: float) -> Iterator[Box]:
    """Boxes at a distance from a point: above, below, beside, and at the corners."""
    x, y = spot
    dx, dy = width / 2 + off, height / 2 + off
    for place in ((x, y + dy), (x, y - dy), (x + dx, y), (x - dx, y), (x + dx, y + dy), (x - dx, y + dy),
                  (x + dx, y - dy), (x - dx, y - dy)):  # fmt: skip
        yield around(place, width, height)


def close(mark: Mark, target: Target, room: Room) -> Iterator[Note]:
    """All places where the mark needs no tie, the best first."""
    for box, spot in _beside(mark, target):
        if room.free(box) and target.clear(mark.inks(box), room.notes):
            yield Note(mark.sort, mark.of, mark.words, box, None, mark.pattern, _anchor(mark, box, spot))


def stand(mark: Mark, target: Target, room: Room) -> Note | None:
    """The mark in the best place that is left; None where there is nothing to speak of."""
    if not target.spots:
        return None
    note = next(close(mark, target, room), None) or _tied(mark, target, room)
    room.boxes.append(note.box)
    room.notes += mark.inks(note.box)
    if note.tie:
        room.boxes += _dots(*note.tie)
    return note


def _beside(mark: Mark, target: Target) -> Iterator[tuple[Box, Place]]:
    """Boxes with the point each speaks of: next to a name, then along wires."""
    for left, bottom, right, top in target.names:
        y = (bottom + top) / 2
        aside = mark.width / 2 + NAME
        yield around((right + aside, y), mark.width, mark.height), (right, y)
        yield around((left - aside, y), mark.width, mark.height), (left, y)
    for off in BESIDE:
        for spot in target.spots:
            for box in near(spot, mark.width, mark.height, off):
                yield box, spot


def _tied(mark: Mark, target: Target, room: Room) -> Note:
    """The mark with a line to its own: the shortest that crosses nothing, else the one that crosses least."""
    crossed: list[tuple[float, Box, tuple[Place, Place]]] = []
    for reach, fine in REACH:
        for cost, box, tie in _ties(mark, target, room, reach, fine)[:TRIED]:
            weight = room.crossed(*tie)
            if not weight:
                return Note(mark.sort, mark.of, mark.words, box, tie, mark.pattern, _anchor(mark, box, tie[0]))
            crossed.append((cost + weight, box, tie))
    if crossed:
        _, box, tie = min(crossed)
    else:
        # Beyond all that is drawn there is always room.
        spot = target.spots[0]
        box = around((spot[0], extent(room.boxes)[3] + mark.height), mark.width, mark.height)
        tie = spot, nearest(spot, box)
    return Note(mark.sort, mark.of, mark.words, box, tie, mark.pattern, _anchor(mark, box, tie[0]))


def _ties(
    mark: Mark, target: Target, room: Room, reach: float, fine: int
) -> list[tuple[float, Box, tuple[Place, Place]]]:
    """Free places on a raster with a line to a spot, the best first: short, square to the page, with room around."""
    spots = target.pointed()
    left, bottom, right, top = extent((*spot, *spot) for spot in spots)
    wide, high = reach + mark.width / 2, reach + mark.height / 2
    found: list[tuple[float, Box, tuple[Place, Place]]] = []
    for x in range(floor(fine * (left - wide)), ceil(fine * (right + wide)) + 1):
        for y in range(floor(fine * (bottom - high)), ceil(fine * (top + high)) + 1):
            box = around((x / fine, y / fine), mark.width, mark.height)
            close_by = [spot for spot in spots if gap(box, (*spot, *spot)) <= reach]
            if close_by and room.free(box):
                astray = min(
                    (gap(mark.inks(box)[0], other) for other in (*target.foreign, *room.notes)), default=ASTRAY[0]
                )
                tight = TIGHT * (not room.free(box, APART)) + ASTRAY[1] * max(0.0, ASTRAY[0] - astray)
                ties = sorted(_tie(mark, box, spot) for spot in close_by)[:3]
                found += [(cost + tight, box, tie) for cost, far, tie in ties if far >= LEAST]
    return sorted(found)


def _tie(mark: Mark, box: Box, spot: Place) -> tuple[float, float, tuple[Place, Place]]:
    """What a line from a spot to a box costs, its length, its ends."""
    point = (*spot, *spot)
    ink = min(mark.inks(box), key=lambda ink: gap(ink, point))
    end = nearest(spot, ink)
    far = hypot(end[0] - spot[0], end[1] - spot[1])
    level, upright = end[1] == spot[1], end[0] == spot[0]
    aside = abs((ink[1] + ink[3]) / 2 - spot[1]) if level else abs((ink[0] + ink[2]) / 2 - spot[0]) if upright else 2.5
    return far + 0.2 * aside, far, (spot, end)


def _dots(start: Place, end: Place) -> Iterator[Box]:
    """The room that a tie takes."""
    (x, y), (far_x, far_y) = start, end
    count = max(2, ceil(5 * length(start, end)))
    for n in range(1, count):
        yield around((x + (far_x - x) * n / count, y + (far_y - y) * n / count), 0.2, 0.2)


def _anchor(mark: Mark, box: Box, spot: Place) -> Anchor:
    if mark.sort != "voltage":
        return "centre"
    return "left" if spot[0] <= box[0] else "right" if spot[0] >= box[2] else "centre"
