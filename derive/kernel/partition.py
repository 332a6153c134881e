"""One graph's side of a state: which open nodes are joined, and the sign that joining them brings.

Enters: edges in the order of the elements. Leaves: transitions between partitions.
Must not know: the other graph, values, diagrams.

A partition is a tuple of block labels, one for each open node in the order of opening. Label 0 is ground;
other labels count upwards in the order in which blocks first appear. The blocks, in the order of their
labels, are the rows that are left of the incidence matrix; rows not yet opened come after them. Deleting an
edge removes a column; contracting it expands the determinant along that column, which removes the row with
the larger label and adds it to the other. The column's own sign is the same in both graphs and cancels.
"""

from __future__ import annotations

from collections.abc import Sequence

Partition = tuple[int, ...]
Step = tuple[int, Partition]
"""Sign and partition; sign 0 when the determinant vanishes (a closed loop, or a node left alone)."""

DEAD: Step = (0, ())


class Frontier:
    """Transitions of one graph for a fixed order of edges; node 0 is ground."""

    def __init__(self, edges: Sequence[tuple[int, int]]) -> None:
        last: dict[int, int] = {}
        for index, edge in enumerate(edges):
            for node in edge:
                last[node] = index
        open_nodes: list[int] = []
        self.opening_order: list[int] = []
        self._opened: list[int] = []
        self._ends: list[tuple[int, int]] = []
        self._kept: list[tuple[int, ...]] = []
        for index, edge in enumerate(edges):
            before = len(open_nodes)
            for node in edge:
                if node and node not in open_nodes:
                    open_nodes.append(node)
                    self.opening_order.append(node)
            self._opened.append(len(open_nodes) - before)
            places = tuple(open_nodes.index(node) if node else -1 for node in edge)
            self._ends.append((places[0], places[1]))
            kept = tuple(place for place, node in enumerate(open_nodes) if last[node] > index)
            self._kept.append(kept)
            open_nodes = [open_nodes[place] for place in kept]
        self._deleted: list[dict[Partition, Step]] = [{} for _ in edges]
        self._contracted: list[dict[Partition, Step]] = [{} for _ in edges]

    def delete(self, index: int, partition: Partition) -> Step:
        """The state after the element has been taken away."""
        memo = self._deleted[index]
        step = memo.get(partition)
        if step is None:
            blocks, count = self._open(index, partition)
            step = memo[partition] = _close(blocks, count, self._kept[index])
        return step

    def contract(self, index: int, partition: Partition) -> Step:
        """The state after the element's two ends have been made one."""
        memo = self._contracted[index]
        step = memo.get(partition)
        if step is None:
            step = memo[partition] = self._contract(index, partition)
        return step

    def _open(self, index: int, partition: Partition) -> tuple[Partition, int]:
        """The blocks with those of the element's new nodes, and the largest label."""
        top = max(partition, default=0)
        count = top + self._opened[index]
        return (partition if count == top else (*partition, *range(top + 1, count + 1))), count

    def _contract(self, index: int, partition: Partition) -> Step:
        blocks, count = self._open(index, partition)
        first, second = self._ends[index]
        plus, minus = blocks[first] if first >= 0 else 0, blocks[second] if second >= 0 else 0
        if plus == minus:
            return DEAD
        removed, kept = (plus, minus) if plus > minus else (minus, plus)
        joined = tuple([kept if b == removed else b - 1 if b > removed else b for b in blocks])
        closed = _close(joined, count - 1, self._kept[index])
        # The column's sign, and that of the row that goes.
        return (closed[0] if (removed == plus) == bool(removed % 2) else -closed[0], closed[1])


def _close(blocks: Partition, count: int, kept: tuple[int, ...]) -> Step:
    """Drops the nodes that no later element touches; dead when one of the ``count`` blocks has no open node left."""
    order: dict[int, int] = {0: 0}
    rest: list[int] = []
    last, rising = 0, True
    for place in kept:
        block = blocks[place]
        label = order.get(block)
        if label is None:
            label = order[block] = len(order)
            rising = rising and block > last
            last = block
        rest.append(label)
    if len(order) - 1 != count:
        return DEAD
    return (1 if rising else parity(list(order)[1:])), tuple(rest)


def parity(sequence: Sequence[int]) -> int:
    """+1 for an even permutation of distinct numbers, -1 for an odd one.

    >>> parity([1, 2, 3]), parity([2, 1, 3])
    (1, -1)
    """
    sign = 1
    for i, left in enumerate(sequence):
        for right in sequence[i + 1 :]:
            if left > right:
                sign = -sign
    return sign
