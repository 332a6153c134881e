"""What a state costs: what changed parts and nets cost with all others, and what concerns the whole.

Enters: a board, a state. Leaves: prices. Must not know: moves.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import BODY, Array, Board, State
from derive.drawing.search.touch import APART, holds, meet, overlap, pierces

CROSSING, TOUCH = 7.0, 40.0
THROUGH, WORDS_HIT = 25.0, 14.0
OVERLAP, DEEPER = 30.0, 8.0
CLASH = 60.0
AREA, HEIGHT = 0.25, 1.3
RAIL_OFF = 0.15
ABOVE = 0.6
LEFTMOST, RIGHTMOST = 0.6, 0.35
UNEVEN, UNEVEN_MORE = 9.0, 1.5
ALIKE = 9.0
ASKED, ASKED_MORE = 60.0, 6.0


@njit(cache=True)
def between_parts(board: Board, state: State, p: int, q: int) -> float:
    dx, dy = state.x[q] - state.x[p], state.y[q] - state.y[p]
    v, w = state.variant[p], state.variant[q]
    a, b = board.bound[p, v], board.bound[q, w]
    if dx + b[0] - a[2] > 1 or a[0] - dx - b[2] > 1 or dy + b[1] - a[3] > 1 or a[1] - dy - b[3] > 1:
        return 0.0
    price = 0.0
    for i in range(board.boxes[p]):
        for j in range(board.boxes[q]):
            deep = overlap(board.box[p, v, i], 0, 0, board.box[q, w, j], dx, dy, APART)
            if deep > 0:
                price += OVERLAP + DEEPER * deep
    for i in range(board.pins[p]):
        x, y = board.pin_at[p, v, i, 0], board.pin_at[p, v, i, 1]
        for j in range(board.pins[q]):
            here = x == dx + board.pin_at[q, w, j, 0] and y == dy + board.pin_at[q, w, j, 1]
            if here and (board.pin_net[p, i] != board.pin_net[q, j] or board.pin_net[p, i] < 0):
                price += CLASH
        for j in range(board.boxes[q]):
            c = board.box[q, w, j]
            if c[0] + dx - 0.2 < x < c[2] + dx + 0.2 and c[1] + dy - 0.2 < y < c[3] + dy + 0.2:
                price += CLASH / 2
    for j in range(board.pins[q]):
        x, y = board.pin_at[q, w, j, 0] + dx, board.pin_at[q, w, j, 1] + dy
        for i in range(board.boxes[p]):
            c = board.box[p, v, i]
            if c[0] - 0.2 < x < c[2] + 0.2 and c[1] - 0.2 < y < c[3] + 0.2:
                price += CLASH / 2
    return price


@njit(cache=True)
def net_and_part(board: Board, state: State, net: int, p: int) -> float:
    price, v, x, y = 0.0, state.variant[p], state.x[p], state.y[p]
    bound = board.bound[p, v]
    for r in range(state.runs[net]):
        run = state.run[net, r]
        if not pierces(run, bound, x, y):
            continue
        for b in range(board.boxes[p]):
            if pierces(run, board.box[p, v, b], x, y):
                price += WORDS_HIT if board.box_kind[p, b] != BODY else THROUGH
        for k in range(board.pins[p]):
            other = board.pin_net[p, k] != net
            if other and holds(run, x + board.pin_at[p, v, k, 0], y + board.pin_at[p, v, k, 1]):
                price += TOUCH
    return price


@njit(cache=True)
def between_nets(state: State, net: int, other: int) -> float:
    price = 0.0
    for r in range(state.runs[net]):
        for s in range(state.runs[other]):
            kind = meet(state.run[net, r], state.run[other, s])
            if kind == 1:
                price += CROSSING
            elif kind > 1:
                price += TOUCH + 2.0 * (kind - 2)
    return price


@njit(cache=True)
def partial(board: Board, state: State, parts: Array, nets: Array) -> float:
    """What the marked parts and nets cost by themselves and with everything else."""
    price, count, wires = 0.0, parts.shape[0], nets.shape[0]
    for p in range(count):
        if parts[p]:
            price += board.price[p, state.variant[p]]
            for q in range(count):
                if q != p and (not parts[q] or q > p):
                    price += between_parts(board, state, min(p, q), max(p, q))
    for n in range(wires):
        if nets[n]:
            price += state.cost[n]
            for m in range(wires):
                if m != n and (not nets[m] or m > n):
                    price += between_nets(state, n, m)
            for p in range(count):
                price += net_and_part(board, state, n, p)
        else:
            for p in range(count):
                if parts[p]:
                    price += net_and_part(board, state, n, p)
    return price


@njit(cache=True)
def pin_x(board: Board, state: State, p: int, k: int) -> int:
    return state.x[p] + board.pin_at[p, state.variant[p], k, 0]


@njit(cache=True)
def pin_y(board: Board, state: State, p: int, k: int) -> int:
    return state.y[p] + board.pin_at[p, state.variant[p], k, 1]


@njit(cache=True)
def whole(board: Board, state: State) -> float:
    """What concerns the drawing as a whole: area, flow, rows of rails, potential, pairs, hints."""
    left, bottom, right, top = 1e9, 1e9, -1e9, -1e9
    count = state.x.shape[0]
    for p in range(count):
        bound = board.bound[p, state.variant[p]]
        left, right = min(left, state.x[p] + bound[0]), max(right, state.x[p] + bound[2])
        bottom, top = min(bottom, state.y[p] + bound[1]), max(top, state.y[p] + bound[3])
    price = AREA * (right - left + HEIGHT * (top - bottom))
    if board.source >= 0:
        price += LEFTMOST * (state.x[board.source] + board.bound[board.source, state.variant[board.source], 0] - left)
    if board.output >= 0:
        most = -1e9
        for i in range(board.net_start[board.output], board.net_start[board.output + 1]):
            most = max(most, pin_x(board, state, board.net_part[i], board.net_pin[i]))
        price += RIGHTMOST * (right - most)
    for e in range(board.flow.shape[0]):
        back = pin_x(board, state, board.flow[e, 0], board.flow[e, 1])
        back -= pin_x(board, state, board.flow[e, 2], board.flow[e, 3])
        if back > 0:
            price += board.flow_weight[e] * back
    for rail in range(board.rails):
        low, high = 100000, -100000
        for p in range(count):
            for k in range(board.pins[p]):
                if board.pin_rail[p, k] == rail:
                    y = pin_y(board, state, p, k)
                    low, high = min(low, y), max(high, y)
        if high > low:
            price += RAIL_OFF * (high - low)
    return price + potential(board, state) + asked(board, state)


@njit(cache=True)
def potential(board: Board, state: State) -> float:
    """Where a pin that points down and one that points up share a net, the first should lie above."""
    price = 0.0
    for net in range(board.net_start.shape[0] - 1):
        for i in range(board.net_start[net], board.net_start[net + 1]):
            p, k = board.net_part[i], board.net_pin[i]
            if board.pin_way[p, state.variant[p], k] != 3:
                continue
            for j in range(board.net_start[net], board.net_start[net + 1]):
                q, m = board.net_part[j], board.net_pin[j]
                if board.pin_way[q, state.variant[q], m] == 1:
                    price += ABOVE * max(0, pin_y(board, state, q, m) - pin_y(board, state, p, k))
    return price


@njit(cache=True)
def asked(board: Board, state: State) -> float:
    """Pairs level and mirrored; rows and columns that the author asks for."""
    price = 0.0
    for e in range(board.pairs.shape[0]):
        p, q, inwards = board.pairs[e, 0], board.pairs[e, 1], board.pairs[e, 2]
        off = abs(state.y[p] - state.y[q])
        if off > 0:
            price += UNEVEN + min(UNEVEN_MORE * off, 2 * UNEVEN)
        if inwards < 2:
            if state.x[q] < state.x[p]:
                p, q = q, p
            first = board.mirrored[p, state.variant[p]]
            second = board.mirrored[q, state.variant[q]]
            price += ALIKE * ((first != inwards) + (second == inwards))
            price += 2.0 if state.x[p] == state.x[q] else 0.0
    for e in range(board.level.shape[0]):
        off = abs(state.y[board.level[e, 0]] - state.y[board.level[e, 1]])
        price += (ASKED + ASKED_MORE * off) * (off > 0)
    for e in range(board.upright.shape[0]):
        off = abs(state.x[board.upright[e, 0]] - state.x[board.upright[e, 1]])
        price += (ASKED + ASKED_MORE * off) * (off > 0)
    return price
