"""A sum without some of its terms: those that stated ratios dominate, then those that are small in the whole band.

Enters: a polynomial, numbers, the cone of stated ratios. Leaves: shorter polynomials. Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.approximate.cone import Cone, as_fractions
from derive.structure.shares import Values

CANCELS = 3
"""A sum is kept whole where the magnitudes of its terms exceed the sum itself by this factor."""


@dataclass(frozen=True)
class Shorter:
    """A sum without some of its terms: how many went, by which statements (numbers), and by their size alone."""

    polynomial: Polynomial
    by_statement: tuple[tuple[int, int], ...] = ()
    by_size: int = 0


@dataclass(frozen=True)
class Weighed:
    """A sum's terms that no stated ratio drops, lightest first.

    ``weights``: magnitude over that of the whole sum, by term and frequency. ``order``: the places in ``kept`` by
    rising weight.
    """

    ring: Ring
    kept: tuple[tuple[Exponents, int], ...]
    weights: np.ndarray
    order: tuple[int, ...]
    by_statement: tuple[tuple[int, int], ...]

    def without(self, tolerance: float) -> Shorter:
        """The sum without its lightest terms, which add up to at most ``tolerance`` of it anywhere in the band."""
        spent = np.zeros(self.weights.shape[1])
        gone: set[int] = set()
        for place in self.order[:-1]:
            spent = spent + self.weights[place]
            if not np.all(spent <= tolerance):
                break
            gone.add(place)
        left = {e: c for place, (e, c) in enumerate(self.kept) if place not in gone}
        return Shorter(self.ring.polynomial(left), self.by_statement, len(gone))


def weigh(ring: Ring, polynomial: Polynomial, numbers: Mapping[str, Fraction], s: Values, cone: Cone) -> Weighed:
    """Weighs the terms of a sum where it is sampled, at the points ``s`` (rad/s)."""
    found = dict(terms(polynomial))
    names = list(found)
    values_of = [float(numbers[name]) for name in ring.names[1:]]
    logs = np.array([0.0, *(np.log(abs(v)) if v else -np.inf for v in values_of)])
    negative = np.array([False, *(v < 0 for v in values_of)])
    table = np.array(names, dtype=float)
    with np.errstate(invalid="ignore"):
        sizes = np.where(table > 0, table * logs, 0.0).sum(axis=1)
    signs = np.where((table * negative).sum(axis=1) % 2 == 1, -1.0, 1.0)
    scale = np.exp(sizes - np.max(sizes)) * signs * np.array([found[e] for e in names], dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        values = scale[:, None] * np.power(s[None, :], table[:, :1])
        weights = np.abs(values) / np.abs(values.sum(axis=0))
    statements: dict[int, int] = {}
    gone: set[Exponents] = set()
    if cone.generators and len(found) > 1 and np.all(weights.sum(axis=0) <= CANCELS):
        for by in _dominated(names, cone):
            for exponents, numbers_ in by.items():
                gone.add(exponents)
                for number in numbers_:
                    statements[number] = statements.get(number, 0) + 1
    kept = tuple((e, found[e]) for e in names if e not in gone)
    weights = weights[[e not in gone for e in names]]
    heaviest = np.max(weights, axis=1)
    order = tuple(sorted(range(len(kept)), key=lambda i: (float(heaviest[i]), kept[i][0])))
    return Weighed(ring, kept, weights, order, tuple(sorted(statements.items())))


def _dominated(names: list[Exponents], cone: Cone) -> list[dict[Exponents, list[int]]]:
    """For each power of s, the terms that a stated ratio drops, with the statements."""
    made = []
    for power in sorted({e[0] for e in names}):
        group = [e for e in names if e[0] == power]
        _, reasons = cone.maximal(group)
        made.append(
            {
                group[place]: sorted(
                    {g.statement for g, p in zip(cone.generators, as_fractions(powers), strict=True) if p}
                )
                for place, (_, powers) in reasons.items()
            }
        )
    return made
