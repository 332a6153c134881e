"""A first course for the wire of a net: one trunk, and a spur from each pin to it.

Enters: a board, a state, a net. Leaves: the net's runs and what they cost by themselves. Must not know: other nets.

Price: 1 a unit, CORNER a bend, and what a pin asks where no wire goes straight on from it.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import EAST, NORTH, SOUTH, WEST, Board, State
from derive.drawing.search.touch import pierces

CORNER = 3.5
FOUR_WAYS = 2.0
UNNAMED = 14.0
"""A net whose name is wanted and that has no wire to write it at."""
THROUGH_OWN = 25.0


@njit(cache=True)
def lay(board: Board, state: State, net: int) -> float:
    """Writes the runs of a net from its trunk, and its price, which is returned too."""
    start, stop = board.net_start[net], board.net_start[net + 1]
    run, count = state.run[net], 0
    chosen = start + state.by[net]
    part, pin = board.net_part[chosen], board.net_pin[chosen]
    at = board.pin_at[part, state.variant[part], pin]
    lying = state.lying[net]
    trunk = (state.y[part] + at[1] if lying else state.x[part] + at[0]) + state.beside[net]
    low, high = 100000, -100000
    for i in range(start, stop):
        p, k = board.net_part[i], board.net_pin[i]
        place = board.pin_at[p, state.variant[p], k]
        along = state.x[p] + place[0] if lying else state.y[p] + place[1]
        low, high = min(low, along), max(high, along)
    price = float(high - low)
    at_low, at_high = 0, 0
    pin_low, pin_high = False, False
    for i in range(start, stop):
        p, k = board.net_part[i], board.net_pin[i]
        v = state.variant[p]
        x, y = state.x[p] + board.pin_at[p, v, k, 0], state.y[p] + board.pin_at[p, v, k, 1]
        along, across = (x, y) if lying else (y, x)
        way = board.pin_way[p, v, k]
        straight = False
        if across != trunk:
            price += abs(across - trunk)
            if lying:
                run[count, 0], run[count, 1], run[count, 2], run[count, 3] = x, min(y, trunk), x, max(y, trunk)
                straight = way == (NORTH if trunk > y else SOUTH)
            else:
                run[count, 0], run[count, 1], run[count, 2], run[count, 3] = min(x, trunk), y, max(x, trunk), y
                straight = way == (EAST if trunk > x else WEST)
            count += 1
            at_low += along == low
            at_high += along == high
        else:
            if lying:
                straight = (way == EAST and high > x) or (way == WEST and low < x)
            else:
                straight = (way == NORTH and high > y) or (way == SOUTH and low < y)
            pin_low = pin_low or along == low
            pin_high = pin_high or along == high
        others = 0
        for j in range(start, stop):
            if j != i:
                q, m = board.net_part[j], board.net_pin[j]
                w = state.variant[q]
                if state.x[q] + board.pin_at[q, w, m, 0] == x and state.y[q] + board.pin_at[q, w, m, 1] == y:
                    others += 1
                    straight = straight or board.pin_way[q, w, m] == (way + 2) % 4
        if others > 1:
            price += FOUR_WAYS * others
        if not straight:
            price += board.pin_free[p, v, k]
    if high > low:
        if lying:
            run[count, 0], run[count, 1], run[count, 2], run[count, 3] = low, trunk, high, trunk
        else:
            run[count, 0], run[count, 1], run[count, 2], run[count, 3] = trunk, low, trunk, high
        count += 1
        price += CORNER * ((at_low == 1 and not pin_low) + (at_high == 1 and not pin_high))
    if stop - start > 1 and count == 0 and board.named[net]:
        price += UNNAMED
    state.runs[net] = count
    state.cost[net] = price
    return price


@njit(cache=True)
def through_own(board: Board, state: State, net: int) -> float:
    """What it costs that a net's wire runs through the parts that it joins."""
    price = 0.0
    for i in range(board.net_start[net], board.net_start[net + 1]):
        p = board.net_part[i]
        for b in range(board.boxes[p]):
            for r in range(state.runs[net]):
                if pierces(state.run[net, r], board.box[p, state.variant[p], b], state.x[p], state.y[p]):
                    price += THROUGH_OWN
    return price


@njit(cache=True)
def choose(board: Board, state: State, net: int) -> None:
    """The cheapest trunk of a net by itself."""
    best, kind, which = 1e18, 0, 0
    state.beside[net] = 0
    for by in range(board.net_start[net + 1] - board.net_start[net]):
        for lying in range(2):
            state.lying[net], state.by[net] = lying, by
            price = lay(board, state, net) + through_own(board, state, net)
            if price < best - 1e-9:
                best, kind, which = price, lying, by
    state.lying[net], state.by[net] = kind, which
    lay(board, state, net)
