"""From a packed wish to places: several searches from several seeds, each with its wires; the best is kept.

Enters: a packed wish, places that are given. Leaves: a plan with its wires. Must not know: records of drawings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from derive.drawing.mesh import along
from derive.drawing.pack import Packed, first_state
from derive.drawing.plan import Edge, Plan, plan
from derive.drawing.records import Point
from derive.drawing.search.anneal import anneal
from derive.drawing.search.board import State
from derive.drawing.search.overall import whole
from derive.drawing.search.price import partial
from derive.drawing.wires import Routed, route

HOT, COLD = 12.0, 0.35
MOVES, MOVES_A_PART = 20_000, 9_000
SEEDS = 6
LOGS = np.round(-np.log((np.arange(4096) + 0.5) / 4096), 6)
THREADS = 2


@dataclass(frozen=True)
class Effort:
    """``seeds``: how many searches; ``moves``: of each, None for what suits the size."""

    seeds: int = SEEDS
    moves: int | None = None


@dataclass(frozen=True)
class Found:
    plan: Plan
    routed: Routed
    chosen: tuple[int, ...]
    price: float


def search(packed: Packed, given: Mapping[str, tuple[Point, int]], effort: Effort) -> Found:
    """The best of all seeds by its price with routed wires."""
    with ThreadPoolExecutor(THREADS) as pool:
        # The compiled search lets other threads run; the order of the results is that of the seeds.
        found = list(pool.map(lambda seed: one(packed, given, seed, effort), range(effort.seeds)))
    return min(found, key=lambda f: f.price)


def one(packed: Packed, given: Mapping[str, tuple[Point, int]], seed: int, effort: Effort) -> Found:
    """One search and its wires."""
    state, kept, best = (first_state(packed, given, seed) for _ in range(3))
    count = len(packed.wish.parts)
    moves = effort.moves if effort.moves is not None else MOVES + MOVES_A_PART * count
    if len(given) == count:
        moves = 0
    chance = np.array([((seed + 1) * 2654435761 + 88172645) % 2**32])
    marks = np.ones(count, np.bool_), np.ones(len(packed.nets), np.bool_)
    anneal(packed.board, state, kept, best, chance, *marks, moves, HOT, COLD, LOGS)
    return with_wires(packed, best)


def with_wires(packed: Packed, state: State) -> Found:
    places = [(int(x), int(y)) for x, y in state.place[:, :2]]
    chosen = tuple(int(v) for v in state.place[:, 2])
    made = plan(packed, places, chosen)
    first = {node: courses(state, n) for n, node in enumerate(packed.nets)}
    routed = route(made, first)
    return Found(made, routed, chosen, routed.price + _rest(packed, state))


def courses(state: State, net: int) -> Sequence[Edge]:
    return sorted({one for run in state.run[net, : int(state.tally[net, 0])] for one in along(run)})


def _rest(packed: Packed, state: State) -> float:
    """What a state costs besides its wires: parts by themselves and with each other, and the whole."""
    parts, nets = np.ones(len(state.place), np.bool_), np.zeros(len(state.trunk), np.bool_)
    without = state._replace(tally=np.zeros_like(state.tally))
    return float(partial(packed.board, without, parts, nets) + whole(packed.board, state))
