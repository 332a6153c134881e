"""A determinant as a product: exactly, where elements are not coupled at all; nearly, where they hardly are.

Enters: a diagram, couplings, the sizes of the elements. Leaves: groups of elements, and the small polynomial of each.
Must not know: questions, words, LaTeX.

Two elements stand in different factors exactly when their coupling vanishes. Where couplings below a threshold are
taken for nothing as well, the groups are the stages of the circuit, and the determinant is about the product of what
each group gives when all the others stand at their largest term.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate
from random import Random

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
    levels = diagram.levels
    paths = _agreeing(diagram, inside, largest)
    if paths is None:
        return ring.zero
    if _count(diagram.root, paths) > LARGEST:
        raise TooLarge("a group of coupled elements has too many terms")
    pairs = [ring.weights(elements[name]) if name in inside else None for name in diagram.elements]
    deleted = [None if pair is None or pair[1] == ring.one else pair[1] for pair in pairs]

    def between(value: Polynomial, above: int, below: int) -> Polynomial:
        for factor in deleted[above:below]:
            if factor is not None:
                value = value * factor
        return value

    values: dict[int, Polynomial] = {1: ring.one}
    for place, low, high in paths:
        level = levels[place]
        value = ring.zero
        if high:
            value = between(values[abs(high)], level + 1, levels[abs(high)])
            pair = pairs[level]
            value = value if pair is None else value * pair[0]
            value = value if high > 0 else -value
        if low:
            value = value + between(values[low], level, levels[low])
        values[place] = value
    top = between(values[abs(diagram.root)], 0, levels[abs(diagram.root)])
    return top if diagram.root > 0 else -top


Paths = list[tuple[int, int, int]]
"""Nodes of a diagram, children first, each with its low and its high child; 0 where the way there is not followed."""


def _agreeing(diagram: Diagram, inside: frozenset[str], largest: frozenset[str]) -> Paths | None:
    """The part of a diagram whose terms agree with the largest outside the group; None where there are none."""
    levels = diagram.levels
    both = [name in inside for name in diagram.elements]
    kept = [name in largest for name in diagram.elements]
    # Passing over an element deletes it: nothing is left where the largest term holds it.
    held = list(accumulate((k and not b for k, b in zip(kept, both, strict=True)), initial=0))
    root = abs(diagram.root)
    if not root or held[levels[root]]:
        return None
    found: dict[int, tuple[int, int]] = {}
    waiting = [root]
    while waiting:
        place = waiting.pop()
        if place == 1 or place in found:
            continue
        level, low, high = levels[place], diagram.lows[place], diagram.highs[place]
        behind = held[level + 1]
        if not (both[level] or kept[level]) or held[levels[abs(high)]] != behind:
            high = 0
        if low and (not (both[level] or not kept[level]) or held[levels[low]] != behind):
            low = 0
        found[place] = low, high
        waiting += [child for child in (low, abs(high)) if child]
    return [(place, *found[place]) for place in sorted(found)]


def _count(root: int, paths: Paths) -> int:
    """How many terms there are."""
    counts = {1: 1}
    for place, low, high in paths:
        counts[place] = (counts[low] if low else 0) + (counts[abs(high)] if high else 0)
    return counts[abs(root)]
