"""Runs of wire against boxes, pins and each other: small compiled questions.

Enters: arrays and places in them. Leaves: answers. Must not know: boards.

A run is x, y, x, y with the lesser coordinate first; it is level, upright, or a point.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import Array

NEAR = 0.2
"""A wire keeps this from a body, and words keep it from a wire."""
APART = 0.45
"""Boxes keep this from each other."""


@njit(cache=True, inline="always")
def overlap(shapes: Array, p: int, v: int, i: int, q: int, w: int, j: int, dx: int, dy: int) -> float:
    """How deep two boxes lie in each other, clearance included; 0 where they do not."""
    wide = min(shapes[p, v, i + 2], shapes[q, w, j + 2] + dx) - max(shapes[p, v, i], shapes[q, w, j] + dx) + APART
    if wide <= 0:
        return 0.0
    high = min(shapes[p, v, i + 3], shapes[q, w, j + 3] + dy) - max(shapes[p, v, i + 1], shapes[q, w, j + 1] + dy)
    return max(min(wide, high + APART), 0.0)


@njit(cache=True, inline="always")
def pierces(run: Array, n: int, r: int, shapes: Array, p: int, v: int, i: int, x: int, y: int) -> bool:
    """Whether a run comes into a box or nearer to it than wires may."""
    return (
        run[n, r, 2] > shapes[p, v, i] + x - NEAR
        and run[n, r, 0] < shapes[p, v, i + 2] + x + NEAR
        and run[n, r, 3] > shapes[p, v, i + 1] + y - NEAR
        and run[n, r, 1] < shapes[p, v, i + 3] + y + NEAR
    )


@njit(cache=True, inline="always")
def holds(run: Array, n: int, r: int, x: int, y: int) -> bool:
    return run[n, r, 0] <= x <= run[n, r, 2] and run[n, r, 1] <= y <= run[n, r, 3]


@njit(cache=True)
def meet(run: Array, n: int, r: int, m: int, s: int) -> int:
    """Two runs of different nodes: 0 apart, 1 a clean crossing, 2 a touch, or more where they share a stretch."""
    left, right = max(run[n, r, 0], run[m, s, 0]), min(run[n, r, 2], run[m, s, 2])
    if left > right:
        return 0
    low, high = max(run[n, r, 1], run[m, s, 1]), min(run[n, r, 3], run[m, s, 3])
    if low > high:
        return 0
    if right > left or high > low:
        return 2 + (right - left) + (high - low)
    level_a, level_b = run[n, r, 1] == run[n, r, 3], run[m, s, 1] == run[m, s, 3]
    if level_a == level_b:
        return 2
    inner_a = (run[n, r, 0] < left < run[n, r, 2]) if level_a else (run[n, r, 1] < low < run[n, r, 3])
    inner_b = (run[m, s, 0] < left < run[m, s, 2]) if level_b else (run[m, s, 1] < low < run[m, s, 3])
    return 1 if inner_a and inner_b else 2
