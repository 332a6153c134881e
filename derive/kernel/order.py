"""The order in which elements are deleted or contracted: narrow frontiers make small diagrams.

Enters: the edges of the elements in both graphs. Leaves: a permutation.
Must not know: values, symbols, questions.
"""

from __future__ import annotations

from collections.abc import Sequence

Pair = tuple[int, int]

HELD, OPENED = 1 << 24, 1 << 48
"""Weights of what decides second and first: above any number of elements, and of places times elements."""


def order_elements(current: Sequence[Pair], voltage: Sequence[Pair]) -> list[int]:
    """A permutation of the elements that keeps few nodes open at a time; node 0 is ground and always open.

    Greedy from several starting elements; the one whose frontiers sum to least, weighted towards the widest,
    is kept. A node is open in a graph from its first to its last element there.
    """
    count = len(current)
    touches = [_places(current[i], voltage[i]) for i in range(count)]
    at: dict[tuple[int, int], set[int]] = {}
    for i, places in enumerate(touches):
        for place in places:
            at.setdefault(place, set()).add(i)
    starts = sorted(range(count), key=lambda i: sum(len(at[p]) for p in touches[i]))[:6]
    best: tuple[float, list[int]] | None = None
    for start in starts:
        cost, found = _greedy(start, touches, at)
        if best is None or cost < best[0]:
            best = (cost, found)
    return best[1] if best else []


def _places(current: Pair, voltage: Pair) -> tuple[tuple[int, int], ...]:
    graph_nodes = {(0, node) for node in current if node} | {(1, node) for node in voltage if node}
    return tuple(sorted(graph_nodes))


def _greedy(
    start: int, touches: list[tuple[tuple[int, int], ...]], at: dict[tuple[int, int], set[int]]
) -> tuple[float, list[int]]:
    """Next comes, of the elements at the frontier, the one that opens the fewest places less those it closes; then the
    one whose places have the fewest elements left; then the first.

    ``keys`` holds these three as one number, kept up to date as elements are taken.
    """
    left = {place: len(elements) for place, elements in at.items()}
    waiting = {place: set(elements) for place, elements in at.items()}
    keys = [
        sum((left[p] > 1) * OPENED + left[p] * HELD for p in places) + i for i, places in enumerate(touches)
    ]
    frontier: set[tuple[int, int]] = set()
    rest = dict.fromkeys(range(len(touches)))
    order: list[int] = []
    cost = 0.0
    chosen = start
    while True:
        order.append(chosen)
        del rest[chosen]
        for place in touches[chosen]:
            waiting[place].discard(chosen)
            change = -HELD
            if place not in frontier and left[place] > 1:
                # It is open from now on: nobody opens it any more.
                change -= OPENED
            left[place] -= 1
            if left[place]:
                frontier.add(place)
                change -= OPENED * (left[place] == 1)
            else:
                frontier.discard(place)
            for i in waiting[place]:
                keys[i] += change
        cost += 2.0 ** len(frontier)
        if not rest:
            return cost, order
        near = set().union(*(waiting[place] for place in frontier)) or rest
        chosen = min(near, key=keys.__getitem__)
