"""A picture of a circuit of the author's own, as a stage for marks.

Enters: a picture with the places of nodes and parts on it. Leaves: a ``Stage``. Must not know: LaTeX, SVG, circuits.

What the picture shows is not known, but where there is ink: marks keep clear of it, of each other, and stay within the
picture where there is room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from derive.drawing.belonging import Thing
from derive.drawing.records import Loop, Place
from derive.drawing.rooms import around
from derive.drawing.stage import Stage
from derive.drawing.symbols import Box

WIDEST, HIGHEST = 42.0, 37.5
"""Grid units in which a picture is set: the width of a page's text, and the height that a page leaves to it."""
DENSITY = 19.0
"""Pixels a grid unit (120 to the inch) below which a picture is not stretched."""
NODE, PART = 0.5, 2.0
"""Sides of the squares that are kept free at a node and at a part."""


@dataclass(frozen=True)
class Scanned:
    """``size`` in pixels; places as fractions from the left and from the top; ``pins``: the node at each pin."""

    image: bytes = field(repr=False)
    format: Literal["png", "jpg"]
    size: tuple[int, int]
    nodes: tuple[tuple[str, Place], ...]
    parts: tuple[tuple[str, Place], ...]
    pins: tuple[tuple[tuple[str, str], str], ...] = ()
    ink: tuple[Box, ...] = ()
    """Where something is drawn: left, top, right, bottom, as fractions."""

    @property
    def units(self) -> tuple[float, float]:
        """Width and height in grid units."""
        aspect = self.size[1] / self.size[0]
        width = min(WIDEST, HIGHEST / aspect, self.size[0] / DENSITY)
        return width, width * aspect

    def on_page(self, place: Place) -> Place:
        """A place in grid units, y upwards from the lower edge."""
        width, height = self.units
        return place[0] * width, (1 - place[1]) * height


def stage_of_scan(scan: Scanned) -> Stage:
    width, height = scan.units
    nodes = {name: scan.on_page(place) for name, place in scan.nodes}
    bodies = {name: around(scan.on_page(place), PART, PART) for name, place in scan.parts}
    taken = [*(around(place, NODE, NODE) for place in nodes.values()), *bodies.values(), *_margins(width, height)]
    taken += [(*scan.on_page((left, bottom)), *scan.on_page((right, top))) for left, top, right, bottom in scan.ink]
    return Stage(
        tuple(taken),
        bodies,
        lambda node: [nodes[node]] if node in nodes else [],
        lambda loop: _trace(loop, nodes, bodies, dict(scan.pins)),
        ((0.0, 0.0, width, height),),
        (*(Thing("wire", name, (*place, *place)) for name, place in nodes.items()),
         *(Thing("body", name, body) for name, body in bodies.items())),
    )  # fmt: skip


def _margins(width: float, height: float) -> list[Box]:
    """Strips along the edges, beyond which no mark begins."""
    return [(-9, -9, 0, height + 9), (width, -9, width + 9, height + 9), (-9, -9, width + 9, 0),
            (-9, height, width + 9, height + 9)]  # fmt: skip


def _trace(
    loop: Loop, nodes: Mapping[str, Place], bodies: Mapping[str, Box], pins: Mapping[tuple[str, str], str]
) -> tuple[tuple[Place, ...], ...]:
    """From part to node to part, as far as their places are known."""
    stops: list[Place] = []
    for (part, pin), (after, _) in zip(loop.through, (*loop.through[1:], *loop.through[:1]), strict=True):
        if part in bodies:
            left, bottom, right, top = bodies[part]
            stops.append(((left + right) / 2, (bottom + top) / 2))
        node = pins.get((part, pin))
        if part != after and node is not None and node in nodes:
            stops.append(nodes[node])
    kept = [stop for index, stop in enumerate(stops) if not index or stop != stops[index - 1]]
    if len(kept) < 3:
        return ()
    return ((*kept, kept[0]) if kept[0] != kept[-1] else tuple(kept),)
