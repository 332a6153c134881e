"""What all reductions of one sheet share.

Enters: numbers, ring, band. Leaves: one record. Must not know: statements, answers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from derive.algebra.ring import Ring
from derive.answers.records import Exact
from derive.approximate.error import HOLDS_WITHIN, Error, measure
from derive.approximate.records import Reduced


@dataclass(frozen=True)
class Ground:
    """What all reductions of one sheet share: numbers, ring, band and spot (Hz)."""

    numbers: Mapping[str, Fraction]
    ring: Ring
    band: tuple[Fraction, Fraction]
    spot: Fraction

    def error(
        self, reduced: Reduced, exact: Exact, *, search: bool = False, within: float = HOLDS_WITHIN
    ) -> Error:
        return measure(reduced.spectrum, exact.spectrum, self.band, self.spot, search=search, within=within)
