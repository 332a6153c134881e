"""A determinant as a product: exactly, where elements are not coupled at all; nearly, where they hardly are.

Enters: a diagram, couplings, the sizes of the elements. Leaves: groups of elements, and the small polynomial of each.
Must not know: questions, words, LaTeX.

Two elements stand in different factors exactly when their coupling vanishes. Where couplings below a threshold are
taken for nothing as well, the groups are the stages of the circuit, and the determinant is about the product of what
each group gives when all the others stand at their largest term.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random
from typing import Any

import networkx
import numpy as np

from derive.algebra.ring import Polynomial, Ring
from derive.errors import TooLarge
from derive.kernel.diagram import Diagram
from derive.network.records import Element
from derive.structure.shares import PRIME, Bordered, Shares, exactly_coupled

Group = tuple[str, ...]
LARGEST = 1_500
"""Terms above which the polynomial of one group is not written out."""


def exact_coupling(side: Bordered, names: Sequence[str]) -> np.ndarray:
    """Which elements share an irreducible factor, as a matrix of truth values in the order of ``names``."""
    for attempt in range(3):
        source = Random(attempt)
        found = exactly_coupled(side, [source.randrange(1, PRIME) for _ in side.elements])
        if found is not None:
            order = [next(i for i, e in enumerate(side.elements) if e.name == name) for name in names]
            return np.array(found, dtype=bool).reshape(len(side.elements), len(side.elements))[np.ix_(order, order)]
    return np.ones((len(names), len(names)), dtype=bool)


def groups(names: Sequence[str], exactly: np.ndarray, shares: Shares | None, threshold: float) -> list[Group]:
    """The elements in groups that are coupled by more than ``threshold`` somewhere in the band; exact for zero."""
    joined = exactly.copy()
    if threshold and shares is not None:
        joined &= np.max(np.abs(shares.coupling), axis=0) > threshold
    graph = networkx.Graph()
    graph.add_nodes_from(names)
    places = np.argwhere(np.triu(joined, 1))
    graph.add_edges_from((names[i], names[j]) for i, j in places)
    order = {name: place for place, name in enumerate(names)}
    found = [tuple(sorted(part, key=order.__getitem__)) for part in networkx.connected_components(graph)]
    return sorted(found, key=lambda group: order[group[0]])


def largest_term(diagram: Diagram, sizes: Mapping[str, float]) -> tuple[frozenset[str], int]:
    """The elements of the largest term, and its sign; an empty diagram has none."""
    best: list[float] = [float("-inf"), 0.0]
    for index in range(2, len(diagram.levels)):
        low, high = diagram.lows[index], diagram.highs[index]
        size = sizes[diagram.elements[diagram.levels[index]]]
        kept = best[abs(high)] + (np.log(size) if size else float("-inf"))
        best.append(max(kept, best[low] if low else float("-inf")))
    held: set[str] = set()
    place, sign = abs(diagram.root), 1 if diagram.root > 0 else -1
    while place > 1:
        low, high = diagram.lows[place], diagram.highs[place]
        name = diagram.elements[diagram.levels[place]]
        size = sizes[name]
        if low and best[low] >= best[abs(high)] + (np.log(size) if size else float("-inf")):
            place = low
        else:
            held.add(name)
            sign *= 1 if high > 0 else -1
            place = abs(high)
    return frozenset(held), sign


def polynomial_of(
    diagram: Diagram, group: Group, largest: frozenset[str], elements: Mapping[str, Element], ring: Ring
) -> Polynomial:
    """The terms that agree with the largest one outside the group, over what they hold in it, cleared of denominators.

    Raises TooLarge where there are too many.
    """
    inside = frozenset(group)
    if _count(diagram, inside, largest) > LARGEST:
        raise TooLarge("a group of coupled elements has too many terms")
    contracted, deleted = [], []
    for name in diagram.elements:
        pair = (ring.one, ring.zero) if name in largest else (ring.zero, ring.one)
        if name in inside:
            pair = ring.weights(elements[name])
        contracted.append(pair[0])
        deleted.append(pair[1])
    return diagram.fold(ring.one, ring.zero, contracted, deleted)


def _count(diagram: Diagram, inside: frozenset[str], largest: frozenset[str]) -> int:
    """How many terms agree with the largest outside the group."""
    both = [name in inside for name in diagram.elements]
    kept = [name in largest for name in diagram.elements]
    # Passing over an element deletes it: nothing is left where the largest term holds it.
    held = np.cumsum([0, *(k and not b for k, b in zip(kept, both, strict=True))])

    def passed(value: int, above: int, below: int) -> int:
        return value if held[above] == held[below] else 0

    counts: list[Any] = [0, 1]
    for index in range(2, len(diagram.levels)):
        level, low, high = diagram.levels[index], diagram.lows[index], diagram.highs[index]
        total = 0
        if both[level] or kept[level]:
            total += passed(counts[abs(high)], level + 1, diagram.levels[abs(high)])
        if low and (both[level] or not kept[level]):
            total += passed(counts[low], level + 1, diagram.levels[low])
        counts.append(total)
    if not diagram.root:
        return 0
    return int(passed(counts[abs(diagram.root)], 0, diagram.levels[abs(diagram.root)]))
