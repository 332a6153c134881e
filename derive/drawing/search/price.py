"""What changed parts and nets cost by themselves and with all others.

Enters: a board, a state, what is marked. Leaves: prices. Must not know: moves.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import BODY, BOUND, BOXES, KIND, NET, PINS, PRICE, ROOM, Array, Board, State
from derive.drawing.search.touch import NEAR, holds, meet, overlap, pierces

CROSSING, TOUCH = 7.0, 40.0
THROUGH, WORDS_HIT = 25.0, 14.0
OVERLAP, DEEPER = 30.0, 8.0
CLASH = 60.0


@njit(cache=True)
def pin_in_boxes(board: Board, p: int, v: int, q: int, w: int, dx: int, dy: int) -> float:
    """What it costs that pins of the first part lie in boxes of the second, which stands at dx, dy from it."""
    price = 0.0
    shapes, pins = board.shapes, board.pins
    for i in range(board.parts[p, PINS]):
        x, y = pins[p, v, i, 0] - dx, pins[p, v, i, 1] - dy
        for j in range(board.parts[q, BOXES]):
            c = ROOM + 4 * j
            inside = shapes[q, w, c] - NEAR < x < shapes[q, w, c + 2] + NEAR
            if inside and shapes[q, w, c + 1] - NEAR < y < shapes[q, w, c + 3] + NEAR:
                price += CLASH / 2
    return price


@njit(cache=True)
def between_parts(board: Board, place: Array, p: int, q: int) -> float:
    shapes, pins, parts = board.shapes, board.pins, board.parts
    dx, dy, v, w = place[q, 0] - place[p, 0], place[q, 1] - place[p, 1], place[p, 2], place[q, 2]
    if dx + shapes[q, w, BOUND] - shapes[p, v, BOUND + 2] > 1 or shapes[p, v, BOUND] - dx - shapes[q, w, BOUND + 2] > 1:
        return 0.0
    if dy + shapes[q, w, BOUND + 1] - shapes[p, v, BOUND + 3] > 1:
        return 0.0
    if shapes[p, v, BOUND + 1] - dy - shapes[q, w, BOUND + 3] > 1:
        return 0.0
    price = 0.0
    for i in range(parts[p, BOXES]):
        for j in range(parts[q, BOXES]):
            deep = overlap(shapes, p, v, ROOM + 4 * i, q, w, ROOM + 4 * j, dx, dy)
            if deep > 0:
                price += OVERLAP + DEEPER * deep
    for i in range(parts[p, PINS]):
        for j in range(parts[q, PINS]):
            here = pins[p, v, i, 0] == dx + pins[q, w, j, 0] and pins[p, v, i, 1] == dy + pins[q, w, j, 1]
            if here and (parts[p, NET + i] != parts[q, NET + j] or parts[p, NET + i] < 0):
                price += CLASH
    return price + pin_in_boxes(board, p, v, q, w, dx, dy) + pin_in_boxes(board, q, w, p, v, -dx, -dy)


@njit(cache=True)
def net_and_part(board: Board, state: State, net: int, p: int) -> float:
    price = 0.0
    parts, shapes, pins, run = board.parts, board.shapes, board.pins, state.run
    x, y, v = state.place[p, 0], state.place[p, 1], state.place[p, 2]
    for r in range(int(state.tally[net, 0])):
        if not pierces(run, net, r, shapes, p, v, BOUND, x, y):
            continue
        for b in range(parts[p, BOXES]):
            if pierces(run, net, r, shapes, p, v, ROOM + 4 * b, x, y):
                price += WORDS_HIT if parts[p, KIND + b] != BODY else THROUGH
        for k in range(parts[p, PINS]):
            if parts[p, NET + k] != net and holds(run, net, r, x + pins[p, v, k, 0], y + pins[p, v, k, 1]):
                price += TOUCH
    return price


@njit(cache=True)
def between_nets(run: Array, tally: Array, net: int, other: int) -> float:
    price = 0.0
    for r in range(int(tally[net, 0])):
        for s in range(int(tally[other, 0])):
            kind = meet(run, net, r, other, s)
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
            price += board.shapes[p, state.place[p, 2], PRICE]
            for q in range(count):
                if q != p and (not parts[q] or q > p):
                    price += between_parts(board, state.place, min(p, q), max(p, q))
    for n in range(wires):
        if nets[n]:
            price += state.tally[n, 1]
            for m in range(wires):
                if m != n and (not nets[m] or m > n):
                    price += between_nets(state.run, state.tally, n, m)
            for p in range(count):
                price += net_and_part(board, state, n, p)
        else:
            for p in range(count):
                if parts[p]:
                    price += net_and_part(board, state, n, p)
    return price
