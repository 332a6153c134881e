"""A greedy search for statements: the one that drops most for its error, again and again, within the accuracy.

Enters: a state to begin with. Leaves: the state in which nothing more can be had.
Must not know: LaTeX, how statements are printed. What it finds is verified and pruned by ``settle``.
"""

from __future__ import annotations

import numpy as np

from derive.proposal.moves import Move, Offer, limits, ratios
from derive.proposal.state import State, Task, make

EAGERNESS = (0.0, 0.5, 1.0)
"""How much the error of a statement counts against the terms that it drops: each gives a search of its own."""
FLOOR = 0.03
"""The share of the accuracy below which errors count as equal."""
PLAINNESS = 1.0
"""How much a long statement counts against the terms that it drops."""
TRIED = 6
"""The best candidates of a round that are worked out in full."""


def greedy(state: State, task: Task, eagerness: float) -> State:
    """Adds moves while any drops terms within the accuracy."""
    refused: set[str] = set()
    while True:
        better = _step(state, task, eagerness, refused)
        if better is None:
            return state
        state = better


def _step(state: State, task: Task, eagerness: float, refused: set[str]) -> State | None:
    names = task.names
    offers = limits(state.table, state.kept, names, task.ends)
    offers += ratios(state.table, state.maximal, names, task.reach)
    offers = [o for o in offers if o.move.text not in refused and task.allowed(o.move)]
    if not offers:
        return None
    errors = _estimates(state, offers, task)

    def score(dropped: int, error: float, move: Move) -> float:
        price = max(error - state.error, FLOOR * task.accuracy) / task.accuracy
        return dropped / price**eagerness / task.burden(move) ** PLAINNESS

    ranked = sorted(
        (-score(len(o.drops), e, o.move), o.move.text, o)
        for o, e in zip(offers, errors, strict=True)
        if e <= task.accuracy
    )  # texts differ, so that offers are never compared
    best: tuple[float, str, State] | None = None
    for _, text, offer in ranked[: 2 * TRIED]:
        found = make(state, offer.move, task)
        if found is None or found.error > task.accuracy or found.size >= state.size:
            refused.add(text)
            continue
        entry = (-score(state.size - found.size, found.error, offer.move), text, found)
        if best is None or entry[:2] < best[:2]:
            best = entry
    return best[2] if best else None


def _estimates(state: State, offers: list[Offer], task: Task) -> np.ndarray:
    """The error of each offer when exactly its own terms go."""
    base = state.table.coefficients(state.kept)
    rows = np.tile(base, (len(offers), 1))
    sizes = state.table.sizes * state.kept
    for row, offer in zip(rows, offers, strict=True):
        np.subtract.at(row, state.table.sums[offer.drops], sizes[offer.drops])
    return task.yardstick.errors(state.table.responses(rows, task.yardstick.s))
