"""The wire of one net as units of the grid: its price, its branches, its runs.

Enters: units of wire, the pins of the net. Leaves: prices, dots, polylines. Must not know: other nets' places.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from derive.drawing.plan import Edge, Pin
from derive.drawing.records import Point
from derive.drawing.search.course import CORNER, FOUR_WAYS

STEPS: tuple[Point, ...] = ((1, 0), (0, 1), (-1, 0), (0, -1))


def edge(a: Point, b: Point) -> Edge:
    """The unit between two neighbours."""
    return min(a[0], b[0]), min(a[1], b[1]), int(a[0] == b[0])


def ends(one: Edge) -> tuple[Point, Point]:
    x, y, upright = one
    return (x, y), ((x, y + 1) if upright else (x + 1, y))


def along(run: Sequence[int]) -> list[Edge]:
    """The units of a straight run x, y, x, y."""
    x, y, u, v = (int(c) for c in run)
    return [(c, y, 0) for c in range(x, u)] if y == v else [(x, c, 1) for c in range(y, v)]


def arms(edges: Iterable[Edge]) -> dict[Point, set[int]]:
    """The directions in which wire leaves each point."""
    found: dict[Point, set[int]] = {}
    for one in edges:
        a, b = ends(one)
        way = 1 if one[2] else 0
        found.setdefault(a, set()).add(way)
        found.setdefault(b, set()).add(way + 2)
    return found


def price(edges: Collection[Edge], pins: Sequence[Pin]) -> float:
    """Length, bends, wires that turn at a pin at once, four arms at one place."""
    total, leaving = float(len(edges)), arms(edges)
    at: dict[Point, list[Pin]] = {}
    for pin in pins:
        at.setdefault(pin.at, []).append(pin)
    for point, ways in leaving.items():
        here = at.get(point, [])
        if not here and len(ways) == 2 and sum(ways) % 2:
            total += CORNER
        if len(ways) + len(here) > 3:
            total += FOUR_WAYS * (len(ways) + len(here) - 3)
    for point, here in at.items():
        ways = leaving.get(point, set())
        for pin in here:
            faced = any(other is not pin and other.way == (pin.way + 2) % 4 for other in here)
            if pin.way not in ways and not faced:
                total += pin.free
        if not ways and len(here) > 2:
            total += FOUR_WAYS * (len(here) - 2)
    return total


def dots(edges: Collection[Edge], pins: Sequence[Pin]) -> list[Point]:
    """Where three or more arms meet, a pin counting as one."""
    count = {point: len(ways) for point, ways in arms(edges).items()}
    for pin in pins:
        count[pin.at] = count.get(pin.at, 0) + 1
    return sorted(point for point, number in count.items() if number > 2)


def joined(edges: Collection[Edge], pins: Sequence[Pin]) -> list[set[Point]]:
    """The pieces that wire and coinciding pins make; a pin without wire is one of its own."""
    pieces: list[set[Point]] = []
    for group in [set(ends(one)) for one in edges] + [{pin.at} for pin in pins]:
        near = [piece for piece in pieces if piece & group]
        pieces = [piece for piece in pieces if not piece & group] + [group.union(*near)]
    return pieces


def polylines(edges: Collection[Edge], pins: Sequence[Pin]) -> list[tuple[Point, ...]]:
    """Runs from branch to branch, as corners only; pins and branches end a run."""
    leaving, left = arms(edges), set(edges)
    stops = {pin.at for pin in pins} | {point for point, ways in leaving.items() if len(ways) != 2}
    found = []
    for start in [*sorted(stops & leaving.keys()), *sorted(leaving.keys() - stops)]:
        for way in sorted(leaving[start]):
            line, here, heading = [start], start, way
            while True:
                there = (here[0] + STEPS[heading][0], here[1] + STEPS[heading][1])
                if edge(here, there) not in left:
                    break
                left.discard(edge(here, there))
                here = there
                onward = [w for w in leaving[here] if w != (heading + 2) % 4]
                if here in stops or len(onward) != 1:
                    line.append(here)
                    break
                if onward[0] != heading:
                    line.append(here)
                heading = onward[0]
            if len(line) > 1:
                found.append(tuple(line))
    return found
