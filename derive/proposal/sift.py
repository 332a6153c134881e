"""The terms of an answer that count at this bias point, where all of them are too many.

Enters: an inquiry, the numbers of its symbols, the band. Leaves: a ratio of the terms that are not tiny.
Must not know: statements. What is left out here is left out of a search only: the answer itself is reduced exactly.

A term that is tiny beside another at a node of the diagram stays tiny beside it whatever completes both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import log10

import numpy as np

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents
from derive.answers.exact import diagrams
from derive.answers.records import Inquiry
from derive.approximate.cone import Cone
from derive.approximate.expand import expand_pruned
from derive.approximate.ground import Ground
from derive.approximate.records import Generator
from derive.errors import TooLarge

_ANYTHING = Generator(0, (1,), Fraction(1))
"""What tells the expansion that there is something to drop."""
PLACES = 7
"""Frequencies along the band at which terms are compared."""


@dataclass
class Sieve(Cone):
    """Stands where a cone of stated ratios stands, and drops by size alone."""

    logs: np.ndarray = field(default_factory=lambda: np.zeros((1, 1)))
    """The logarithm of each symbol's number, s first, at each place of the band: a row a place."""
    finest: float = 0.0

    def __post_init__(self) -> None:
        """Nothing of a cone is needed."""

    def maximal(self, terms: Sequence[Exponents] | np.ndarray) -> tuple[list[int], dict[int, tuple[int, np.ndarray]]]:
        """The places of the terms that are not tiny everywhere in the band."""
        sizes = self.logs @ np.array(terms, dtype=float).T
        large = (sizes >= sizes.max(axis=1, keepdims=True) + self.finest).any(axis=0)
        return [int(place) for place in np.flatnonzero(large)], {}


def sift(inquiry: Inquiry, ground: Ground, finest: float) -> Ratio | None:
    """The ratio without terms under ``finest`` of the largest; None where too many stay, or a number is zero."""
    ring = ground.ring
    numbers = [abs(ground.numbers[name]) for name in ring.names[1:]]
    if not all(numbers):
        return None
    low, high = (2 * np.pi * float(frequency) for frequency in ground.band)
    omegas = np.geomspace(low, high, PLACES)
    logs = np.array([[log10(omega), *(log10(float(n)) for n in numbers)] for omega in omegas])
    sieve = Sieve((_ANYTHING,), logs, log10(finest))
    above, below = diagrams(inquiry)
    elements = {element.name: element for element in inquiry.network.elements}
    try:
        sides = [expand_pruned(diagram, elements, ring, sieve) for diagram in (above, below)]
    except TooLarge:
        return None
    polynomials = [ring.polynomial(side) for side in sides]  # type: ignore[arg-type]
    if inquiry.factor:
        polynomials[0] = polynomials[0] * ring.generator(inquiry.factor)
    return lowest_terms(ring, *polynomials) if not polynomials[1].is_zero() else None

