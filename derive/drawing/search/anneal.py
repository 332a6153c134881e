"""The search: simulated annealing over whole places, variants and trunks.

Enters: a board, a state, a seed. Leaves: the best state met, in the state's own arrays. Must not know: names.

Chance comes from a generator of its own (xorshift, G. Marsaglia, "Xorshift RNGs", J. Stat. Soft. 8, 2003; from
memory) and a table of rounded logarithms, so that a seed gives the same drawing everywhere.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from derive.drawing.search.board import Array, Board, State
from derive.drawing.search.course import choose, lay
from derive.drawing.search.price import partial, pin_x, pin_y, whole

REACH = 3


@njit(cache=True)
def chance(seed: Array, below: int) -> int:
    """A number from 0 to ``below`` - 1."""
    s = seed[0]
    s ^= (s << 13) & 0xFFFFFFFF
    s ^= s >> 17
    s ^= (s << 5) & 0xFFFFFFFF
    seed[0] = s
    return (s * below) >> 32


@njit(cache=True)
def copy(state: State, source: State, parts: Array, nets: Array) -> None:
    for p in range(parts.shape[0]):
        if parts[p]:
            state.x[p], state.y[p], state.variant[p] = source.x[p], source.y[p], source.variant[p]
    for n in range(nets.shape[0]):
        if nets[n]:
            state.lying[n], state.by[n], state.beside[n] = source.lying[n], source.by[n], source.beside[n]
            state.runs[n], state.cost[n] = source.runs[n], source.cost[n]
            state.run[n, : source.runs[n]] = source.run[n, : source.runs[n]]


@njit(cache=True)
def mark_nets(board: Board, parts: Array, nets: Array) -> None:
    for p in range(parts.shape[0]):
        if parts[p]:
            for k in range(board.pins[p]):
                if board.pin_net[p, k] >= 0:
                    nets[board.pin_net[p, k]] = True


@njit(cache=True)
def move(board: Board, state: State, seed: Array, parts: Array, nets: Array) -> bool:
    """Draws a move and makes it: places and variants are changed, what is touched is marked. False: none made.

    Trunks of touched nets are left to the caller, but for a move of a trunk itself.
    """
    count, wires = parts.shape[0], nets.shape[0]
    kind, p = chance(seed, 100), chance(seed, count)
    if kind < 34:
        parts[p] = True
        way = chance(seed, 3)
        if way != 1:
            state.x[p] += chance(seed, 2 * REACH + 1) - REACH
        if way != 0:
            state.y[p] += chance(seed, 2 * REACH + 1) - REACH
    elif kind < 50:
        parts[p] = True
        state.variant[p] = chance(seed, board.variants[p])
    elif kind < 55:
        q = chance(seed, count)
        if q == p:
            return False
        parts[p] = parts[q] = True
        state.x[p], state.x[q] = state.x[q], state.x[p]
        state.y[p], state.y[q] = state.y[q], state.y[p]
    elif kind < 75 and wires > 0:
        return snap(board, state, seed, parts)
    elif kind < 88 and wires > 0:
        n = chance(seed, wires)
        nets[n] = True
        state.lying[n] = chance(seed, 2)
        state.by[n] = chance(seed, board.net_start[n + 1] - board.net_start[n])
        state.beside[n] = chance(seed, 9) - 4 if chance(seed, 2) else 0
        lay(board, state, n)
        return True
    elif kind < 93:
        line, by = chance(seed, 4), 1 - 2 * chance(seed, 2)
        for q in range(count):
            if (line == 0 and state.x[q] >= state.x[p]) or (line == 1 and state.x[q] > state.x[p]):
                parts[q] = True
                state.x[q] += by
            elif (line == 2 and state.y[q] >= state.y[p]) or (line == 3 and state.y[q] > state.y[p]):
                parts[q] = True
                state.y[q] += by
    else:
        group(board, state, seed, parts, p)
        dx, dy = chance(seed, 2 * REACH + 1) - REACH, chance(seed, 2 * REACH + 1) - REACH
        for q in range(count):
            if parts[q]:
                state.x[q] += dx
                state.y[q] += dy
    return not np.any(parts & board.still)


@njit(cache=True)
def snap(board: Board, state: State, seed: Array, parts: Array) -> bool:
    """Brings a pin in line with another of its net, or onto it."""
    n = chance(seed, board.net_start.shape[0] - 1)
    start, size = board.net_start[n], board.net_start[n + 1] - board.net_start[n]
    if size < 2:
        return False
    i = start + chance(seed, size)
    j = start + chance(seed, size)
    p, q = board.net_part[i], board.net_part[j]
    if p == q or board.still[p]:
        return False
    parts[p] = True
    if chance(seed, 3) == 0:
        state.variant[p] = chance(seed, board.variants[p])
    dx = pin_x(board, state, q, board.net_pin[j]) - pin_x(board, state, p, board.net_pin[i])
    dy = pin_y(board, state, q, board.net_pin[j]) - pin_y(board, state, p, board.net_pin[i])
    way = chance(seed, 5)
    if way != 0 and way != 3:
        state.x[p] += dx
    if way != 1 and way != 4:
        state.y[p] += dy
    if way == 3:
        state.x[p] += dx + (chance(seed, 9) - 4)
    if way == 4:
        state.y[p] += dy + (chance(seed, 9) - 4)
    return True


@njit(cache=True)
def group(board: Board, state: State, seed: Array, parts: Array, p: int) -> None:
    """Marks a part with some that hang on it: a column's, or neighbours by wire."""
    parts[p] = True
    if chance(seed, 2):
        span = chance(seed, 4)
        for q in range(parts.shape[0]):
            if abs(state.x[q] - state.x[p]) <= span:
                parts[q] = True
        return
    for _ in range(1 + chance(seed, 5)):
        n = chance(seed, board.net_start.shape[0] - 1) if board.net_start.shape[0] > 1 else 0
        near = False
        for i in range(board.net_start[n], board.net_start[n + 1]):
            near = near or parts[board.net_part[i]]
        if near:
            q = board.net_part[board.net_start[n] + chance(seed, board.net_start[n + 1] - board.net_start[n])]
            parts[q] = True


