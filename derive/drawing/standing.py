"""Where words may stand beside what they speak of: the nearest place where nobody takes them for another's.

Enters: words, what they speak of, the room that is taken. Leaves: a ``Note``.
Must not know: LaTeX, SVG, what the words say.

A place close by is taken where the words are clearly nearer to their own than to anything else: beside the name of
their own first, then along its wires. Where there is none, they get a thin line (a tie) to a spot of their own, the
shortest that crosses nothing; where every line crosses something, the one that crosses least.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from derive.drawing.belonging import Target
from derive.drawing.note import Mark, Note, seated
from derive.drawing.records import Drawing, Place
from derive.drawing.rooms import Room, around, pins_of
from derive.drawing.symbols import Box
from derive.drawing.tying import dots, tied

BESIDE = (0.35, 0.5, 0.65)
"""Distances of marks that need no tie."""
NAME = 0.25
"""From a name to words beside it."""


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
            yield seated(mark, box, spot)


def stand(mark: Mark, target: Target, room: Room) -> Note | None:
    """The mark in the best place that is left; None where there is nothing to speak of."""
    if not target.spots:
        return None
    note = next(close(mark, target, room), None) or tied(mark, target, room)
    room.boxes.append(note.box)
    room.notes += mark.inks(note.box)
    if note.tie:
        room.boxes += dots(*note.tie)
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
