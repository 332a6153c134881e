"""Which loops nest: how the return ratio of one source changes when another is held dead, from one inverse.

Enters: a network, numbers, a frequency. Leaves: return ratios. Must not know: words, LaTeX.

With p_a the membership of source a in the determinant and c_ab its coupling with b (``derive.structure.shares``), the
determinant with a dead is D(1 - p_a), with both dead D((1 - p_a)(1 - p_b) + c_ab). So T_a = p_a/(1 - p_a), and with b
dead T_a = (1 - p_b)/((1 - p_a)(1 - p_b) + c_ab) - 1.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import inf, log

import numpy as np

from derive.answers.exact import connected
from derive.answers.inquire import zeroed
from derive.answers.records import Inquiry
from derive.network.records import Network
from derive.structure.shares import admittances, both_sides, shares

NESTS = 0.1
"""Loops nest where holding one source dead changes the other's T by more than this part of it."""
SMALL = 1e-9
"""A determinant that loses all but this part of itself is taken as zero: the return ratio is then not told."""


@dataclass(frozen=True)
class Nested:
    """``of``'s return ratio with all sources alive, and with ``dead`` held dead (None: without a finite value)."""

    of: str
    dead: str
    alive: complex
    held: complex | None

    @property
    def change(self) -> float:
        """How much of T changes, as a part of it; infinite where it has no finite value or begins at zero."""
        if self.held is None or not self.alive:
            return inf if self.held != self.alive else 0.0
        return abs(self.held - self.alive) / abs(self.alive)

    @property
    def weight(self) -> float:
        """By what factor the size of T changes, as the size of its logarithm; infinite where T vanishes or is lost."""
        if not self.held or not self.alive:
            return inf
        return abs(log(abs(self.held) / abs(self.alive)))


def nested(network: Network, numbers: Mapping[str, Fraction], frequency: Fraction) -> tuple[Nested, ...]:
    """Every pair of sources whose loops nest at a frequency in Hz; () where the determinant vanishes there."""
    nowhere = (network.ground, network.ground)
    still = connected(Inquiry("", zeroed(network, network.drives), "current", nowhere, nowhere))
    _, side = both_sides(Inquiry("", still, "current", nowhere, nowhere))
    found = shares(side, admittances(side.elements, numbers, (float(frequency),)))
    if found is None:
        return ()
    sources = [place for place, element in enumerate(side.elements) if element.controlled]
    pairs = []
    for a in sources:
        for b in sources:
            one = _pair(found.membership[0], found.coupling[0], a, b) if a != b else None
            if one is not None:
                pairs.append(Nested(side.elements[a].name, side.elements[b].name, *one))
    return tuple(pair for pair in pairs if pair.change > NESTS)


def _pair(membership: np.ndarray, coupling: np.ndarray, a: int, b: int) -> tuple[complex, complex | None] | None:
    """T of a with b alive and with b dead; None where T of a itself has no finite value."""
    one, other = 1 - complex(membership[a]), 1 - complex(membership[b])
    if abs(one) < SMALL:
        return None
    both = one * other + complex(coupling[a, b])
    held = None if abs(both) < SMALL * abs(other) else other / both - 1
    return complex(membership[a]) / one, held
