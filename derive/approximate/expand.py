"""The maximal terms of a determinant that is too large to multiply out.

Enters: a diagram, the laws of its elements, a cone, symbols that are alike. Leaves: the terms that stay.
Must not know: numbers of the symbols, questions.

Domination survives multiplication: when t may be dropped beside u at a node of the diagram, t·c may be dropped
beside u·c for whatever c completes both, and the powers of s of both completions differ by as much. So each node
keeps only its maximal terms, and the millions of terms of the whole are never seen.

Symbols that are alike are one symbol from the start, so that their terms merge, and cancel, at the nodes. Then
nothing is dropped there: a term that dominates at one node could cancel at a later one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction

import numpy as np

from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.approximate.alike import Alike
from derive.approximate.cone import Cone, by_statement
from derive.errors import TooLarge
from derive.kernel.diagram import Diagram
from derive.network.records import Element

MOST = 4_000
"""Terms kept at one node after which the expansion is given up."""
SEVERAL = Alike({})
Factor = tuple[Exponents, Fraction | int]
Table = dict[Exponents, Fraction | int]
Powers = tuple[tuple[int, Fraction], ...]


def expand_pruned(
    diagram: Diagram,
    elements: Mapping[str, Element],
    ring: Ring,
    cone: Cone,
    same: Alike = SEVERAL,
    went: Counter[Powers] | None = None,
) -> Table:
    """The maximal terms, cleared of denominators. Raises TooLarge when too many stay.

    Where symbols are ``same``, all terms that do not cancel; exponents may then be negative. ``went`` counts the
    terms of the whole that are dropped, by the powers of the statements that drop them.
    """
    above = _paths(diagram) if went is not None else []
    weights = [ring.weights(elements[name]) for name in diagram.elements]
    unit: Factor = (0,) * len(ring.names), 1
    steps = [(_factor(c, same), _factor(d, same)) for c, d in weights]
    depth = len(diagram.elements)
    skipped: list[list[Factor]] = [[unit] * (depth + 1) for _ in range(depth + 1)]
    for start in range(depth + 1):
        for stop in range(start + 1, depth + 1):
            skipped[start][stop] = _times(skipped[start][stop - 1], steps[stop - 1][1])
    tables: list[Table] = [{}, {unit[0]: 1}]
    for index in range(2, len(diagram.levels)):
        level, low, high = diagram.levels[index], diagram.lows[index], diagram.highs[index]
        table: Table = {}
        below = diagram.levels[abs(high)] if abs(high) > 1 else depth
        _add(table, tables[abs(high)], _times(steps[level][0], skipped[level + 1][below]), 1 if high > 0 else -1)
        if low:
            below = diagram.levels[low] if low > 1 else depth
            _add(table, tables[low], skipped[level][below], 1)
        if not same.replaced:
            table, reasons = _prune(table, cone)
            if went is not None:
                went.update({powers: count * above[index] for powers, count in reasons.items()})
        tables.append(table)
        if len(tables[-1]) > MOST:
            raise TooLarge(f"more than {MOST:,} terms stay under the statements")
    root = abs(diagram.root)
    result: Table = {}
    if root:
        top = diagram.levels[root] if root > 1 else depth
        _add(result, tables[root], skipped[0][top], 1 if diagram.root > 0 else -1)
    return result


def _factor(monomial: Polynomial, same: Alike) -> Factor:
    exponents = terms(monomial)[0][0]
    return same.term(exponents) if same.replaced else (exponents, 1)


def _times(left: Factor, right: Factor) -> Factor:
    return tuple(a + b for a, b in zip(left[0], right[0], strict=True)), left[1] * right[1]


def _add(table: Table, more: Table, factor: Factor, sign: int) -> None:
    for exponents, coefficient in more.items():
        key, size = _times((exponents, coefficient), factor)
        merged = table.get(key, 0) + sign * size
        if merged:
            table[key] = merged
        else:
            del table[key]


def _prune(table: Table, cone: Cone) -> tuple[Table, Counter[Powers]]:
    """What stays, and for each term that goes the powers of the statements that drop it."""
    if len(table) < 2 or not cone.generators:
        return table, Counter()
    names = list(table)
    places, reasons = cone.maximal(names)
    # Rounded rows are few, and turning floating point into rationals is slow.
    rows = Counter(tuple(np.round(powers, 6) + 0.0) for _, powers in reasons.values())
    why: Counter[Powers] = Counter()
    for row, count in rows.items():
        why[by_statement(cone.generators, np.array(row))] += count
    return {names[place]: table[names[place]] for place in places}, why


def _paths(diagram: Diagram) -> list[int]:
    """From the root to each node: the number of ways in which a term at the node is completed."""
    ways = [0] * len(diagram.levels)
    ways[abs(diagram.root)] = 1
    for index in range(len(diagram.levels) - 1, 1, -1):
        for child in (diagram.lows[index], abs(diagram.highs[index])):
            if child:
                ways[child] += ways[index]
    return ways
