"""From a packed wish to places: several searches from several seeds, each with its wires; the best is kept.

Enters: a packed wish, places that are given. Leaves: a plan with its wires. Must not know: records of drawings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from derive.drawing.mesh import along
from derive.drawing.pack import Packed, first_state
from derive.drawing.plan import Edge, Plan, plan, rooms
from derive.drawing.records import Point
from derive.drawing.search.anneal import anneal
from derive.drawing.search.board import State
from derive.drawing.search.course import choose
from derive.drawing.search.overall import whole
from derive.drawing.search.price import partial
from derive.drawing.wires import FAILED, Routed, route

HOT, WARM, COLD = 12.0, 3.0, 0.35
AGAIN = 2
"""How many of the best are searched again from where they are."""
MOVES, MOVES_A_PART = 20_000, 9_000
SEEDS = 6
LOGS = np.round(-np.log((np.arange(4096) + 0.5) / 4096), 6)
THREADS = 2
ENOUGH, SAME = 3, 0.05


@dataclass(frozen=True)
class Effort:
    """``seeds``: how many searches; ``moves``: of each, None for what suits the size."""

    seeds: int = SEEDS
    moves: int | None = None


@dataclass(frozen=True)
class Found:
    """``faults``: nets without a way and boxes that overlap. ``price`` counts them too: lower is better."""

    plan: Plan
    routed: Routed
    state: State
    faults: int
    price: float


def search(packed: Packed, given: Mapping[str, tuple[Point, int]], effort: Effort) -> Found:
    """The best of all seeds by its price with routed wires; drawn larger where none is without faults."""
    found: list[Found] = []
    with ThreadPoolExecutor(THREADS) as pool:
        # The compiled search lets other threads run; seeds go in fixed groups, so that their order says where it ends.
        for first in range(0, effort.seeds, THREADS):
            seeds = range(first, min(first + THREADS, effort.seeds))
            found += pool.map(lambda seed: one(packed, given, seed, effort), seeds)
            if _agreed(found) or len(given) == len(packed.wish.parts):
                break
        else:
            first_ones = sorted(found, key=lambda f: f.price)[:AGAIN]
            found += pool.map(lambda pair: again(packed, pair[1], pair[0], effort), enumerate(first_ones))
    best = min(found, key=lambda f: f.price)
    if best.faults and not given and not packed.wish.at:
        return min([best, *(larger(packed, f, by) for f in found for by in (2, 3))], key=lambda f: f.price)
    return best


def _agreed(found: Sequence[Found]) -> bool:
    """Whether several seeds have met the same best price: more of them would hardly find a better one."""
    least = min(f.price for f in found)
    return sum(f.price < least + SAME for f in found) >= ENOUGH and not any(f.faults for f in found if f.price == least)


def one(packed: Packed, given: Mapping[str, tuple[Point, int]], seed: int, effort: Effort) -> Found:
    """One search and its wires."""
    moves = 0 if len(given) == len(packed.wish.parts) else _moves(packed, effort)
    return _annealed(packed, first_state(packed, given, seed), seed + 1, moves, HOT)


def again(packed: Packed, found: Found, seed: int, effort: Effort) -> Found:
    """A search that sets out, warm and not hot, from what another found."""
    return _annealed(packed, found.state, 1001 + seed, _moves(packed, effort) // 2, WARM)


def _moves(packed: Packed, effort: Effort) -> int:
    return effort.moves if effort.moves is not None else MOVES + MOVES_A_PART * len(packed.wish.parts)


def _annealed(packed: Packed, start: State, seed: int, moves: int, heat: float) -> Found:
    state, kept, best = (State(*(array.copy() for array in start)) for _ in range(3))
    chance = np.array([(seed * 2654435761 + 88172645) % 2**32])
    marks = np.ones(len(start.place), np.bool_), np.ones(len(packed.nets), np.bool_)
    anneal(packed.board, state, kept, best, chance, *marks, moves, heat, COLD, LOGS)
    return with_wires(packed, best)


def larger(packed: Packed, found: Found, by: int) -> Found:
    """The same arrangement with more room between all parts."""
    return moved(packed, found, found.state.place[:, :2] * by)


def moved(packed: Packed, found: Found, places: np.ndarray) -> Found:
    """The same arrangement with other places."""
    state = State(*(array.copy() for array in found.state))
    state.place[:, :2] = places
    for net in range(len(packed.nets)):
        choose(packed.board, state, net)
    return with_wires(packed, state)


def with_wires(packed: Packed, state: State) -> Found:
    """A state with its wires routed."""
    places = [(int(x), int(y)) for x, y in state.place[:, :2]]
    made = plan(packed, places, [int(v) for v in state.place[:, 2]])
    routed = route(made, {node: courses(state, n) for n, node in enumerate(packed.nets)})
    hits = collisions(made)
    return Found(made, routed, state, hits + len(routed.failed), routed.price + FAILED * hits + _rest(packed, state))


def courses(state: State, net: int) -> Sequence[Edge]:
    """The units of a net's first course."""
    return sorted({unit for run in state.run[net, : int(state.tally[net, 0])] for unit in along(run)})


def collisions(made: Plan) -> int:
    """How many boxes of different parts overlap, and how many pins of different nodes share a place."""
    own = [rooms(standing) for standing in made.standing]
    hits = sum(
        min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])
        for one, other in combinations(own, 2) for a in one for b in other
    )  # fmt: skip
    for pin, other in combinations(made.pins, 2):
        hits += pin.at == other.at and (pin.node != other.node or pin.node is None)
    return hits


def _rest(packed: Packed, state: State) -> float:
    """What a state costs besides its wires: parts by themselves and with each other, and the whole."""
    parts, nets = np.ones(len(state.place), np.bool_), np.zeros(len(state.trunk), np.bool_)
    without = state._replace(tally=np.zeros_like(state.tally))
    return float(partial(packed.board, without, parts, nets) + whole(packed.board, state))
