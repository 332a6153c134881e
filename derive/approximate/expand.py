"""The maximal terms of a determinant that is too large to multiply out.

Enters: a diagram, the laws of its elements, a cone. Leaves: a polynomial of the terms that stay.
Must not know: numbers of the symbols, questions.

Domination survives multiplication: when t may be dropped beside u at a node of the diagram, t·c may be dropped
beside u·c for whatever c completes both, and both completions lie in the same power of s. So each node keeps
only its maximal terms, and the millions of terms of the whole are never seen.
"""

from __future__ import annotations

from collections.abc import Mapping

from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.approximate.cone import Cone
from derive.errors import TooLarge
from derive.kernel.diagram import Diagram
from derive.network.records import Element

MOST = 4_000
"""Terms kept at one node after which the expansion is given up."""


def expand_pruned(diagram: Diagram, elements: Mapping[str, Element], ring: Ring, cone: Cone) -> Polynomial:
    """The polynomial of maximal terms, cleared of denominators. Raises TooLarge when too many stay."""
    weights = [ring.weights(elements[name]) for name in diagram.elements]
    unit: Exponents = (0,) * len(ring.names)
    steps = [(_exponents(c), _exponents(d)) for c, d in weights]
    depth = len(diagram.elements)
    skipped: list[list[Exponents]] = [[unit] * (depth + 1) for _ in range(depth + 1)]
    for start in range(depth + 1):
        for stop in range(start + 1, depth + 1):
            skipped[start][stop] = _times(skipped[start][stop - 1], steps[stop - 1][1])
    tables: list[dict[Exponents, int]] = [{}, {unit: 1}]
    for index in range(2, len(diagram.levels)):
        level, low, high = diagram.levels[index], diagram.lows[index], diagram.highs[index]
        table: dict[Exponents, int] = {}
        below = diagram.levels[abs(high)] if abs(high) > 1 else depth
        _add(table, tables[abs(high)], _times(steps[level][0], skipped[level + 1][below]), 1 if high > 0 else -1)
        if low:
            below = diagram.levels[low] if low > 1 else depth
            _add(table, tables[low], skipped[level][below], 1)
        tables.append(_prune(table, cone))
        if len(tables[-1]) > MOST:
            raise TooLarge(f"more than {MOST:,} terms stay under the statements")
    root = abs(diagram.root)
    if not root:
        return ring.zero
    top = diagram.levels[root] if root > 1 else depth
    result: dict[Exponents, int] = {}
    _add(result, tables[root], skipped[0][top], 1 if diagram.root > 0 else -1)
    return ring.polynomial(result)


def _exponents(monomial: Polynomial) -> Exponents:
    return terms(monomial)[0][0]


def _times(left: Exponents, right: Exponents) -> Exponents:
    return tuple(a + b for a, b in zip(left, right, strict=True))


def _add(table: dict[Exponents, int], more: dict[Exponents, int], factor: Exponents, sign: int) -> None:
    for exponents, coefficient in more.items():
        key = _times(exponents, factor)
        merged = table.get(key, 0) + sign * coefficient
        if merged:
            table[key] = merged
        else:
            del table[key]


def _prune(table: dict[Exponents, int], cone: Cone) -> dict[Exponents, int]:
    if len(table) < 2 or not cone.generators:
        return table
    by_power: dict[int, list[Exponents]] = {}
    for exponents in table:
        by_power.setdefault(exponents[0], []).append(exponents)
    kept: dict[Exponents, int] = {}
    for group in by_power.values():
        places, _ = cone.maximal(group)
        kept.update((group[place], table[group[place]]) for place in places)
    return kept
