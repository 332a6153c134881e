"""Runs of wire against boxes, pins and each other: small compiled questions.

Enters: coordinates. Leaves: answers. Must not know: boards.

A run is x, y, x, y with the lesser coordinate first; it is level, upright, or a point.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import Array

NEAR = 0.2
"""A wire keeps this from a body, and words keep it from a wire."""
APART = 0.45
"""Boxes keep this from each other."""


@njit(cache=True)
def overlap(a: Array, ax: int, ay: int, b: Array, bx: int, by: int, apart: float) -> float:
    """How deep two boxes lie in each other, clearance included; 0 where they do not."""
    dx = min(a[2] + ax, b[2] + bx) - max(a[0] + ax, b[0] + bx) + apart
    if dx <= 0:
        return 0.0
    dy = min(a[3] + ay, b[3] + by) - max(a[1] + ay, b[1] + by) + apart
    return min(dx, dy) if dy > 0 else 0.0


@njit(cache=True)
def pierces(run: Array, box: Array, x: int, y: int) -> bool:
    """Whether a run comes into a box or nearer to it than wires may."""
    return (
        run[2] > box[0] + x - NEAR
        and run[0] < box[2] + x + NEAR
        and run[3] > box[1] + y - NEAR
        and run[1] < box[3] + y + NEAR
    )


@njit(cache=True)
def holds(run: Array, x: int, y: int) -> bool:
    return run[0] <= x <= run[2] and run[1] <= y <= run[3]


@njit(cache=True)
def meet(a: Array, b: Array) -> int:
    """Two runs of different nodes: 0 apart, 1 a clean crossing, 2 a touch, or more where they share a stretch."""
    left, right = max(a[0], b[0]), min(a[2], b[2])
    if left > right:
        return 0
    low, high = max(a[1], b[1]), min(a[3], b[3])
    if low > high:
        return 0
    if (right > left) or (high > low):
        return 2 + (right - left) + (high - low)
    level_a, level_b = a[1] == a[3], b[1] == b[3]
    if level_a == level_b:
        return 2
    inner_a = (a[0] < left < a[2]) if level_a else (a[1] < low < a[3])
    inner_b = (b[0] < left < b[2]) if level_b else (b[1] < low < b[3])
    return 1 if inner_a and inner_b else 2
