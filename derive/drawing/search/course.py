"""A first course for the wire of a net: one trunk, and a spur from each pin to it.

Enters: a board, a state, a net. Leaves: the net's runs and what they cost by themselves. Must not know: other nets.

Price: 1 a unit, CORNER a bend, and what a pin asks where no wire goes straight on from it.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import BOUND, BOXES, EAST, FREE, NORTH, ROOM, SOUTH, WEST, Board, State
from derive.drawing.search.touch import pierces

CORNER = 3.5
FOUR_WAYS = 2.0
UNNAMED = 14.0
"""A net whose name is wanted and that has no wire to write it at."""
THROUGH_OWN = 25.0


@njit(cache=True)
def lay(board: Board, state: State, net: int) -> float:
    """Writes the runs of a net from its trunk, and its price, which is returned too."""
    nets, members, pins, place, run = board.nets, board.members, board.pins, state.place, state.run
    start, stop, count = nets[net, 0], nets[net + 1, 0], 0
    p, k = members[start + state.trunk[net, 1], 0], members[start + state.trunk[net, 1], 1]
    lying = state.trunk[net, 0]
    trunk = place[p, lying] + pins[p, place[p, 2], k, lying] + state.trunk[net, 2]
    low, high = 100000, -100000
    for i in range(start, stop):
        p, k = members[i, 0], members[i, 1]
        along = place[p, 1 - lying] + pins[p, place[p, 2], k, 1 - lying]
        low, high = min(low, along), max(high, along)
    price = float(high - low)
    at_low, at_high, pin_low, pin_high = 0, 0, False, False
    for i in range(start, stop):
        p, k = members[i, 0], members[i, 1]
        v = place[p, 2]
        x, y, way = place[p, 0] + pins[p, v, k, 0], place[p, 1] + pins[p, v, k, 1], pins[p, v, k, 2]
        along, across = (x, y) if lying else (y, x)
        straight = False
        if across != trunk:
            price += abs(across - trunk)
            if lying:
                run[net, count, 0], run[net, count, 1] = x, min(y, trunk)
                run[net, count, 2], run[net, count, 3] = x, max(y, trunk)
                straight = way == (NORTH if trunk > y else SOUTH)
            else:
                run[net, count, 0], run[net, count, 1] = min(x, trunk), y
                run[net, count, 2], run[net, count, 3] = max(x, trunk), y
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
                q, m = members[j, 0], members[j, 1]
                w = place[q, 2]
                if place[q, 0] + pins[q, w, m, 0] == x and place[q, 1] + pins[q, w, m, 1] == y:
                    others += 1
                    straight = straight or pins[q, w, m, 2] == (way + 2) % 4
        if others > 1:
            price += FOUR_WAYS * others
        if not straight:
            price += board.shapes[p, v, FREE + k]
    if high > low:
        run[net, count, lying], run[net, count, 2 + lying] = trunk, trunk
        run[net, count, 1 - lying], run[net, count, 3 - lying] = low, high
        count += 1
        price += CORNER * ((at_low == 1 and not pin_low) + (at_high == 1 and not pin_high))
    if stop - start > 1 and count == 0 and nets[net, 1]:
        price += UNNAMED
    state.tally[net, 0] = count
    state.tally[net, 1] = price
    return price


@njit(cache=True)
def through_own(board: Board, state: State, net: int, enough: float) -> float:
    """What it costs that a net's wire runs through the parts that it joins, as far as it counts."""
    price, count, shapes, place, run = 0.0, int(state.tally[net, 0]), board.shapes, state.place, state.run
    for i in range(board.nets[net, 0], board.nets[net + 1, 0]):
        p = board.members[i, 0]
        x, y, v = place[p, 0], place[p, 1], place[p, 2]
        for r in range(count):
            if not pierces(run, net, r, shapes, p, v, BOUND, x, y):
                continue
            for b in range(board.parts[p, BOXES]):
                if pierces(run, net, r, shapes, p, v, ROOM + 4 * b, x, y):
                    price += THROUGH_OWN
                    if price >= enough:
                        return price
    return price


@njit(cache=True)
def choose(board: Board, state: State, net: int) -> None:
    """The cheapest trunk of a net by itself."""
    best, kind, which, trunk = 1e18, 0, 0, state.trunk
    trunk[net, 2] = 0
    for by in range(board.nets[net + 1, 0] - board.nets[net, 0]):
        for lying in range(2):
            trunk[net, 0], trunk[net, 1] = lying, by
            price = lay(board, state, net)
            if price < best - 1e-9:
                price += through_own(board, state, net, best - price)
                if price < best - 1e-9:
                    best, kind, which = price, lying, by
    trunk[net, 0], trunk[net, 1] = kind, which
    lay(board, state, net)
