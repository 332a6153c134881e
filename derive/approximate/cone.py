"""When one term may be dropped beside another: the cone of the stated ratios.

Enters: generators and the exponents of terms. Leaves: the maximal terms, and for each other term its reason.
Must not know: coefficients, numbers of the symbols, the circuit.

A term t may be dropped beside u when u/t is a product of stated ratios with powers that are not negative and
add up to at least one. Only exponents are compared, so the result does not depend on any order. With linearly
independent generators the powers are unique and a projection finds them; otherwise a linear program does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, cached_property

import numpy as np

from derive.algebra.ring import Exponents
from derive.approximate.records import Generator

CLOSE = 1e-9


@dataclass
class Cone:
    """The cone spanned by generators; without any, nothing is ever dropped."""

    generators: tuple[Generator, ...]
    _matrix: np.ndarray = field(init=False, repr=False)
    _inverse: np.ndarray | None = field(init=False, repr=False, default=None)
    _projector: np.ndarray = field(init=False, repr=False)
    _known: dict[tuple[int, ...], np.ndarray | None] = field(init=False, repr=False, default_factory=dict)

    def __post_init__(self) -> None:
        self._matrix = np.array([g.exponents for g in self.generators], dtype=float).T
        self._projector = np.linalg.pinv(self._matrix) if self.generators else np.zeros((0, 0))
        if self.generators and np.linalg.matrix_rank(self._matrix) == len(self.generators):
            self._inverse = self._projector

    def contradiction(self) -> tuple[int, ...]:
        """The numbers of statements whose ratios multiply to one, so that they contradict; () when none do."""
        if self._inverse is not None or not self.generators:
            return ()
        powers = self._program(np.zeros(self._matrix.shape[0]))
        if powers is None:
            return ()
        return tuple(sorted({self.generators[i].statement for i in np.flatnonzero(powers > CLOSE)}))

    @cached_property
    def _height(self) -> np.ndarray:
        """A direction in which every generator rises by at least one, so that a domination must rise too."""
        from scipy.optimize import linprog

        width = self._matrix.shape[0]
        result = linprog(
            np.zeros(width),
            A_ub=-self._matrix.T,
            b_ub=-np.ones(len(self.generators)),
            bounds=(None, None),
            method="highs",
        )
        return result.x if result.status == 0 else np.zeros(width)

    def maximal(self, terms: Sequence[Exponents] | np.ndarray) -> tuple[list[int], dict[int, tuple[int, np.ndarray]]]:
        """The places of the terms that stay, and for each dropped one the place of a maximal term above it
        with the powers of the generators between them.
        """
        count = len(terms)
        if not self.generators or count < 2:
            return list(range(count)), {}
        table = np.array(terms, dtype=float)
        over = self._dominations(table)
        dropped = {place for place in range(count) if over[place]}
        reasons: dict[int, tuple[int, np.ndarray]] = {}
        for place in dropped:
            above, powers = next(item for item in over[place] if item[0] not in dropped)
            reasons[place] = (above, powers)
        return [place for place in range(count) if place not in dropped], reasons

    def _dominations(self, table: np.ndarray) -> list[list[tuple[int, np.ndarray]]]:
        """For each term the terms that dominate it, with powers."""
        found: list[list[tuple[int, np.ndarray]]] = [[] for _ in range(len(table))]
        coordinates = table @ self._projector.T
        rest = np.round(table - coordinates @ self._matrix.T, 6) + 0.0
        groups: dict[bytes, list[int]] = {}
        for place, row in enumerate(rest):
            groups.setdefault(row.tobytes(), []).append(place)
        for members in groups.values():
            if len(members) == 1:
                continue
            rows = coordinates[members]
            for place, row in zip(members, rows, strict=True):
                if self._inverse is None:
                    found[place] = self._by_program(table, place, members)
                    continue
                powers = rows - row
                good = np.all(powers > -CLOSE, axis=1) & (powers.sum(axis=1) > 1 - CLOSE)
                found[place] = [(members[i], powers[i]) for i in np.flatnonzero(good)]
        return found

    def _by_program(self, table: np.ndarray, low: int, members: list[int]) -> list[tuple[int, np.ndarray]]:
        """As above for dependent generators; a linear program is asked only where a height does not rule it out."""
        heights = (table[members] - table[low]) @ self._height
        found = []
        for high, height in zip(members, heights, strict=True):
            if height > 1 - CLOSE and (powers := self._powers(table[high] - table[low])) is not None:
                found.append((high, powers))
        return found

    def _powers(self, difference: np.ndarray) -> np.ndarray | None:
        key = tuple(int(x) for x in difference)
        if key not in self._known:
            self._known[key] = self._program(difference)
        return self._known[key]

    def _program(self, difference: np.ndarray) -> np.ndarray | None:
        """Powers that are not negative, give the difference and add up to at least one; None if there are none."""
        from scipy.optimize import linprog  # scipy takes a third of a second and is seldom needed

        count = len(self.generators)
        result = linprog(
            np.ones(count),
            A_ub=-np.ones((1, count)),
            b_ub=[-1.0],
            A_eq=self._matrix,
            b_eq=difference,
            bounds=(0, None),
            method="highs",
        )
        return result.x if result.status == 0 else None


def as_fractions(powers: np.ndarray) -> tuple[Fraction, ...]:
    """Powers found in floating point as the small rationals that they are."""
    return tuple(_fraction(round(float(p), 9)) for p in powers)


@cache
def _fraction(power: float) -> Fraction:
    return Fraction(power).limit_denominator(64)
