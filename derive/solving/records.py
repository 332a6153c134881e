"""What was found for a part that is solved for.

Enters: nothing. Leaves: records. Must not know: LaTeX, how it was found. Values of parts in SI base units, readings in
the unit of the target.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from derive.circuit.wanted import Target
from derive.expression.tree import Expr

Lacking = Literal["", "frequency", "long", "negative", "quantity", "absent", "branch"]


@dataclass(frozen=True)
class Inverse:
    """The part as a formula of the wanted answer, at fixed bias. ``exact``: from the exact answer; else from the
    answer under its statements. ``value``: what the formula gives; ``error``: its relative difference from the
    value at fixed bias that the exact answer asks for (None where there is none)."""

    tree: Expr
    exact: bool
    value: float
    error: float | None


@dataclass(frozen=True)
class Given:
    """What a value of the part gives, the bias following; None where no operating point is found.

    ``role``: described, fixed (solved at fixed bias), solved, nearest or neighbour (in the series).
    """

    role: Literal["described", "fixed", "solved", "nearest", "neighbour"]
    value: Fraction
    reading: float | None


@dataclass(frozen=True)
class MovedSymbol:
    """A symbol of a device that moves with the bias: before, and with the part as solved."""

    name: str
    unit: str
    before: float
    after: float


@dataclass(frozen=True)
class Solved:
    """``unit``: of the part. ``fixed``: all values at fixed bias that give what is wanted, nearest to the present one
    first; ``solved`` the same with the bias following. ``follows``: whether the bias point depends on the part.
    ``looked``: the range of values that was looked through with the bias following, and ``reached`` the lowest and
    highest reading found there. ``left``: for each solution the devices that are in another region then, with its name.
    """

    target: Target
    unit: str
    fixed: tuple[float, ...]
    solved: tuple[float, ...]
    given: tuple[Given, ...]
    follows: bool
    looked: tuple[float, float]
    reached: tuple[float, float] | None
    inverse: Inverse | None
    lacking: Lacking = ""
    """Why there is no formula."""
    moved: tuple[MovedSymbol, ...] = ()
    left: tuple[tuple[tuple[str, str], ...], ...] = ()

    @property
    def value(self) -> float | None:
        """The value that is wanted, the bias following; None where there is none."""
        return self.solved[0] if self.solved else None
