"""What the author wants of the circuit beyond its answers: criteria, parts to be solved for, measurements to hold
against it, how chance is to be drawn.

Enters: nothing. Leaves: records, checked and with their units. Must not know: TOML, networks.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Distribution = Literal["uniform", "normal"]
Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Criterion:
    """What an answer must reach: ``quantity`` is a name of derive.answers.measures, ``unit`` that of the limits."""

    name: str
    of: str
    quantity: str
    unit: str
    frequency: Fraction
    at_least: Fraction | None
    at_most: Fraction | None
    path: Path

    def holds(self, value: float) -> bool:
        """Whether a value meets it."""
        return (self.at_least is None or value >= self.at_least) and (self.at_most is None or value <= self.at_most)


@dataclass(frozen=True)
class Target:
    """A part to be solved for: ``part`` such that the quantity of the answer ``of`` equals ``equals``.

    A magnitude that is written with a minus sign asks for an answer whose real part is negative. ``series``: of IEC
    60063, from which the nearest value is taken.
    """

    part: str
    of: str
    quantity: str
    unit: str
    frequency: Fraction
    equals: Fraction
    series: str
    path: Path


@dataclass(frozen=True)
class Meter:
    """What a meter puts across the nodes that it measures; ohms and farads, None where it is not stated."""

    plus: str
    minus: str
    resistance: Fraction | None
    capacitance: Fraction | None


@dataclass(frozen=True)
class Taken:
    """One measured number with its expanded uncertainty, both in ``unit``."""

    quantity: str
    unit: str
    frequency: Fraction
    value: Fraction
    uncertainty: Fraction


@dataclass(frozen=True)
class Bench:
    """Measurements of one answer. ``k``: the coverage factor of their uncertainties. ``file``: the sweep they are
    from."""

    of: str
    taken: tuple[Taken, ...]
    k: Fraction
    meter: Meter | None
    path: Path
    name: str | None = None
    because: str | None = None
    file: str | None = None


@dataclass(frozen=True)
class Chance:
    """How circuits are drawn by chance: how many, from which seed, and how a value lies within its tolerance."""

    samples: int = 100_000
    seed: int = 1
    distribution: Distribution = "uniform"


@dataclass(frozen=True)
class Wanted:
    criteria: tuple[Criterion, ...] = ()
    targets: tuple[Target, ...] = ()
    benches: tuple[Bench, ...] = ()
    chance: Chance = Chance()
    variants: tuple[str, ...] = ()
    """Names of the variants that the description holds besides; they are circuits of their own."""
