"""The limits in which one ratio becomes another, found by value.

Enters: two ratios. Leaves: sets of limits, fewest first. Must not know: numbers of the circuit, LaTeX.

A limit keeps the terms above and the terms below that lead in a symbol; where both lead in the same power, the power
drops out of the quotient. So the value of the limit at a point of a prime field is a quotient of two sums of the terms'
own values there, and no polynomial need be made. What is found so is taken by polynomials before it leaves.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations
from typing import Literal

import numpy as np

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Polynomial, terms
from derive.hand.limits import Going, limit, symbols_of

MODULUS = (1 << 31) - 1
MOST_STEPS = 4000
Taken = tuple[Going, ...]


@dataclass(frozen=True)
class _Side:
    """Exponents (a row for each term) and the terms' values at three points (a column for each)."""

    exponents: np.ndarray
    values: np.ndarray

    def kept(self, place: int, to: Literal["0", "inf"]) -> tuple[_Side, int]:
        """The terms that lead in a symbol, and their order in it."""
        orders = self.exponents[:, place]
        order = int(orders.max() if to == "inf" else orders.min())
        mask = orders == order
        return _Side(self.exponents[mask], self.values[mask]), order

    def sums(self) -> list[int]:
        return [int(each) % MODULUS for each in self.values.sum(axis=0)]


@dataclass(frozen=True)
class Found:
    """``equal``: sets of limits that give the other ratio, all of one size; ``fewer``: sets after which no symbol is
    left that the other does not hold."""

    equal: tuple[Taken, ...]
    fewer: tuple[Taken, ...]


def reached(right: Ratio, hand: Ratio, most: int) -> Found:
    """Up to ``most`` limits at once of symbols that ``hand`` does not hold; the search ends with the number of limits
    at which it is reached."""
    held = set(symbols_of(hand))
    gone = [name for name in symbols_of(right) if name not in held]
    points = _points(right, gone)
    start = (_side(right.above, points), _side(right.below, points))
    wanted = (_side(hand.above, points).sums(), _side(hand.below, points).sums())
    fronts: list[tuple[Taken, _Side, _Side]] = [((), *start)]
    fewer: list[Taken] = []
    steps = 0
    for _ in range(most):
        later: list[tuple[Taken, _Side, _Side]] = []
        equal: list[Taken] = []
        for taken, above, below in fronts:
            for going in _next(taken, gone):
                steps += 1
                if steps > MOST_STEPS:
                    return Found(_taken_so(right, hand, equal), tuple(fewer))
                place = right.ring.index[going.symbol]
                (a, order_above), (b, order_below) = above.kept(place, going.to), below.kept(place, going.to)
                if order_above != order_below or (len(a.values), len(b.values)) == (
                    len(above.values), len(below.values)
                ):  # fmt: skip
                    continue
                later.append(((*taken, going), a, b))
                sums = a.sums(), b.sums()
                if _same(sums, wanted, (0, 1)):
                    equal.append((*taken, going))
                elif (sums[0][0] * sums[1][2] - sums[0][2] * sums[1][0]) % MODULUS == 0:
                    fewer.append((*taken, going))
        confirmed = _taken_so(right, hand, equal)
        if confirmed or not later:
            return Found(confirmed, tuple(fewer))
        fronts = later
    return Found((), tuple(fewer))


def take(ratio: Ratio, taken: Taken) -> Ratio | None:
    """The ratio after limits one after the other; None where it is zero or infinite on the way."""
    for going in taken:
        found = limit(ratio, going).ratio
        if found is None or found.above.is_zero():
            return None
        ratio = found
    return ratio


def _next(taken: Taken, gone: list[str]) -> Iterator[Going]:
    last = gone.index(taken[-1].symbol) if taken else -1
    for name in gone[last + 1 :]:
        yield Going(name, "0")
        yield Going(name, "inf")


def _taken_so(right: Ratio, hand: Ratio, equal: list[Taken]) -> tuple[Taken, ...]:
    """Those that give the other ratio in whatever order the limits are taken."""
    sure = []
    for taken in equal[:MOST_EQUAL]:
        if all(take(right, order) == hand for order in permutations(taken)):
            sure.append(taken)
    return tuple(sure)


MOST_EQUAL = 12


def _same(sums: tuple[list[int], list[int]], wanted: tuple[list[int], list[int]], columns: tuple[int, ...]) -> bool:
    return all((sums[0][c] * wanted[1][c] - wanted[0][c] * sums[1][c]) % MODULUS == 0 for c in columns)


def _points(right: Ratio, gone: list[str]) -> list[list[int]]:
    """Two random points, and the first with other numbers for the symbols that are to go."""
    source = random.Random("limits")
    points = [[source.randrange(2, MODULUS) for _ in right.ring.names] for _ in range(2)]
    places = {right.ring.index[name] for name in gone}
    return [*points, [source.randrange(2, MODULUS) if i in places else v for i, v in enumerate(points[0])]]


def _side(side: Polynomial, points: list[list[int]]) -> _Side:
    found = terms(side)
    exponents = np.array([e for e, _ in found], dtype=np.int64).reshape(len(found), len(points[0]))
    values = np.empty((len(found), len(points)), dtype=np.uint64)
    for column, point in enumerate(points):
        value = np.array([c % MODULUS for _, c in found], dtype=np.uint64)
        for place, base in enumerate(point):
            orders = exponents[:, place]
            if orders.any():
                powers = np.array([pow(base, k, MODULUS) for k in range(int(orders.max()) + 1)], dtype=np.uint64)
                value = value * powers[orders] % np.uint64(MODULUS)
        values[:, column] = value
    return _Side(exponents, values)
