"""Resistors that carry no direct current: those behind which nothing takes any.

Enters: branches. Leaves: the same, the idle ones marked. Must not know: numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from derive.bias.estimate.branches import Branch
from derive.expression.tree import ZERO


def mark_idle(branches: Sequence[Branch], held: frozenset[str]) -> tuple[Branch, ...]:
    """Mark every resistor that ends at a node, not held, where no other branch carries current.

    One end after another, so that two resistors in series to a gate are both idle.
    """
    marked = list(branches)
    while True:
        found = _idle_end(marked, held)
        if found is None:
            return tuple(marked)
        place, node = found
        marked[place] = replace(marked[place], idle_from=node)


def _idle_end(branches: Sequence[Branch], held: frozenset[str]) -> tuple[int, str] | None:
    touching: dict[str, list[int]] = {}
    for place, branch in enumerate(branches):
        if not branch.idle_from and (branch.resistance is not None or branch.current != ZERO):
            for node in (branch.first, branch.second):
                touching.setdefault(node, []).append(place)
    for node, places in touching.items():
        if node not in held and len(places) == 1 and branches[places[0]].resistance is not None:
            return places[0], node
    return None
