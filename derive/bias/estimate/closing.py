"""Which equations, taken together, are enough for their unknowns.

Enters: for each equation the unknowns in it. Leaves: the smallest sets that close. Must not know: circuits.

Each equation is matched to one unknown of its own; the equations that need one another's unknowns go together
(A. L. Dulmage and N. S. Mendelsohn, "Coverings of bipartite graphs", 1958; from memory).
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import TypeVar

import networkx

Key = TypeVar("Key", bound=Hashable)


def closed_sets(equations: Sequence[Sequence[Key]]) -> list[list[int]]:
    """The sets of equations that have as many unknowns as equations and none besides, smallest first.

    >>> closed_sets([["a", "b"], ["a"], ["b", "c", "d"]])
    [[1]]
    """
    owner = _matched(equations)
    matched = {place: key for key, place in owner.items()}
    needs = networkx.DiGraph()
    needs.add_nodes_from(sorted(matched))
    open_ones = set()
    for place in sorted(matched):
        for key in equations[place]:
            if key not in owner:
                open_ones.add(place)
            elif owner[key] != place:
                needs.add_edge(place, owner[key])
    found = []
    for group in networkx.strongly_connected_components(needs):
        leaves = {other for place in group for other in needs.successors(place)}
        if leaves <= group and not group & open_ones:
            found.append(sorted(group))
    return sorted(found, key=lambda group: (len(group), group))


def _matched(equations: Sequence[Sequence[Key]]) -> dict[Key, int]:
    """For each unknown the equation that it is matched to, as many as can be (augmenting paths)."""
    owner: dict[Key, int] = {}

    def augment(place: int, tried: set[Key]) -> bool:
        for key in equations[place]:
            if key not in tried:
                tried.add(key)
                if key not in owner or augment(owner[key], tried):
                    owner[key] = place
                    return True
        return False

    for place in range(len(equations)):
        augment(place, set())
    return owner
