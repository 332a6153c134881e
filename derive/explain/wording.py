"""Words that the sentences of an explanation share.

Enters: numbers, pieces of words. Leaves: words. Must not know: circuits.
"""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from math import degrees

from derive.words import Inline, Reading, Words

PLAIN_PHASE = 5.0
"""Degrees within which a factor counts as real: its sign is then told and not its phase."""


def factor(value: complex, unit: str = "1") -> Reading:
    """A factor as a signed number where it is nearly real, else as magnitude and phase."""
    phase = abs(degrees(cmath.phase(value))) if value else 0.0
    if phase <= PLAIN_PHASE:
        return Reading(abs(value), unit, 3)
    if phase >= 180 - PLAIN_PHASE:
        return Reading(-abs(value), unit, 3)
    return Reading(value, unit, 3, "magnitude")


def listed(pieces: Sequence[Words], between: str, last: str | None = None) -> Words:
    """Pieces one after the other.

    >>> listed([("a",), ("b",), ("c",)], ", ", " and ")
    ('a', ', ', 'b', ' and ', 'c')
    """
    made: list[Inline] = []
    for place, piece in enumerate(pieces):
        if place:
            made.append(last if last is not None and place == len(pieces) - 1 else between)
        made += piece
    return tuple(made)
