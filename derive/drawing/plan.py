"""Everything that stands, as the grid sees it: boxes, pins, and which points are shut to wires.

Enters: variants in their places. Leaves: a plan. Must not know: how wires find their way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from derive.drawing.pack import Packed
from derive.drawing.records import Point
from derive.drawing.search.board import FREE
from derive.drawing.search.touch import NEAR
from derive.drawing.symbols import Box
from derive.drawing.variants import Variant, terminal_room, words_box

Edge = tuple[int, int, int]
"""A unit of wire: x, y of its lesser end, and 0 level or 1 upright."""


@dataclass(frozen=True)
class Standing:
    """A part's variant in its place."""

    number: int
    at: Point
    variant: Variant


@dataclass(frozen=True)
class Pin:
    """``way``: outward (0 east, 1 north, 2 west, 3 south); ``free``: price of a wire that turns here at once;
    ``node``: None for a rail's."""

    at: Point
    way: int
    free: float
    node: str | None


@dataclass(frozen=True)
class Plan:
    standing: tuple[Standing, ...]
    boxes: tuple[Box, ...]
    pins: tuple[Pin, ...]

    def of(self, node: str) -> tuple[Pin, ...]:
        return tuple(pin for pin in self.pins if pin.node == node)


def plan(packed: Packed, places: Sequence[Point], chosen: Sequence[int]) -> Plan:
    standing = tuple(
        Standing(n, at, own[v]) for n, (at, own, v) in enumerate(zip(places, packed.variants, chosen, strict=True))
    )
    boxes = tuple(box for one in standing for box in rooms(one))
    nets = set(packed.nets)
    pins = []
    for one in standing:
        part = packed.wish.parts[one.number]
        for k, (_, node) in enumerate(part.pins):
            x, y = one.variant.pins[k]
            free = float(packed.board.shapes[one.number, 0, FREE + k])
            at = (x + one.at[0], y + one.at[1])
            pins.append(Pin(at, one.variant.ways[k], free, node if node in nets else None))
    return Plan(standing, boxes, tuple(pins))


def rooms(one: Standing) -> list[Box]:
    """Body, words as a block, terminals and open ends of a part in its place."""
    own = [one.variant.body, *(terminal_room(t) for t in one.variant.terminals), *one.variant.open_ends]
    words = words_box(one.variant.words)
    if words is not None:
        own.append(words)
    return [shifted(box, one.at) for box in own]


def shifted(box: Box, by: Point) -> Box:
    return box[0] + by[0], box[1] + by[1], box[2] + by[0], box[3] + by[1]


def clear(box: Box, edge: Edge) -> bool:
    """Whether a unit of wire keeps away from a box."""
    x, y, upright = edge
    u, v = (x, y + 1) if upright else (x + 1, y)
    return u <= box[0] - NEAR or x >= box[2] + NEAR or v <= box[1] - NEAR or y >= box[3] + NEAR
