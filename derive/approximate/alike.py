"""Symbols that are stated to be alike: one is written for the other, exactly.

Enters: equalities of products, polynomials. Leaves: polynomials with fewer symbols, in which like terms have merged.
Must not know: the network, questions.

Each equality says that a product of powers of symbols is a number. Together they are linear in the exponents; they
are solved for the symbols that stand last in the description, each with power one, so that the order of the
statements does not matter: of R1 = R2 = R3, R1 stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from math import lcm

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Ring, terms
from derive.approximate.records import Equality


class Unequal(Exception):
    """Equalities that contradict each other, or that no symbol can be taken from."""


@dataclass(frozen=True)
class Alike:
    """``replaced``: for the place of a symbol in the ring, the product that is written for it, with its factor."""

    replaced: Mapping[int, tuple[Exponents, Fraction]]

    def term(self, exponents: Exponents) -> tuple[Exponents, Fraction]:
        """A product without the replaced symbols; exponents may become negative."""
        found, factor = list(exponents), Fraction(1)
        for place, (instead, number) in self.replaced.items():
            power = exponents[place]
            if power:
                found[place] -= power
                factor *= number**power
                for i, e in enumerate(instead):
                    found[i] += power * e
        return tuple(found), factor

    def sides(self, ring: Ring, *sides: Iterable[tuple[Exponents, int | Fraction]]) -> list[dict[Exponents, int]]:
        """Sums without the replaced symbols, like terms merged, all cleared of denominators by one product."""
        merged: list[dict[Exponents, Fraction]] = []
        for side in sides:
            table: dict[Exponents, Fraction] = {}
            for exponents, coefficient in side:
                new, factor = self.term(exponents)
                table[new] = table.get(new, Fraction(0)) + coefficient * factor
            merged.append({e: c for e, c in table.items() if c})
        lowest = [min((e[i] for t in merged for e in t), default=0) for i in range(len(ring.names))]
        shift = [-min(low, 0) for low in lowest]
        whole = reduce(lcm, (c.denominator for t in merged for c in t.values()), 1)
        return [
            {tuple(a + b for a, b in zip(e, shift, strict=True)): int(c * whole) for e, c in t.items()} for t in merged
        ]

    def ratio(self, ratio: Ratio) -> Ratio:
        """The ratio without the replaced symbols. Raises ZeroDivisionError where the denominator vanishes."""
        if not self.replaced:
            return ratio
        above, below = self.sides(ratio.ring, terms(ratio.above), terms(ratio.below))
        return lowest_terms(ratio.ring, ratio.ring.polynomial(above), ratio.ring.polynomial(below))

    def numbers(self, ring: Ring, numbers: Mapping[str, Fraction]) -> dict[str, Fraction]:
        """The numbers with that of each replaced symbol following from the others."""
        found = dict(numbers)
        for place, (exponents, factor) in self.replaced.items():
            value = factor
            for name, exponent in zip(ring.names[1:], exponents[1:], strict=True):
                if exponent:
                    value *= numbers[name] ** exponent
            found[ring.names[place]] = value
        return found


def alike(equalities: Sequence[Equality]) -> Alike:
    """The symbols that are replaced. Raises Unequal."""
    rows = [(list(item.exponents), item.factor) for item in equalities]
    solved: dict[int, tuple[list[int], Fraction]] = {}
    width = len(rows[0][0]) if rows else 0
    for place in range(width - 1, 0, -1):
        held = [row for row in rows if row[0][place]]
        if not held:
            continue
        pivot = next((row for row in held if abs(row[0][place]) == 1), None)
        if pivot is None:
            raise Unequal("no symbol stands in them with power one")
        rows = [row for row in rows if row is not pivot]
        if pivot[0][place] < 0:
            pivot = [-e for e in pivot[0]], 1 / pivot[1]
        rows = [_without(row, pivot, place) for row in rows]
        solved = {known: _without(row, pivot, place) for known, row in solved.items()}
        solved[place] = pivot
    if any(factor != 1 for _, factor in rows):
        raise Unequal("multiplied, they say that two different numbers are equal")
    return Alike({place: (_rest(row, place), factor) for place, (row, factor) in solved.items()})


def _without(
    row: tuple[list[int], Fraction], pivot: tuple[list[int], Fraction], place: int
) -> tuple[list[int], Fraction]:
    times = row[0][place]
    if not times:
        return row
    return [a - times * b for a, b in zip(row[0], pivot[0], strict=True)], row[1] / pivot[1] ** times


def _rest(row: list[int], place: int) -> Exponents:
    return tuple(0 if i == place else -e for i, e in enumerate(row))
