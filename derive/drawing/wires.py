"""The wires of a plan: the search's own courses first, then each net anew as long as that makes the drawing better.

Enters: a plan, a first course for each net. Leaves: units of wire by net, with the price of all of them.
Must not know: why a part stands where it stands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from derive.drawing.mesh import arms, edge, ends, joined, price
from derive.drawing.plan import Edge, Pin, Plan, clear
from derive.drawing.records import Point
from derive.drawing.search.course import CORNER, FOUR_WAYS
from derive.drawing.search.maze import FREE, LEVEL, SHUT, UPRIGHT, find
from derive.drawing.search.price import CROSSING

MARGIN = 5
ROUNDS = 3
FAILED = 1000.0


@dataclass(frozen=True)
class Routed:
    """``wires``: units by net; ``failed``: nets without a way. ``price``: lower is better."""

    wires: Mapping[str, frozenset[Edge]]
    failed: tuple[str, ...]
    crossings: int
    price: float


class Grid:
    """What lies on the grid, for one net at a time."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        left = min(min(b[0] for b in plan.boxes), min(p.at[0] for p in plan.pins))
        bottom = min(min(b[1] for b in plan.boxes), min(p.at[1] for p in plan.pins))
        right = max(max(b[2] for b in plan.boxes), max(p.at[0] for p in plan.pins))
        top = max(max(b[3] for b in plan.boxes), max(p.at[1] for p in plan.pins))
        self.x, self.y = int(left) - MARGIN, int(bottom) - MARGIN
        size = (int(right) - self.x + MARGIN + 1, int(top) - self.y + MARGIN + 1)
        self.points = np.full(size, FREE)
        self.level, self.upright = np.zeros(size, bool), np.zeros(size, bool)
        for box in plan.boxes:
            for x in range(max(0, int(box[0]) - self.x - 2), min(size[0], int(box[2]) - self.x + 3)):
                for y in range(max(0, int(box[1]) - self.y - 2), min(size[1], int(box[3]) - self.y + 3)):
                    self.level[x, y] |= not clear(box, (x + self.x, y + self.y, 0))
                    self.upright[x, y] |= not clear(box, (x + self.x, y + self.y, 1))

    def for_net(self, node: str, wires: Mapping[str, frozenset[Edge]]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Points and steps as they are for one net: other nets' pins shut, their wires to be crossed squarely."""
        points, level, upright = self.points.copy(), self.level.copy(), self.upright.copy()
        for other, edges in wires.items():
            if other == node:
                continue
            for x, y, is_upright in edges:
                (upright if is_upright else level)[x - self.x, y - self.y] = True
            for (x, y), ways in arms(edges).items():
                kind = LEVEL if ways == {0, 2} else UPRIGHT if ways == {1, 3} else SHUT
                points[x - self.x, y - self.y] = kind
        for pin in self.plan.pins:
            if pin.node != node:
                points[pin.at[0] - self.x, pin.at[1] - self.y] = SHUT
        return points, level, upright

    def within(self, point: Point) -> bool:
        x, y = point[0] - self.x, point[1] - self.y
        return 0 <= x < self.points.shape[0] and 0 <= y < self.points.shape[1]


def route(plan: Plan, first: Mapping[str, Sequence[Edge]], kept: Sequence[str] = ()) -> Routed:
    """Wires for all nets. ``first``: a course for each net, used where it is sound; ``kept``: nets that keep theirs."""
    grid = Grid(plan)
    pins = {node: plan.of(node) for node in first}
    wires: dict[str, frozenset[Edge]] = {}
    waiting = []
    for node in sorted(first, key=lambda n: (n not in kept, len(first[n]))):
        edges = frozenset(first[node])
        if sound(grid, node, edges, wires, pins[node]):
            wires[node] = edges
        else:
            waiting.append(node)
    failed = set()
    for node in waiting:
        found = _best(grid, node, wires, pins[node])
        wires[node] = found if found is not None else frozenset()
        if found is None:
            failed.add(node)
    for _ in range(ROUNDS):
        changed = False
        for node in first:
            if node in kept and node not in failed:
                continue
            found = _best(grid, node, wires, pins[node])
            if found is None:
                continue
            now = price(wires[node], pins[node]) + CROSSING * _crossings(node, wires[node], wires)
            new = price(found, pins[node]) + CROSSING * _crossings(node, found, wires)
            if node in failed or new < now - 1e-6:
                wires[node], changed = found, True
                failed.discard(node)
        if not changed:
            break
    crossings = sum(_crossings(node, wires[node], wires) for node in first) // 2
    total = sum(price(wires[node], pins[node]) for node in first) + CROSSING * crossings + FAILED * len(failed)
    return Routed(wires, tuple(sorted(failed)), crossings, total)


def sound(
    grid: Grid, node: str, edges: frozenset[Edge], wires: Mapping[str, frozenset[Edge]], pins: Sequence[Pin]
) -> bool:
    """Whether units of wire join the pins, and keep clear of all else but for square crossings."""
    points, level, upright = grid.for_net(node, wires)
    for one in edges:
        if not all(grid.within(point) for point in ends(one)):
            return False
        x, y, is_upright = one
        if (upright if is_upright else level)[x - grid.x, y - grid.y]:
            return False
    for (x, y), ways in arms(edges).items():
        what = points[x - grid.x, y - grid.y]
        if what == SHUT or (what == LEVEL and ways != {1, 3}) or (what == UPRIGHT and ways != {0, 2}):
            return False
    pieces = joined(edges, pins)
    return len(pieces) <= 1 and len(edges) == max(len(arms(edges)) - 1, 0)


def _crossings(node: str, edges: frozenset[Edge], wires: Mapping[str, frozenset[Edge]]) -> int:
    own = {point for one in edges for point in ends(one)}
    return sum(
        len(own & {point for one in other for point in ends(one)}) for name, other in wires.items() if name != node
    )


def _best(grid: Grid, node: str, wires: Mapping[str, frozenset[Edge]], pins: Sequence[Pin]) -> frozenset[Edge] | None:
    """The cheapest of the trees that grow from each pin."""
    field = grid.for_net(node, wires)
    best, least = None, 1e18
    for start in dict.fromkeys(pin.at for pin in pins):
        tree = _grow(grid, field, pins, start)
        if tree is None:
            return None
        cost = price(tree, pins) + CROSSING * _crossings(node, tree, wires)
        if cost < least - 1e-9:
            best, least = tree, cost
    return best if best is not None else frozenset()


def _grow(
    grid: Grid, field: tuple[np.ndarray, np.ndarray, np.ndarray], pins: Sequence[Pin], start: Point
) -> frozenset[Edge] | None:
    points, level, upright = field
    edges: set[Edge] = set()
    reached = {start}
    missing = {pin.at for pin in pins} - reached
    while missing:
        leaving = arms(edges)
        begin, end = np.full((*points.shape, 4), -1.0), np.full((*points.shape, 4), -1.0)
        for point in reached:
            if points[point[0] - grid.x, point[1] - grid.y] != FREE:
                continue
            for way in range(4):
                if way not in leaving.get(point, ()):
                    begin[point[0] - grid.x, point[1] - grid.y, way] = _setting_out(point, way, pins, leaving)
        for point in missing:
            for way in range(4):
                end[point[0] - grid.x, point[1] - grid.y, way] = _setting_out(point, (way + 2) % 4, pins, {})
        way_found = find(points, level, upright, begin, end)
        if not len(way_found):
            return None
        line = [(int(x) + grid.x, int(y) + grid.y) for x, y in way_found]
        edges.update(edge(a, b) for a, b in pairwise(line))
        reached.update(line)
        missing -= reached
    return frozenset(edges)


def _setting_out(point: Point, way: int, pins: Sequence[Pin], leaving: Mapping[Point, set[int]]) -> float:
    """What it costs that a wire leaves a point that way, beside what it has cost so far."""
    here = [pin for pin in pins if pin.at == point]
    ways = leaving.get(point, set())
    total = FOUR_WAYS if len(here) + len(ways) > 2 else 0.0
    for pin in here:
        if pin.way != way and pin.way not in ways:
            total += pin.free
    if not here and len(ways) == 2 and sum(ways) % 2 and way not in ways:
        # A bend that becomes a branch: no bend any more, yet a branch off a straight wire reads better.
        total += CORNER / 2
    return total
