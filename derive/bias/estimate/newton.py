"""The numbers of a few equations solved together.

Enters: residuals as functions of numbers. Leaves: the numbers, or None. Must not know: circuits, trees.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

import numpy as np

Vector: TypeAlias = "np.ndarray[tuple[int], np.dtype[np.float64]]"
ROUNDS = 30
CLOSE = 1e-12


def solve(residual: Callable[[Vector], Vector], start: Sequence[float]) -> Vector | None:
    """A zero of a function of as many numbers as it has values, by Newton's method with halved steps.

    Exact in one step where the function is linear. Returns None where the slopes are singular, where a
    function has no value, or where it does not settle.
    """
    here = np.array(start, dtype=float)
    try:
        value = residual(here)
        for _ in range(ROUNDS):
            slopes = _slopes(residual, here, value)
            if np.linalg.cond(slopes) > 1e13:
                return None
            step = -np.linalg.solve(slopes, value)
            here, value = _advance(residual, here, value, step)
            if np.all(np.abs(step) <= CLOSE * (1 + np.abs(here))):
                return here
    except (np.linalg.LinAlgError, ArithmeticError, ValueError):
        return None
    return None


def _slopes(residual: Callable[[Vector], Vector], here: Vector, value: Vector) -> np.ndarray:
    columns = []
    for place in range(len(here)):
        nudge = 1e-6 * (1 + abs(here[place]))
        moved = here.copy()
        moved[place] += nudge
        columns.append((residual(moved) - value) / nudge)
    return np.array(columns).T


def _advance(residual: Callable[[Vector], Vector], here: Vector, value: Vector, step: Vector) -> tuple[Vector, Vector]:
    """The farthest of a step, its half, its quarter… that makes the residual smaller; else its last part."""
    size = float(np.linalg.norm(value))
    part = 1.0
    for _ in range(12):
        moved = here + part * step
        try:
            found = residual(moved)
        except (ArithmeticError, ValueError):
            part /= 2
            continue
        if np.linalg.norm(found) < size or size < 1e-13:
            return moved, found
        part /= 2
    return here + part * step, residual(here + part * step)
