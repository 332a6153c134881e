"""The value of a determinant at one complex frequency, with its derivative by every admittance, from its diagram.

Enters: a diagram, admittances in any precision. Leaves: the value and a list of derivatives.
Must not know: circuits, roots.

One pass up the diagram gives the values of its nodes, one pass down the derivative of the root by each of them (the
reverse mode of automatic differentiation): as much work as two evaluations, and no term is written out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from derive.kernel.diagram import Diagram


def value_and_slopes(diagram: Diagram, weights: Sequence[Any]) -> tuple[Any, list[Any]]:
    """det Y and ∂det Y/∂w for the weight of each of ``diagram.elements``.

    >>> from derive.kernel.diagram import Diagram
    >>> two = Diagram(["a", "b"])
    >>> two.root = two.node(0, two.node(1, 0, 1), 1)
    >>> value_and_slopes(two, [3, 5])
    (8, [1, 1])
    """
    count = len(diagram.levels)
    values: list[Any] = [0, 1]
    for index in range(2, count):
        low, high = diagram.lows[index], diagram.highs[index]
        through = weights[diagram.levels[index]] * values[abs(high)]
        values.append((values[low] if low else 0) + (through if high > 0 else -through))
    slopes: list[Any] = [0] * len(diagram.elements)
    if not diagram.root:
        return 0, slopes
    sign = 1 if diagram.root > 0 else -1
    below: list[Any] = [0] * count
    below[abs(diagram.root)] = sign
    for index in range(count - 1, 1, -1):
        amount = below[index]
        low, high, level = diagram.lows[index], diagram.highs[index], diagram.levels[index]
        if not amount:
            continue
        if low:
            below[low] = below[low] + amount
        signed = amount if high > 0 else -amount
        below[abs(high)] = below[abs(high)] + signed * weights[level]
        slopes[level] = slopes[level] + signed * values[abs(high)]
    return sign * values[abs(diagram.root)], slopes
