"""The line of a feedback loop: along the wires of each node, and through each part from pin to pin.

Enters: a drawing, the pins that the loop passes. Leaves: runs of points. Must not know: LaTeX, SVG, what the loop does.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from itertools import pairwise

from derive.drawing.records import Drawing, Loop, Place, Placed, Point
from derive.drawing.rooms import pins_of
from derive.drawing.symbols import SYMBOLS, TRANSISTORS, turned


def trace(drawing: Drawing, loop: Loop) -> tuple[tuple[Place, ...], ...]:
    """The runs of a loop, in order; more than one where a node's wire has a gap (a rail drawn at each pin).

    Pins and parts that are not drawn are passed over.
    """
    parts = {placed.part.name: placed for placed in drawing.parts}
    stops = [(name, pin) for name, pin in loop.through if name in parts and pin in pins_of(parts[name])]
    runs: list[list[Place]] = [[]]
    for (name, pin), (after, far) in zip(stops, [*stops[1:], *stops[:1]], strict=True):
        start, end = pins_of(parts[name])[pin], pins_of(parts[after])[far]
        path: list[Place] | None = _within(parts[name], pin, far) if name == after else _between(drawing, start, end)
        if path is None:
            runs.append([])
        else:
            runs[-1] += path if not runs[-1] or runs[-1][-1] != path[0] else path[1:]
    if len(runs) > 1 and runs[0] and runs[-1] and runs[-1][-1] == runs[0][0]:
        runs[0] = runs.pop() + runs[0][1:]
    return tuple(_straightened(run) for run in runs if len(run) > 1)


def _within(placed: Placed, pin: str, far: str) -> list[Place]:
    """From pin to pin of one part, square to the page."""
    kind = placed.part.kind
    places = dict(SYMBOLS[kind].pins)
    start, end = places[pin], places[far]
    points: list[Place] = [start, end]
    if kind in TRANSISTORS and start[0] != end[0]:
        points = [start, (0, start[1] if start[0] else end[1]), end]
    elif kind == "op amp":
        points = [start, (-1.0, start[1]), (-1.0, end[1]), end]
    return [_on_page(placed, point) for point in points]


def _on_page(placed: Placed, place: Place) -> Place:
    x, y = turned(place, placed.turn, placed.mirrored)
    return x + placed.at[0], y + placed.at[1]


def _between(drawing: Drawing, start: Point, end: Point) -> list[Place] | None:
    """The shortest way along wires of one node, in unit steps; None where no wire leads there."""
    if start == end:
        return [start]
    for node in dict.fromkeys(wire.node for wire in drawing.wires):
        steps = _steps(wire.points for wire in drawing.wires if wire.node == node)
        if start in steps and end in steps:
            found = _shortest(steps, start, end)
            if found is not None:
                return list(found)
    return None


def _steps(runs: Iterable[tuple[Point, ...]]) -> dict[Point, set[Point]]:
    near: dict[Point, set[Point]] = {}
    for run in runs:
        for start, end in pairwise(run):
            length = abs(end[0] - start[0]) + abs(end[1] - start[1])
            if not length:
                continue
            dx, dy = (end[0] - start[0]) // length, (end[1] - start[1]) // length
            line = [(start[0] + dx * n, start[1] + dy * n) for n in range(length + 1)]
            for a, b in pairwise(line):
                near.setdefault(a, set()).add(b)
                near.setdefault(b, set()).add(a)
    return near


def _shortest(near: dict[Point, set[Point]], start: Point, end: Point) -> list[Point] | None:
    before: dict[Point, Point] = {start: start}
    waiting = deque([start])
    while waiting:
        point = waiting.popleft()
        if point == end:
            path = [end]
            while path[-1] != start:
                path.append(before[path[-1]])
            return path[::-1]
        for other in sorted(near[point]):
            if other not in before:
                before[other] = point
                waiting.append(other)
    return None


def _straightened(run: list[Place]) -> tuple[Place, ...]:
    """The run without points in the middle of straight pieces."""
    kept: list[Place] = []
    for place in run:
        if kept and kept[-1] == place:
            continue
        if len(kept) > 1 and _straight(kept[-2], kept[-1], place):
            kept[-1] = place
        else:
            kept.append(place)
    return tuple(kept)


def _straight(a: Place, b: Place, c: Place) -> bool:
    same_column, same_row = a[0] == b[0] == c[0], a[1] == b[1] == c[1]
    onward = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) > 0
    return (same_column or same_row) and onward
