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
from functools import cached_property, lru_cache

import numpy as np

from derive.algebra.ring import Exponents
from derive.approximate.dependent import Dependent
from derive.approximate.records import Generator

CLOSE = 1e-9
PAIRED = 60
"""Terms of a group up to which all pairs are compared at once."""


@dataclass
class Cone:
    """The cone spanned by generators; without any, nothing is ever dropped."""

    generators: tuple[Generator, ...]
    _matrix: np.ndarray = field(init=False, repr=False)
    _inverse: np.ndarray | None = field(init=False, repr=False, default=None)
    _projector: np.ndarray = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self._matrix = np.array([g.exponents for g in self.generators], dtype=float).T
        self._projector = np.linalg.pinv(self._matrix) if self.generators else np.zeros((0, 0))
        if self.generators and np.linalg.matrix_rank(self._matrix) == len(self.generators):
            self._inverse = self._projector

    def contradiction(self) -> tuple[int, ...]:
        """The numbers of statements whose ratios multiply to one, so that they contradict; () when none do."""
        if self._inverse is not None or not self.generators:
            return ()
        powers = self._dependent.program(np.zeros(self._matrix.shape[0]))
        if powers is None:
            return ()
        return tuple(sorted({self.generators[i].statement for i in np.flatnonzero(powers > CLOSE)}))

    @cached_property
    def _dependent(self) -> Dependent:
        return Dependent(self._matrix)

    def maximal(self, terms: Sequence[Exponents] | np.ndarray) -> tuple[list[int], dict[int, tuple[int, np.ndarray]]]:
        """The places of the terms that stay, and for each dropped one the place of a maximal term above it
        with the powers of the generators between them.
        """
        count = len(terms)
        reasons: dict[int, tuple[int, np.ndarray]] = {}
        if self.generators and count > 1:
            table = np.array(terms, dtype=float)
            coordinates = table @ self._projector.T
            rest = np.round(table - coordinates @ self._matrix.T, 6) + 0.0
            groups: dict[bytes, list[int]] = {}
            for place, row in enumerate(rest):
                groups.setdefault(row.tobytes(), []).append(place)
            for members in groups.values():
                if len(members) > 1:
                    if self._inverse is None:
                        found = self._dependent.maximal(table[members])
                    else:
                        found = _by_coordinates(coordinates[members])
                    reasons.update({members[low]: (members[high], powers) for low, (high, powers) in found.items()})
        return [place for place in range(count) if place not in reasons], reasons

    def standing(self, terms: np.ndarray, sums: np.ndarray) -> np.ndarray:
        """Whether each term stays in its sum, for many sums at once: as ``maximal``, without the reasons."""
        stays = np.ones(len(terms), dtype=bool)
        if not self.generators or len(terms) < 2:
            return stays
        coordinates = terms @ self._projector.T
        rest = np.round(terms - coordinates @ self._matrix.T, 6) + 0.0
        _, group = np.unique(np.column_stack([sums, rest]), axis=0, return_inverse=True)
        order = np.argsort(group, kind="stable")
        sizes = np.bincount(group)
        starts = np.cumsum(sizes) - sizes
        for size in np.unique(sizes[sizes > 1]):
            members = order[starts[sizes == size][:, None] + np.arange(size)]
            if self._inverse is None:
                for places in members:
                    stays[places[list(self._dependent.maximal(terms[places]))]] = False
            elif size > PAIRED:
                for places in members:
                    stays[places] = _standing(coordinates[places])
            else:
                rows = coordinates[members]
                stays[members] = ~_exceeds(rows, rows).any(axis=1)
        return stays


def _exceeds(ones: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Whether the first exceed the second by powers that are not negative and add up to one; rows before columns."""
    powers = ones[..., :, None, :] - others[..., None, :, :]
    return np.asarray((powers.min(axis=-1) > -CLOSE) & (powers.sum(axis=-1) > 1 - CLOSE))


def _standing(rows: np.ndarray) -> np.ndarray:
    """As ``_by_coordinates``, but only which terms stay: a block at a time, largest sums first."""
    stays = np.zeros(len(rows), dtype=bool)
    order = np.argsort(-rows.sum(axis=1), kind="stable")
    for start in range(0, len(order), PAIRED):
        block = order[start : start + PAIRED]
        left = block[~_exceeds(rows[stays], rows[block]).any(axis=0)]
        stays[left[~_exceeds(rows[left], rows[left]).any(axis=0)]] = True
    return stays


def _by_coordinates(rows: np.ndarray) -> dict[int, tuple[int, np.ndarray]]:
    """What is dominated among terms given by powers of independent generators.

    What dominates has powers that add up to more, so it comes first when the largest sums do; and what a dropped term
    dominates, that term's own reason dominates too, so each is compared with the terms that stay alone.
    """
    reasons: dict[int, tuple[int, np.ndarray]] = {}
    staying = np.empty_like(rows)
    places: list[int] = []
    for index in map(int, np.argsort(-rows.sum(axis=1), kind="stable")):
        powers = staying[: len(places)] - rows[index]
        good = np.flatnonzero((powers.min(axis=1, initial=np.inf) > -CLOSE) & (powers.sum(axis=1) > 1 - CLOSE))
        if good.size:
            reasons[index] = (places[good[0]], powers[good[0]].copy())
        else:
            staying[len(places)] = rows[index]
            places.append(index)
    return reasons


def by_statement(generators: Sequence[Generator], powers: np.ndarray) -> tuple[tuple[int, Fraction], ...]:
    """The powers of generators, added up for each statement."""
    sums: dict[int, Fraction] = {}
    for place in map(int, np.flatnonzero(np.abs(powers) >= CLOSE)):
        statement = generators[place].statement
        sums[statement] = sums.get(statement, Fraction(0)) + _rational(float(powers[place]))
    return tuple(sorted(sums.items()))


def as_fractions(powers: np.ndarray) -> tuple[Fraction, ...]:
    """Powers found in floating point as the small rationals that they are."""
    return tuple(_rational(float(power)) for power in powers)


@lru_cache(maxsize=1000)
def _rational(power: float) -> Fraction:
    whole = round(power)
    return Fraction(whole) if abs(power - whole) < CLOSE else Fraction(power).limit_denominator(64)
