"""The moves of the search: shift, another variant, swap, sides of a pair, pin to pin, another trunk, rows, groups.

Enters: a board, a state, chance. Leaves: the state moved, and what was touched. Must not know: prices.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import FIXED, HELD, PAIR, STILL, VARIANTS, Array, Board, State
from derive.drawing.search.course import lay
from derive.drawing.search.overall import pin

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
def move(board: Board, state: State, seed: Array, parts: Array, nets: Array) -> bool:
    """Draws a move and makes it: places and variants are changed, what is touched is marked. False: none made.

    Trunks of touched nets are left to the caller, but for a move of a trunk itself.
    """
    place, count, wires = state.place, parts.shape[0], nets.shape[0]
    kind, p = chance(seed, 100), chance(seed, count)
    if kind < 34:
        parts[p] = True
        way = chance(seed, 3)
        if way != 1:
            place[p, 0] += chance(seed, 2 * REACH + 1) - REACH
        if way != 0:
            place[p, 1] += chance(seed, 2 * REACH + 1) - REACH
    elif kind < 50:
        parts[p] = True
        place[p, 2] = chance(seed, board.parts[p, VARIANTS])
    elif kind < 53 and board.wants.shape[0]:
        exchange(board, place, seed, parts)
    elif kind < 56:
        q = chance(seed, count)
        parts[p] = parts[q] = True
        for axis in range(2):
            place[p, axis], place[q, axis] = place[q, axis], place[p, axis]
    elif kind < 75 and wires > 0:
        snap(board, place, seed, parts)
    elif kind < 88 and wires > 0:
        n = chance(seed, wires)
        nets[n] = True
        state.trunk[n, 0] = chance(seed, 2)
        state.trunk[n, 1] = chance(seed, board.nets[n + 1, 0] - board.nets[n, 0])
        state.trunk[n, 2] = chance(seed, 9) - 4 if chance(seed, 2) else 0
        lay(board, state, n)
        return True
    elif kind < 93:
        line, by = chance(seed, 4), 1 - 2 * chance(seed, 2)
        axis, edge = line % 2, place[p, line % 2] + line // 2
        for q in range(count):
            if place[q, axis] >= edge:
                parts[q] = True
                place[q, axis] += by
    else:
        group(board, place, seed, parts, p)
        dx, dy = chance(seed, 2 * REACH + 1) - REACH, chance(seed, 2 * REACH + 1) - REACH
        for q in range(count):
            if parts[q]:
                place[q, 0] += dx
                place[q, 1] += dy
    moved = False
    for q in range(count):
        if parts[q] and (board.parts[q, STILL] == FIXED or (board.parts[q, STILL] == HELD and not 34 <= kind < 50)):
            return False
        moved = moved or parts[q]
    return moved


@njit(cache=True)
def snap(board: Board, place: Array, seed: Array, parts: Array) -> None:
    """Brings a pin in line with another of its net, or onto it."""
    n = chance(seed, board.nets.shape[0] - 1)
    start, size = board.nets[n, 0], board.nets[n + 1, 0] - board.nets[n, 0]
    i = start + chance(seed, size)
    j = start + chance(seed, size)
    p, q = board.members[i, 0], board.members[j, 0]
    if p == q:
        return
    parts[p] = True
    if chance(seed, 3) == 0:
        place[p, 2] = chance(seed, board.parts[p, VARIANTS])
    dx = pin(board, place, q, board.members[j, 1], 0) - pin(board, place, p, board.members[i, 1], 0)
    dy = pin(board, place, q, board.members[j, 1], 1) - pin(board, place, p, board.members[i, 1], 1)
    way = chance(seed, 5)
    if way != 0:
        place[p, 0] += dx + (chance(seed, 9) - 4 if way == 3 else 0)
    if way != 1:
        place[p, 1] += dy + (chance(seed, 9) - 4 if way == 4 else 0)


@njit(cache=True)
def exchange(board: Board, place: Array, seed: Array, parts: Array) -> None:
    """Lets the two of a pair change sides, and by chance each pair that stands in the same two columns."""
    wants = board.wants
    chosen = chance(seed, wants.shape[0])
    if wants[chosen, 0] != PAIR:
        return
    left, right = place[wants[chosen, 1], 0], place[wants[chosen, 2], 0]
    for e in range(wants.shape[0]):
        if wants[e, 0] != PAIR or (e != chosen and chance(seed, 4) == 0):
            continue
        p, q = wants[e, 1], wants[e, 2]
        a, b = place[p, 0], place[q, 0]
        if (a == left and b == right) or (a == right and b == left):
            parts[p] = parts[q] = True
            for c in range(3):
                if c < 2 or board.parts[p, VARIANTS] == board.parts[q, VARIANTS]:
                    place[p, c], place[q, c] = place[q, c], place[p, c]


@njit(cache=True)
def group(board: Board, place: Array, seed: Array, parts: Array, p: int) -> None:
    """Marks a part with some that hang on it: a column's, or neighbours by wire."""
    parts[p] = True
    if chance(seed, 2) or board.members.shape[0] == 0:
        span = chance(seed, 4)
        for q in range(parts.shape[0]):
            if abs(place[q, 0] - place[p, 0]) <= span:
                parts[q] = True
        return
    for _ in range(1 + chance(seed, 5)):
        n = chance(seed, board.nets.shape[0] - 1)
        near = False
        for i in range(board.nets[n, 0], board.nets[n + 1, 0]):
            near = near or parts[board.members[i, 0]]
        if near:
            parts[board.members[board.nets[n, 0] + chance(seed, board.nets[n + 1, 0] - board.nets[n, 0]), 0]] = True
