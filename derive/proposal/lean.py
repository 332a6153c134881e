"""Found moves made few and put in order, on the table of terms: quick, before the real reduction confirms it.

Enters: the state that a search began with, its moves. Leaves: fewer moves, or the same in another order.
Must not know: the network, statements.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.approximate.records import Generator
from derive.proposal.moves import Move
from derive.proposal.state import State, Task, begin, make, proposed

UNLIMITED = 10**9


def lean(start: State, moves: Sequence[Move], task: Task, kept: Sequence[Move] = ()) -> list[Move]:
    """The moves without those that leave no more terms when they go; the longest go first. ``kept`` stay anyhow."""
    left = list(moves)
    again = True
    while again:
        again = False
        size, _ = judged(start, left, task)
        for move in sorted((m for m in left if m not in kept), key=lambda m: (-m.burden, m.text)):
            less = without(left, move)
            found, error = judged(start, less, task)
            if found <= size and error <= task.accuracy:
                left, size, again = less, found, True
    return left


def ladder(start: State, moves: Sequence[Move], task: Task) -> list[Move]:
    """The moves in the order in which each leaves fewest terms after those before; then by their error."""
    left, state = list(moves), start
    order: list[Move] = []
    while left:
        after = {move: make(state, move, task) for move in left}
        best = min(left, key=lambda m: (_rank(after[m]), m.text))
        left = without(left, best)
        order.append(best)
        state = after[best] or state
    return order


def _rank(state: State | None) -> tuple[int, float]:
    return (state.size, state.error) if state is not None else (UNLIMITED, float("inf"))


def judged(start: State, moves: Sequence[Move], task: Task) -> tuple[int, float]:
    """Terms that stay under exactly these moves, common factors cancelled, and the error."""
    state = _all(start, moves, task)
    if state is None:
        return UNLIMITED, float("inf")
    return sum(state.table.ratio(task.ring, state.kept).counts), state.error


def _all(start: State, moves: Sequence[Move], task: Task) -> State | None:
    """The state under limits and then all ratios at once."""
    table = start.table
    for move in moves:
        if move.is_limit:
            less = table.limited(task.names.index(str(move.key[0])), to_infinity=move.key[1] == "inf")
            if less is None:
                return None
            table = less
    fresh: list[Generator] = [proposed(move) for move in moves if not move.is_limit]
    return begin(table, (*start.generators, *fresh), task)


def without(moves: Sequence[Move], gone: Move) -> list[Move]:
    return [move for move in moves if move.text != gone.text]
