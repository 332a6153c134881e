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
        coordinates = table @ self._projector.T
        rest = np.round(table - coordinates @ self._matrix.T, 6) + 0.0
        groups: dict[bytes, list[int]] = {}
        for place, row in enumerate(rest):
            groups.setdefault(row.tobytes(), []).append(place)
        reasons: dict[int, tuple[int, np.ndarray]] = {}
        for members in groups.values():
            if len(members) > 1:
                found = self._by_projection if self._inverse is not None else self._by_program
                reasons.update(found(table, coordinates, np.array(members)))
        return [place for place in range(count) if place not in reasons], reasons

    def _by_projection(
        self, _: np.ndarray, coordinates: np.ndarray, members: np.ndarray
    ) -> dict[int, tuple[int, np.ndarray]]:
        """For independent generators: terms in falling order of their powers' sum; one that none of the maximal terms
        before it dominates is maximal, since whatever dominates it stands before it or under one that does.
        """
        rows = coordinates[members]
        above = np.full(len(members), -1)
        for place in np.argsort(-rows.sum(axis=1), kind="stable"):
            if above[place] >= 0:
                continue
            powers = rows[place] - rows
            under = np.all(powers > -CLOSE, axis=1) & (powers.sum(axis=1) > 1 - CLOSE)
            above[under & ((above < 0) | (above > place))] = place
        return {
            int(members[low]): (int(members[above[low]]), rows[above[low]] - rows[low])
            for low in np.flatnonzero(above >= 0)
        }

    def _by_program(
        self, table: np.ndarray, _: np.ndarray, members: np.ndarray
    ) -> dict[int, tuple[int, np.ndarray]]:
        """As above for dependent generators, by linear programs."""
        over = {int(low): self._over(table, int(low), members) for low in members}
        dropped = {low for low, found in over.items() if found}
        return {low: next(item for item in over[low] if item[0] not in dropped) for low in dropped}

    def _over(self, table: np.ndarray, low: int, members: np.ndarray) -> list[tuple[int, np.ndarray]]:
        """The terms that dominate one; a linear program is asked only where a height does not rule it out."""
        heights = (table[members] - table[low]) @ self._height
        found = []
        for high, height in zip(members, heights, strict=True):
            if height > 1 - CLOSE and (powers := self._powers(table[high] - table[low])) is not None:
                found.append((int(high), powers))
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
