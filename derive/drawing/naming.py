"""Where a node's name is written: beside its wire, where nothing else stands.

Enters: a plan with its wires. Leaves: labels. Must not know: how the places were found.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from derive.drawing.mesh import STEPS, edge, ends
from derive.drawing.pack import Packed
from derive.drawing.place import Found
from derive.drawing.plan import Edge, Pin
from derive.drawing.records import Label, Point, Wish
from derive.drawing.symbols import Box, label_box

STUB = 1


def stub(pin: Pin) -> frozenset[Edge]:
    """The wire of a node that one pin alone touches: a unit outwards, with an open end."""
    x, y = pin.at
    return frozenset({edge((x, y), (x + STEPS[pin.way][0], y + STEPS[pin.way][1]))})


def names(wish: Wish, found: Found, packed: Packed) -> tuple[tuple[str, Label], ...]:
    """Labels of the named nodes; one for which there is no room at all is left out."""
    boxes = list(found.plan.boxes)
    every = [one for edges in found.routed.wires.values() for one in edges]
    written = []
    for node in packed.nets:
        pins = found.plan.of(node)
        if len(pins) == 1:
            written.append((node, _at_stub(node, pins[0])))
            continue
        if node not in wish.named:
            continue
        for label in _candidates(node, sorted(found.routed.wires[node]), pins):
            box = label_box(label)
            if not any(_hit(box, other) for other in boxes) and not any(_on(box, one) for one in every):
                boxes.append(box)
                written.append((node, label))
                break
    return tuple(written)


def _at_stub(node: str, pin: Pin) -> Label:
    dx, dy = STEPS[pin.way]
    x, y = pin.at[0] + dx * 1.4, pin.at[1] + dy * 1.9
    anchors: tuple[Literal["left", "centre", "right"], ...] = ("left", "centre", "right", "centre")
    return Label(node, (round(x, 3), round(y, 3)), anchors[pin.way])


def _candidates(node: str, edges: Sequence[Edge], pins: Sequence[Pin]) -> Iterator[Label]:
    """Above level wire first, from its middle outwards; then beside upright wire, below, and at bends."""
    level = [one for one in edges if not one[2]]
    upright = [one for one in edges if one[2]]
    middle = _middle([point for one in edges for point in ends(one)] or [pin.at for pin in pins])

    def far(one: Edge) -> tuple[float, Edge]:
        return abs(one[0] + 0.5 - middle[0]) + abs(one[1] - middle[1]), one

    for dy in (0.75, -0.75):
        for x, y, _ in sorted(level, key=far):
            yield Label(node, (x + 0.5, y + dy))
            yield Label(node, (x + 0.1, y + dy), "left")
            yield Label(node, (x + 0.9, y + dy), "right")
        if dy > 0:
            for x, y, _ in sorted(upright, key=far):
                yield Label(node, (x + 0.35, y + 0.5), "left")
                yield Label(node, (x - 0.35, y + 0.5), "right")
    for point in sorted({p for one in edges for p in ends(one)} | {pin.at for pin in pins}):
        for dx, anchor in ((0.35, "left"), (-0.35, "right")):
            for dy in (0.75, -0.75):
                yield Label(node, (point[0] + dx, point[1] + dy), anchor)  # type: ignore[arg-type]


def _middle(points: Sequence[Point]) -> tuple[float, float]:
    return sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)


def _hit(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])


def _on(box: Box, one: Edge) -> bool:
    (a, b), (c, d) = ends(one)
    return c > box[0] - 0.1 and a < box[2] + 0.1 and d > box[1] - 0.1 and b < box[3] + 0.1
