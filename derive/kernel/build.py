"""From a network to the diagram of its determinant.

Enters: elements and forced elements on named nodes. Leaves: a diagram.
Must not know: what the determinant is for.

The nodal matrix is Y = A W B^T with A and B the incidence matrices of the current and of the voltage graph
and W the admittances. By the theorem of Cauchy and Binet det Y is the sum, over the sets of elements that are
spanning trees of both graphs, of plus or minus the product of their admittances (W. K. Chen, "Applied Graph
Theory", North-Holland 1976; P. M. Lin, "Symbolic Network Analysis", Elsevier 1991). Elements are taken one at
a time, deleted or contracted, and the rest of the work is shared by the pair of partitions of the open nodes.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from functools import lru_cache

from derive.errors import TooLarge
from derive.kernel.diagram import Diagram
from derive.kernel.order import order_elements
from derive.kernel.partition import Frontier, Partition, parity
from derive.network.records import Edge, Element

LARGEST = 400_000
"""States after which the build gives up: a gibibyte, half a minute."""


def determinant(
    network_elements: Sequence[Element],
    forced: Sequence[tuple[Edge, Edge]],
    ground: str,
    nodes: Sequence[str] = (),
) -> Diagram:
    """The diagram of det Y with the forced (current, voltage) edges contracted.

    Nodes that nothing touches count only when they are named in ``nodes``; the determinant is then zero, since
    their voltage is undetermined. Raises TooLarge.
    """
    return _determinant(tuple(network_elements), tuple(forced), ground, tuple(nodes))


@lru_cache(maxsize=1024)
def _determinant(
    elements: tuple[Element, ...], forced: tuple[tuple[Edge, Edge], ...], ground: str, nodes: tuple[str, ...]
) -> Diagram:
    names = _node_numbers(elements, forced, ground)
    for node in nodes:
        names.setdefault(node, len(names))
    current = _Contracted(len(names))
    voltage = _Contracted(len(names))
    sign = 1
    for current_edge, voltage_edge in forced:
        sign *= current.contract(names[current_edge[0]], names[current_edge[1]])
        sign *= voltage.contract(names[voltage_edge[0]], names[voltage_edge[1]])
    edges = [
        (
            (current.find(names[e.current[0]]), current.find(names[e.current[1]])),
            (voltage.find(names[e.voltage[0]]), voltage.find(names[e.voltage[1]])),
        )
        for e in elements
    ]
    order = order_elements([pair[0] for pair in edges], [pair[1] for pair in edges])
    diagram = Diagram([elements[i].name for i in order])
    if sign == 0:
        return diagram
    currents = Frontier([edges[i][0] for i in order])
    voltages = Frontier([edges[i][1] for i in order])
    for side, frontier in ((current, currents), (voltage, voltages)):
        rows = [row for row in side.rows if row]
        if set(frontier.opening_order) != set(rows):
            return diagram
        places = {row: place for place, row in enumerate(rows)}
        sign *= parity([places[row] for row in frontier.opening_order])
    diagram.root = sign * _Builder(diagram, currents, voltages).build()
    diagram.close()
    return diagram


class _Builder:
    def __init__(self, diagram: Diagram, currents: Frontier, voltages: Frontier) -> None:
        self.diagram, self.currents, self.voltages = diagram, currents, voltages
        self.depth = len(diagram.elements)
        self.memo: list[dict[tuple[Partition, Partition], int]] = [{} for _ in range(self.depth)]
        self.states = 0

    def build(self) -> int:
        limit = sys.getrecursionlimit()
        sys.setrecursionlimit(max(limit, 4 * self.depth + 1000))
        try:
            return self._state(0, (), ())
        finally:
            sys.setrecursionlimit(limit)

    def _state(self, level: int, left: Partition, right: Partition) -> int:
        if level == self.depth:
            return 1
        memo = self.memo[level]
        key = (left, right)
        found = memo.get(key)
        if found is None:
            self.states += 1
            if self.states > LARGEST:
                raise TooLarge(
                    f"the circuit is too interwoven for an exact answer: more than {LARGEST:,} states in its diagram; "
                    "divide it, or delete parts that do not matter"
                )
            low = self._branch(level, self.currents.delete(level, left), self.voltages.delete(level, right))
            high = self._branch(level, self.currents.contract(level, left), self.voltages.contract(level, right))
            found = memo[key] = self.diagram.node(level, low, high)
        return found

    def _branch(self, level: int, left: tuple[int, Partition], right: tuple[int, Partition]) -> int:
        sign = left[0] * right[0]
        return sign * self._state(level + 1, left[1], right[1]) if sign else 0


class _Contracted:
    """Node numbers of one graph under contraction, with the rows that are left of its incidence matrix."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))
        self.rows = list(range(1, count))

    def find(self, node: int) -> int:
        while self.parent[node] != node:
            node = self.parent[node]
        return node

    def contract(self, plus: int, minus: int) -> int:
        """Contracts an edge; its sign, 0 for a loop. The row of the later node goes, ground never does."""
        plus, minus = self.find(plus), self.find(minus)
        if plus == minus:
            return 0
        removed, kept = max(plus, minus), min(plus, minus)
        place = self.rows.index(removed)
        del self.rows[place]
        self.parent[removed] = kept
        return (1 if removed == plus else -1) * (-1) ** place


def _node_numbers(elements: Iterable[Element], forced: Iterable[tuple[Edge, Edge]], ground: str) -> dict[str, int]:
    numbers = {ground: 0}
    for element in elements:
        for node in (*element.current, *element.voltage):
            numbers.setdefault(node, len(numbers))
    for current_edge, voltage_edge in forced:
        for node in (*current_edge, *voltage_edge):
            numbers.setdefault(node, len(numbers))
    return numbers
