"""The cheapest way of a wire over the grid, around bodies and words, across other wires where it must.

Enters: what lies on the grid, where the wire may begin and end. Leaves: the grid points of the way.
Must not know: nets, names.

A* (P. E. Hart, N. J. Nilsson, B. Raphael, 1968) over places with the direction of arrival. Price: 1 a unit, CORNER a
bend, CROSSING a crossing; at both ends what is asked there for each direction.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from derive.drawing.search.board import Array
from derive.drawing.search.course import CORNER
from derive.drawing.search.price import CROSSING

FREE, LEVEL, UPRIGHT, SHUT = 0, 1, 2, 3
"""What lies at a point: nothing, another net's wire passing level or upright, or something that shuts it."""


STEP_X, STEP_Y = (1, 0, -1, 0), (0, 1, 0, -1)


@njit(cache=True)
def push(rank: Array, paid: Array, code: Array, size: int, by: float, price: float, key: int) -> int:
    """Enters an item into the heap; its new size."""
    i = size
    while i > 0:
        above = (i - 1) // 2
        if rank[above] <= by:
            break
        rank[i], paid[i], code[i] = rank[above], paid[above], code[above]
        i = above
    rank[i], paid[i], code[i] = by, price, key
    return size + 1


@njit(cache=True)
def pop(rank: Array, paid: Array, code: Array, size: int) -> int:
    """Takes the least item out of the heap; its new size."""
    size -= 1
    by, price, key = rank[size], paid[size], code[size]
    i = 0
    while 2 * i + 1 < size:
        child = 2 * i + 1
        if child + 1 < size and rank[child + 1] < rank[child]:
            child += 1
        if rank[child] >= by:
            break
        rank[i], paid[i], code[i] = rank[child], paid[child], code[child]
        i = child
    rank[i], paid[i], code[i] = by, price, key
    return size


@njit(cache=True, nogil=True)
def find(points: Array, level_shut: Array, upright_shut: Array, begin: Array, end: Array) -> Array:
    """The way as rows x, y; no rows where there is none.

    ``points``: what lies at each point. ``level_shut[x, y]``: whether the step from x to x + 1 is taken;
    ``upright_shut``: likewise upwards. ``begin[x, y, d]``: price of setting out in direction d, negative where the
    wire cannot begin; ``end[x, y, d]``: of arriving in direction d. The
    guess of what remains is the distance to the box of all ends.
    """
    wide, high = points.shape
    best = np.full((wide, high, 4), 1e18)
    before = np.full((wide, high, 4), -1)
    left, right, low, top = wide, -1, high, -1
    for x in range(wide):
        for y in range(high):
            if end[x, y, 0] >= 0 or end[x, y, 1] >= 0 or end[x, y, 2] >= 0 or end[x, y, 3] >= 0:
                left, right, low, top = min(left, x), max(right, x), min(low, y), max(top, y)
    rank, code, size = np.empty(12 * wide * high), np.empty(12 * wide * high, np.int64), 0
    paid = np.empty(12 * wide * high)
    for x in range(wide):
        for y in range(high):
            for d in range(4):
                if begin[x, y, d] >= 0:
                    guess = max(left - x, 0, x - right) + max(low - y, 0, y - top)
                    fresh_key = -1 - ((x * high + y) * 4 + d)
                    size = push(rank, paid, code, size, begin[x, y, d] + guess, begin[x, y, d], fresh_key)
    done, finish = 1e18, -1
    while size > 0:
        if rank[0] >= done:
            break
        price, key = paid[0], code[0]
        size = pop(rank, paid, code, size)
        fresh = key < 0
        key = -1 - key if fresh else key
        d, x, y = key % 4, key // 4 // high, key // 4 % high
        if not fresh and price > best[x, y, d]:
            continue
        for turn in range(-1, 2):
            if turn != 0 and (fresh or points[x, y] != FREE):
                continue
            e = (d + turn) % 4
            u, v = x + STEP_X[e], y + STEP_Y[e]
            if u < 0 or v < 0 or u >= wide or v >= high:
                continue
            if (level_shut[min(x, u), y]) if e % 2 == 0 else (upright_shut[x, min(y, v)]):
                continue
            what, last = points[u, v], end[u, v, e]
            if (what == SHUT and last < 0) or (what == LEVEL and e % 2 == 0) or (what == UPRIGHT and e % 2 == 1):
                continue
            total = price + 1.0 + (CORNER if turn != 0 else 0.0) + (CROSSING if what in (LEVEL, UPRIGHT) else 0.0)
            if total >= best[u, v, e]:
                continue
            best[u, v, e] = total
            before[u, v, e] = -2 - key if fresh else key
            if last >= 0 and total + last < done:
                done, finish = total + last, (u * high + v) * 4 + e
            if what != SHUT and size < rank.shape[0]:
                guess = max(left - u, 0, u - right) + max(low - v, 0, v - top)
                size = push(rank, paid, code, size, total + guess, total, (u * high + v) * 4 + e)
    way = np.empty((wide * high, 2), np.int64)
    count, key = 0, finish
    while key >= 0:
        d, x, y = key % 4, key // 4 // high, key // 4 % high
        way[count, 0], way[count, 1] = x, y
        count += 1
        back = before[x, y, d]
        if back < -1:
            key = -2 - back
            way[count, 0], way[count, 1] = key // 4 // high, key // 4 % high
            count += 1
            break
        key = back
    return way[:count][::-1]
