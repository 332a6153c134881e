"""Feedback loops as bands: side by side where several run along one wire, with arrowheads in clear places.

Enters: what they run on, the loops. Leaves: a ``Traced`` for each. Must not know: LaTeX, SVG, what a loop does.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot

from derive.drawing.belonging import Target, gap
from derive.drawing.letters import width_of
from derive.drawing.note import HEIGHT, Mark, Note
from derive.drawing.records import Loop, Place
from derive.drawing.rooms import Room, along, around, overlap
from derive.drawing.stage import Stage
from derive.drawing.standing import close, length, stand
from derive.drawing.symbols import Box

STEP = 0.3
"""Between parallel loops."""
BAND = 0.2
"""Half of the width that a loop's band keeps free."""
BY_SOURCE = (1.0, 2.5)
"""How far from the source of a loop its name may stand."""
HEADS = 2
"""Arrowheads on a loop."""


@dataclass(frozen=True)
class Traced:
    """The line of a loop in runs of points, and where an arrowhead shows its direction (place, way)."""

    of: str
    runs: tuple[tuple[Place, ...], ...]
    heads: tuple[tuple[Place, Place], ...]
    pattern: int
    negative: bool


def bands(stage: Stage, loops: Iterable[Loop]) -> list[Traced]:
    """The lines of loops, side by side where there are several."""
    wanted = list(loops)
    bodies = list(stage.bodies.values())
    traced: list[Traced] = []
    for number, loop in enumerate(wanted):
        runs = stage.trace(loop)
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
    pieces = [(a, b) for run in runs for a, b in pairwise(run)]
    heads: list[tuple[Place, Place]] = []
    for a, b in sorted(pieces, key=lambda piece: -length(*piece)):
        spots = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in (0.5, 0.35, 0.65, 0.2, 0.8)]
        free = [spot for spot in spots if not any(overlap(around(spot, 1, 1), body) for body in bodies)
                and all(length(spot, other) > 1.2 for other in (*others, *(head[0] for head in heads)))]  # fmt: skip
        if free and length(a, b) > 1:
            heads.append((free[0], _way(a, b)))
        if len(heads) == HEADS:
            break
    return tuple(heads)


def _way(a: Place, b: Place) -> Place:
    far = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far


def sign(loop: Traced, source: Box | None, room: Room) -> list[Note]:
    """The loop's sign and name, at its line beside the device that is its source."""
    words = f"{'−' if loop.negative else '+'} {loop.of}"
    spots = [spot for run in loop.runs for piece in pairwise(run) for spot in _along(*piece)]
    mark = Mark("loop", loop.of, words, width_of(words) + 0.6, HEIGHT + 0.3, loop.pattern)
    targets = [Target(spots, boxes_of(loop))]
    if source is not None:
        spots.sort(key=lambda spot: gap((*spot, *spot), source))
        near = [[spot for spot in spots if gap((*spot, *spot), source) <= far] for far in BY_SOURCE]
        targets = [*(Target(some, boxes_of(loop)) for some in near if some), *targets]
    # Close to the source if there is room; else with a line to where the loop is closest to it.
    room_by = next((target for target in targets[:-1] if next(close(mark, target, room), None)), targets[0])
    note = stand(mark, room_by, room)
    return [note] if note else []


def _along(a: Place, b: Place) -> list[Place]:
    """Points of a piece, half a unit apart."""
    steps = max(1, round(2 * length(a, b)))
    return [(a[0] + n / steps * (b[0] - a[0]), a[1] + n / steps * (b[1] - a[1])) for n in range(steps + 1)]


def boxes_of(loop: Traced) -> list[Box]:
    """The room that a band takes."""
    return [box for run in loop.runs for a, b in pairwise(run) for box in _boxes(a, b)]


def _boxes(a: Place, b: Place) -> list[Box]:
    """One box along a level or upright piece, several small ones along another."""
    if a[0] == b[0] or a[1] == b[1]:
        return [along(a, b, BAND)]
    count = ceil(length(a, b))
    places = [(a[0] + (b[0] - a[0]) * n / count, a[1] + (b[1] - a[1]) * n / count) for n in range(count + 1)]
    return [along(one, other, BAND / 2) for one, other in pairwise(places)]
