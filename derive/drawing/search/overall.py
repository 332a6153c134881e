"""What a state costs as a whole: area, flow, rows of rails, potential, pairs, rows and columns that are asked for.

Enters: a board, a state. Leaves: prices. Must not know: moves.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import (
    BESIDE,
    BOUND,
    FLOW,
    NORTH,
    PAIR,
    PINS,
    RAIL,
    ROW,
    SOUTH,
    Array,
    Board,
    State,
)

AREA, HEIGHT = 0.25, 1.3
RAIL_OFF = 0.15
ABOVE = 0.6
LEFTMOST, RIGHTMOST = 0.6, 0.35
UNEVEN, UNEVEN_MORE = 9.0, 1.5
ALIKE, UPON = 9.0, 2.0
ASKED, ASKED_MORE = 60.0, 6.0
SHIFTED, SHIFTED_MORE = 2.0, 0.25


@njit(cache=True, inline="always")
def pin(board: Board, place: Array, p: int, k: int, axis: int) -> int:
    return place[p, axis] + board.pins[p, place[p, 2], k, axis]


@njit(cache=True)
def whole(board: Board, state: State) -> float:
    """The price of what concerns the drawing as a whole."""
    place, shapes = state.place, board.shapes
    left, bottom, right, top = 1e9, 1e9, -1e9, -1e9
    count = place.shape[0]
    for p in range(count):
        x, y, v = place[p, 0], place[p, 1], place[p, 2]
        left, right = min(left, x + shapes[p, v, BOUND]), max(right, x + shapes[p, v, BOUND + 2])
        bottom, top = min(bottom, y + shapes[p, v, BOUND + 1]), max(top, y + shapes[p, v, BOUND + 3])
    price = AREA * (right - left + HEIGHT * (top - bottom))
    source, output = board.ends[0], board.ends[1]
    if source >= 0:
        price += LEFTMOST * (place[source, 0] + shapes[source, place[source, 2], BOUND] - left)
    if output >= 0:
        most = -1e9
        for i in range(board.nets[output, 0], board.nets[output + 1, 0]):
            most = max(most, float(pin(board, place, board.members[i, 0], board.members[i, 1], 0)))
        price += RIGHTMOST * (right - most)
    for rail in range(board.ends[2]):
        low, high = 100000, -100000
        for p in range(count):
            for k in range(board.parts[p, PINS]):
                if board.parts[p, RAIL + k] == rail:
                    y = pin(board, place, p, k, 1)
                    low, high = min(low, y), max(high, y)
        if high > low:
            price += RAIL_OFF * (high - low)
    return price + potential(board, place) + wanted(board, place)


@njit(cache=True)
def potential(board: Board, place: Array) -> float:
    """Where a pin that points down and one that points up share a net, the first should lie above."""
    price, members = 0.0, board.members
    for net in range(board.nets.shape[0] - 1):
        for i in range(board.nets[net, 0], board.nets[net + 1, 0]):
            p, k = members[i, 0], members[i, 1]
            if board.pins[p, place[p, 2], k, 2] != SOUTH:
                continue
            for j in range(board.nets[net, 0], board.nets[net + 1, 0]):
                q, m = members[j, 0], members[j, 1]
                if board.pins[q, place[q, 2], m, 2] == NORTH:
                    price += ABOVE * max(0, pin(board, place, q, m, 1) - pin(board, place, p, k, 1))
    return price


@njit(cache=True)
def wanted(board: Board, place: Array) -> float:
    """Signal from left to right; pairs level and mirrored; rows and columns that the author asks for."""
    price, wants = 0.0, board.wants
    for e in range(wants.shape[0]):
        kind, p, q = wants[e, 0], wants[e, 1], wants[e, 2]
        if kind == FLOW:
            q = wants[e, 3]
            back = pin(board, place, p, wants[e, 2], 0) - pin(board, place, q, wants[e, 4], 0)
            if back > 0:
                price += back * wants[e, 5] / 1000
        elif kind == PAIR:
            off = abs(place[p, 1] - place[q, 1])
            if off > 0:
                price += UNEVEN + min(UNEVEN_MORE * off, 2 * UNEVEN)
            if wants[e, 3] < 2:
                if place[q, 0] < place[p, 0]:
                    p, q = q, p
                # Mirrored is a control that lies on the right.
                first = board.pins[p, place[p, 2], 0, 0] > 0
                second = board.pins[q, place[q, 2], 0, 0] > 0
                inwards = wants[e, 3] == 1
                price += ALIKE * ((first != inwards) + (second == inwards))
                price += UPON if place[p, 0] == place[q, 0] else 0.0
        elif kind == BESIDE:
            axis = board.pins[p, place[p, 2], 0, 2] % 2
            off = abs(place[p, axis] - place[q, axis])
            if board.pins[q, place[q, 2], 0, 2] % 2 != axis:
                price += SHIFTED
            elif off > 0:
                price += SHIFTED + SHIFTED_MORE * off
        else:
            axis = 1 if kind == ROW else 0
            off = abs(place[p, axis] - place[q, axis])
            price += (ASKED + ASKED_MORE * off) if off > 0 else 0.0
    return price
