"""What tolerances do to the answers: sensitivities, worst cases, chance.

Enters: nothing. Leaves: records. Must not know: LaTeX, how they were found.

Numbers are in the unit of the reading (derive.answers.measures).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from derive.circuit.wanted import Chance, Criterion

STILL = 1e-9
"""A reading whose standard deviation is a smaller part of it does not move."""


@dataclass(frozen=True)
class Reading:
    """One number read off an answer: ``quantity`` of derive.answers.measures at ``frequency``.

    ``criterion``: what it must reach, or None. ``nominal``: its value as described.
    """

    of: str
    quantity: str
    unit: str
    frequency: Fraction
    nominal: float
    criterion: Criterion | None = None


@dataclass(frozen=True)
class Met:
    """A criterion beside the value as described, which is infinite or no number where there is none."""

    criterion: Criterion
    value: float

    @property
    def holds(self) -> bool:
        return self.criterion.holds(self.value)


@dataclass(frozen=True)
class Influence:
    """What one cause does to a reading.

    ``fixed``: its exact relative sensitivity at fixed bias, for quantities that are no angle or decibels: the
    change in per cent for one per cent of the cause; of an angle or decibels the change of the quantity for a relative
    change of one. None where the cause acts through the bias point alone. ``follows``: the same with the bias
    following. ``contribution``: the change of the quantity to first order at the full tolerance, bias following.
    """

    cause: str
    tolerance: float
    fixed: float | None
    follows: float
    contribution: float


@dataclass(frozen=True)
class Extreme:
    """An extreme of a reading: ``value`` where everything was solved anew (None where no operating point was found),
    ``linear`` with the bias linearised, ``at``: where each cause stands, from -1 to 1."""

    value: float | None
    linear: float
    at: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Worst:
    """``road``: corners that the directions point to, where every cause moves the reading in one direction only at
    all ``looked`` places; else by search. ``turning``: the causes that turn."""

    lowest: Extreme
    highest: Extreme
    road: Literal["corners", "search"]
    looked: int
    turning: tuple[str, ...]


@dataclass(frozen=True)
class Drawn:
    """A reading over circuits drawn by chance. ``low``, ``high``: between them lie 95 % of the circuits.

    ``edges`` and ``counts``: a histogram. ``yielded``: the part of the circuits that meets the criterion.
    ``odd``: circuits without a finite value.
    """

    mean: float
    deviation: float
    low: float
    high: float
    edges: tuple[float, ...]
    counts: tuple[int, ...]
    yielded: float | None
    odd: int


@dataclass(frozen=True)
class Recheck:
    """The first circuits of the sample solved anew in full, beside the same circuits with the bias linearised.

    ``solved``: how many found an operating point, of ``tried``. ``worst``: the largest difference of a reading, as a
    part of the full spread of the sample. Means and standard deviations of both.
    """

    tried: int
    solved: int
    worst: float
    mean: float
    deviation: float
    linear_mean: float
    linear_deviation: float


@dataclass(frozen=True)
class Spread:
    """Everything about one reading. ``rss``: the root of the sum of the squared contributions."""

    reading: Reading
    influences: tuple[Influence, ...]
    rss: float
    worst: Worst
    drawn: Drawn
    recheck: Recheck | None

    @property
    def moves(self) -> bool:
        """Whether the tolerances move the reading at all, beyond rounding."""
        return self.drawn.deviation > STILL * max(abs(self.reading.nominal), STILL)


@dataclass(frozen=True)
class Tolerances:
    """``causes``: names, in the order of the parts. ``linearised``: whether slopes of devices are among what moves, so
    that they, and the bias point, were linearised. ``together``: FETs whose Idss and Vp move as one. ``yielded``: the
    part of the circuits that meets all criteria, None without criteria. ``why``: what kept the tolerances from being
    carried through, or ""."""

    causes: tuple[str, ...]
    spreads: tuple[Spread, ...]
    chance: Chance
    linearised: bool
    together: tuple[str, ...]
    yielded: float | None
    why: str = ""
