"""The search: simulated annealing over whole places, variants and trunks.

Enters: a board, a state, a seed. Leaves: the best state met, in the state's own arrays. Must not know: names.

Chance comes from a generator of its own (xorshift, G. Marsaglia, "Xorshift RNGs", J. Stat. Soft. 8, 2003; from
memory) and a table of rounded logarithms, so that a seed gives the same drawing everywhere.
"""

from __future__ import annotations

from numba import njit

from derive.drawing.search.board import Array, Board, State
from derive.drawing.search.course import choose, lay
from derive.drawing.search.moves import chance, move
from derive.drawing.search.overall import whole
from derive.drawing.search.price import partial


@njit(cache=True)
def copy(state: State, source: State, parts: Array, nets: Array) -> None:
    for p in range(parts.shape[0]):
        if parts[p]:
            for c in range(3):
                state.place[p, c] = source.place[p, c]
    for n in range(nets.shape[0]):
        if nets[n]:
            for c in range(3):
                state.trunk[n, c] = source.trunk[n, c]
            state.tally[n, 0], state.tally[n, 1] = source.tally[n, 0], source.tally[n, 1]
            for r in range(int(source.tally[n, 0])):
                for c in range(4):
                    state.run[n, r, c] = source.run[n, r, c]


@njit(cache=True)
def follow(board: Board, state: State, parts: Array, nets: Array, keep: bool) -> None:
    """Marks the nets of moved parts and lays them anew, by their old trunks or by the best."""
    for n in range(nets.shape[0]):
        touched = False
        for i in range(board.nets[n, 0], board.nets[n + 1, 0]):
            touched = touched or parts[board.members[i, 0]]
        if touched:
            nets[n] = True
            if keep:
                lay(board, state, n)
            else:
                choose(board, state, n)


@njit(cache=True, nogil=True)
def anneal(
    board: Board, state: State, kept: State, best: State, seed: Array, parts: Array, nets: Array, moves: int,
    hot: float, cold: float, logs: Array,
) -> float:  # fmt: skip
    """Anneals ``state``; ``kept`` and ``best`` are room for copies, ``parts`` and ``nets`` for marks. Leaves the best
    state in ``best``."""
    count, wires = state.place.shape[0], state.trunk.shape[0]
    for _ in range(20):
        chance(seed, 2)
    for p in range(count):
        parts[p] = True
    for n in range(wires):
        nets[n] = True
    for n in range(wires):
        choose(board, state, n)
    copy(kept, state, parts, nets)
    copy(best, state, parts, nets)
    all_over = whole(board, state)
    price = partial(board, state, parts, nets) + all_over
    least, heat, ratio = price, hot, (cold / hot) ** (1.0 / max(moves, 1))
    for _ in range(moves):
        heat *= ratio
        for p in range(count):
            parts[p] = False
        for n in range(wires):
            nets[n] = False
        if not move(board, state, seed, parts, nets):
            copy(state, kept, parts, nets)
            continue
        follow(board, state, parts, nets, chance(seed, 2) == 0)
        now = whole(board, state)
        limit = heat * logs[chance(seed, logs.shape[0])]
        change = partial(board, state, parts, nets) - partial(board, kept, parts, nets) + now - all_over
        if change <= 0 or change < limit:
            copy(kept, state, parts, nets)
            all_over = now
            price += change
            if price < least - 1e-6:
                least = price
                for p in range(count):
                    for c in range(3):
                        best.place[p, c] = state.place[p, c]
                for n in range(wires):
                    for c in range(3):
                        best.trunk[n, c] = state.trunk[n, c]
        else:
            copy(state, kept, parts, nets)
    for n in range(wires):
        lay(board, best, n)
    return least
