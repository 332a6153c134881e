"""The worst cases of a reading: at the corners that the directions point to, or by search where one turns.

Enters: a function from places of the causes to readings (many at once). Leaves: places of the extremes.
Must not know: circuits, bias points.

Whether a cause moves the reading in one direction only is looked at in LOOKED places within the tolerances and at
corners; it is not proved, and the record says at how many places it was looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Read = Callable[[Array], Array]
LOOKED, FEW = 200, 8
"""Places by chance; and causes up to which every corner is looked at besides."""
STEP = 1e-3
SMALL = 1e-6
"""A change below this part of the largest decides nothing."""
ROUNDING = 1e-13
"""A change below this part of the reading itself is rounding."""
STARTS, HALVINGS = 12, 12


@dataclass(frozen=True)
class Ends:
    lowest: Array
    highest: Array
    monotonic: bool
    looked: int
    turning: tuple[int, ...]


def ends(read: Read, causes: int) -> Ends:
    """The places of the lowest and of the highest reading."""
    places = _places(causes)
    signs = _directions(read, places)
    turning = tuple(int(i) for i in range(causes) if np.any(signs[:, i] > 0) and np.any(signs[:, i] < 0))
    if not turning:
        direction = np.sign(np.sum(signs, axis=0))
        return Ends(-direction, direction, True, len(places), ())
    return Ends(_search(read, places, -1.0), _search(read, places, 1.0), False, len(places), turning)


def _places(causes: int) -> Array:
    chance = np.random.default_rng(3)
    inside = chance.uniform(-1, 1, (LOOKED, causes))
    corners = (
        np.array(list(product((-1.0, 1.0), repeat=causes)))
        if causes <= FEW
        else chance.choice((-1.0, 1.0), (LOOKED, causes))
    )
    return np.vstack([np.zeros(causes), inside, corners])


def _directions(read: Read, places: Array) -> Array:
    """The sign in which each cause moves the reading at each place; zero where it does nothing."""
    count, causes = places.shape
    steps = np.repeat(places, causes, axis=0)
    which = np.tile(np.arange(causes), count)
    rows = np.arange(len(steps))
    # A step goes inwards from a border.
    side = np.where(steps[rows, which] > 0, -STEP, STEP)
    steps[rows, which] += side
    values = read(places)
    change = ((read(steps) - np.repeat(values, causes)) / side).reshape(count, causes)
    change = np.where(np.isfinite(change), change, 0.0)
    largest = float(np.abs(change).max(initial=0.0))
    size = float(np.abs(values[np.isfinite(values)]).max(initial=0.0))
    return np.where(np.abs(change) > max(SMALL * largest, ROUNDING / STEP * size, 1e-300), np.sign(change), 0.0)


def _search(read: Read, places: Array, sense: float) -> Array:
    """The place of the largest (or lowest) reading: the best places by chance, then steps along each cause, halved."""
    values = sense * read(places)
    values = np.where(np.isfinite(values), values, -np.inf)
    best = places[np.argsort(-values, kind="stable")[:STARTS]].copy()
    heights = np.sort(-values, kind="stable")[:STARTS] * -1.0
    step = 0.5
    for _ in range(HALVINGS):
        for _ in range(4):
            before = heights.copy()
            for cause in range(best.shape[1]):
                for direction in (step, -step):
                    trial = best.copy()
                    trial[:, cause] = np.clip(trial[:, cause] + direction, -1, 1)
                    found = sense * read(trial)
                    better = np.isfinite(found) & (found > heights)
                    best[better], heights[better] = trial[better], found[better]
            if np.array_equal(before, heights):
                break
        step /= 2
    winner: Array = best[int(np.argmax(heights))]
    return winner
