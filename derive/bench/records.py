"""What measurements say of the answers.

Enters: nothing. Leaves: records. Must not know: LaTeX, how they were found. Numbers in the unit of what was measured.
"""

from __future__ import annotations

from dataclasses import dataclass

from derive.circuit.wanted import Bench, Taken


@dataclass(frozen=True)
class Compared:
    """One measurement beside its prediction. ``bare``: the prediction without the meter. ``by_meter``, ``by_parts``:
    standard uncertainties of the measurement and of the prediction; ``combined``: the root of their squares' sum.
    ``difference``: measured less predicted; ``score``: it in units of the combined uncertainty."""

    taken: Taken
    predicted: float
    bare: float
    by_meter: float
    by_parts: float
    combined: float
    difference: float
    score: float


@dataclass(frozen=True)
class Curve:
    """The prediction of one quantity over frequency, meter in place, where several frequencies were measured."""

    quantity: str
    unit: str
    frequencies: tuple[float, ...]
    values: tuple[float, ...]


@dataclass(frozen=True)
class Joint:
    """All readings of one bench at once. ``squares``: chi squared. ``telling``: the cause along whose effect the
    differences lie farthest off, by ``score`` standard uncertainties; "" for a single reading or without tolerances.
    ``chance``: the probability that chance alone gives so large a chi squared; ``along``: that it gives so large a
    score along one effect that was not chosen afterwards, 1 without one. ``looks``: the ways of looking at them, at
    most one a reading."""

    squares: float
    telling: str
    score: float
    chance: float
    along: float
    looks: int

    @property
    def corrected(self) -> float:
        """The smaller chance times the looks (C. E. Bonferroni's inequality): the verdict's, no probability."""
        return min(self.chance, self.along) * self.looks


@dataclass(frozen=True)
class Held:
    """The measurements of one [[bench]]. ``outside``: how many differ by more than two combined standard
    uncertainties. ``agrees``: whether ``joint.corrected`` is no less than derive.bench.compare.LIKELY."""

    bench: Bench
    rows: tuple[Compared, ...]
    curves: tuple[Curve, ...]
    outside: int
    joint: Joint
    agrees: bool


@dataclass(frozen=True)
class Explanation:
    """One stated value, changed alone. ``rest``: the root of the mean square of all differences that is left, in units
    of the measurement's standard uncertainty. ``explains``: whether none of them is above two then.
    ``at_edge``: whether it lies at the end of what was looked through. ``tolerance``: the stated one, or None."""

    part: str
    key: str
    unit: str
    value: float
    changed: float
    rest: float
    explains: bool
    at_edge: bool
    tolerance: float | None

    @property
    def factor(self) -> float:
        return self.changed / self.value


@dataclass(frozen=True)
class Benches:
    """``explanations``: best first, () where everything agrees; ``before``: as ``rest`` with nothing changed.
    ``tried``: how many values were changed, one at a time."""

    held: tuple[Held, ...]
    explanations: tuple[Explanation, ...]
    before: float
    tried: int

    @property
    def agrees(self) -> bool:
        return all(one.agrees for one in self.held)
