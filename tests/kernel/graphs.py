"""Random two-graph networks for the kernel, and their determinants by rational elimination.

Enters: a source of random numbers. Leaves: elements, numbers, determinants.
Must not know: diagrams.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from random import Random

from derive.network.records import Edge, Element
from tests.nodal import determinant

Forced = tuple[Edge, Edge]


def conductances(edges: Sequence[tuple[str, str]]) -> list[Element]:
    """Ordinary conductances g1, g2, … along some edges."""
    return [Element(f"g{k}", "G", "conductance", edge, edge) for k, edge in enumerate(edges, 1)]


def random_elements(source: Random, count: int, ordinary: int, controlled: int) -> list[Element]:
    """Conductances to a random tree over ``count`` nodes besides gnd, and controlled sources anywhere."""
    nodes = ["gnd", *(f"n{k}" for k in range(count))]
    edges = [(nodes[k], nodes[source.randrange(k)]) for k in range(1, len(nodes))]
    edges += [tuple(source.sample(nodes, 2)) for _ in range(ordinary)]  # type: ignore[misc]
    elements = conductances(edges)
    for k in range(controlled):
        current, voltage = (tuple(source.sample(nodes, 2)) for _ in range(2))
        elements.append(Element(f"w{k}", "W", "conductance", current, voltage))  # type: ignore[arg-type]
    source.shuffle(elements)
    return elements


def nodes_of(elements: Sequence[Element], forced: Sequence[Forced] = ()) -> list[str]:
    """All nodes but gnd."""
    edges = [edge for e in elements for edge in (e.current, e.voltage)] + [edge for pair in forced for edge in pair]
    return sorted({node for edge in edges for node in edge} - {"gnd"})


def exact_determinant(
    elements: Sequence[Element], numbers: Mapping[str, Fraction], forced: Sequence[Forced] = ()
) -> Fraction:
    """det Y, or with forced edges the coefficient of the product of their admittances in it.

    The determinant is linear in each admittance, so the coefficient is an alternating sum over which are one.
    """
    nodes = nodes_of(elements, forced)
    place = {node: row for row, node in enumerate(nodes)}
    total = Fraction(0)
    for mask in range(2 ** len(forced)):
        chosen = [pair for k, pair in enumerate(forced) if mask >> k & 1]
        matrix = [[Fraction(0)] * len(nodes) for _ in nodes]
        weighed = [(e.current, e.voltage, numbers[e.name]) for e in elements]
        for current, voltage, amount in [*weighed, *((*pair, Fraction(1)) for pair in chosen)]:
            for row, up in zip(current, (1, -1), strict=True):
                for column, over in zip(voltage, (1, -1), strict=True):
                    if row in place and column in place:
                        matrix[place[row]][place[column]] += up * over * amount
        total += (-1) ** (len(forced) - len(chosen)) * determinant(matrix)
    return total
