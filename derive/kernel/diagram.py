"""A determinant as a decision diagram: its paths are the terms, each a set of contracted elements.

Enters: elements by number, built bottom-up. Leaves: passes over the diagram: counts, values, polynomials.
Must not know: graphs, circuits, questions.

A node (element, low, high) stands for low + weight(element) * high: the element deleted, or contracted. It is
zero-suppressed: an element that a path skips is deleted. References carry a sign; 0 is nothing and ±1 is the
number ±1. Children are always older than their parents, so that a pass is one loop.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


class Diagram:
    """Nodes with unique table; ``root`` is a signed reference."""

    def __init__(self, elements: Sequence[str]) -> None:
        self.elements = tuple(elements)
        """Names of the elements by level, topmost first."""
        self.levels: list[int] = [len(elements), len(elements)]
        self.lows: list[int] = [0, 0]
        self.highs: list[int] = [0, 0]
        self.root = 0
        self._unique: dict[tuple[int, int, int], int] = {}

    def node(self, level: int, low: int, high: int) -> int:
        """The signed reference of low + weight * high, shared if it exists."""
        if high == 0:
            return low
        sign = 1
        if low < 0 or (low == 0 and high < 0):
            sign, low, high = -1, -low, -high
        key = (level, low, high)
        found = self._unique.get(key)
        if found is None:
            found = self._unique[key] = len(self.levels)
            self.levels.append(level)
            self.lows.append(low)
            self.highs.append(high)
        return sign * found

    def close(self) -> None:
        """No more nodes come: the table by which they are shared, larger than they are, is let go."""
        self._unique = {}

    @property
    def size(self) -> int:
        """Number of inner nodes."""
        return len(self.levels) - 2

    def count(self) -> int:
        """The number of terms, exactly."""
        counts = [0, 1]
        for low, high in zip(self.lows[2:], self.highs[2:], strict=True):
            counts.append((counts[low] if low else 0) + counts[abs(high)])
        return counts[abs(self.root)]

    def fold(self, one: Any, zero: Any, contracted: Sequence[Any], deleted: Sequence[Any]) -> Any:
        """The diagram in any commutative ring: the sum over terms of the product over all elements of
        ``contracted[level]`` or ``deleted[level]``. With ones in ``deleted`` it is the determinant itself.
        """
        factors = _factors_that_matter(deleted, one)

        def between(value: Any, above: int, below: int) -> Any:
            for level in range(above, below):
                if factors[level] is not None:
                    value = value * factors[level]
            return value

        values: list[Any] = [zero, one]
        for index in range(2, len(self.levels)):
            level, low, high = self.levels[index], self.lows[index], self.highs[index]
            kept = between(values[abs(high)], level + 1, self.levels[abs(high)]) * contracted[level]
            value = kept if high > 0 else -kept
            if low:
                value = value + between(values[low], level, self.levels[low])
            values.append(value)
        if not self.root:
            return zero
        top = between(values[abs(self.root)], 0, self.levels[abs(self.root)])
        return top if self.root > 0 else -top


def _factors_that_matter(deleted: Sequence[Any], one: Any) -> list[Any]:
    """None where deleting the element multiplies by one, so that the pass may skip it."""
    return [None if factor == one else factor for factor in deleted]