@njit(cache=True)
def anneal(
    board: Board, state: State, kept: State, best: State, number: int, moves: int, hot: float, cold: float, logs: Array
) -> float:
    """Anneals ``state``; ``kept`` and ``best`` are room for copies. Leaves the best state in ``best``."""
    count, wires = state.x.shape[0], state.runs.shape[0]
    seed = np.empty(1, np.int64)
    seed[0] = (number * 2654435761 + 88172645) & 0xFFFFFFFF
    for _ in range(20):
        chance(seed, 2)
    parts, nets = np.ones(count, np.bool_), np.ones(wires, np.bool_)
    for n in range(wires):
        choose(board, state, n)
    copy(kept, state, parts, nets)
    copy(best, state, parts, nets)
    all_over = whole(board, state)
    price = partial(board, state, parts, nets) + all_over
    least, heat, ratio = price, hot, (cold / hot) ** (1.0 / max(moves, 1))
    for _ in range(moves):
        heat *= ratio
        parts[:], nets[:] = False, False
        if not move(board, state, seed, parts, nets):
            copy(state, kept, parts, nets)
            continue
        mark_nets(board, parts, nets)
        before = partial(board, kept, parts, nets)
        keep = chance(seed, 3) == 0
        for n in range(wires):
            if nets[n]:
                touched = False
                for i in range(board.net_start[n], board.net_start[n + 1]):
                    touched = touched or parts[board.net_part[i]]
                if touched and keep:
                    lay(board, state, n)
                elif touched:
                    choose(board, state, n)
        now = whole(board, state)
        change = partial(board, state, parts, nets) - before + now - all_over
        if change <= 0 or change < heat * logs[chance(seed, logs.shape[0])]:
            copy(kept, state, parts, nets)
            all_over = now
            price += change
            if price < least - 1e-6:
                least = price
                best.x[:], best.y[:], best.variant[:] = state.x, state.y, state.variant
                best.lying[:], best.by[:], best.beside[:] = state.lying, state.by, state.beside
        else:
            copy(state, kept, parts, nets)
    for n in range(wires):
        lay(board, best, n)
    return least
