"""The bias point: what was found, how well it is known, and how a person would have estimated it.

Enters: nothing. Leaves: the records that the network, the page and the archive read.
Must not know: solvers, LaTeX.

Volts, amperes, watts, siemens. Currents of pins flow into the device; the current of a two-terminal part flows
from its first node to its second (of a diode from anode to cathode), that of a supply out of its first node
into the circuit. Voltages of devices carry their true sign, negative for most p-types.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from derive.circuit.records import Path
from derive.expression.tree import Expr
from derive.words import Line, Words

Region = Literal["active", "saturated", "reversed", "ohmic", "off", "conducting", "blocking"]
"""Bipolar: active, saturated, reversed, off. FET: active (pinched off), ohmic, off. Diode: conducting, blocking."""
Origin = Literal["stated", "converted", "assumed"]


@dataclass(frozen=True)
class Parameter:
    """A parameter of a device's law with its number in SI base units: ``Is_Q2``, ``betaF_Q2``, ``Idss_Q1``.

    ``origin``: stated by the author; converted from an entry of a data sheet by ``formula``; or assumed, because
    the description is silent (``meaning`` then says on what ground).
    """

    name: str
    owner: str
    meaning: str
    unit: str
    value: Fraction
    origin: Origin
    formula: Expr | None = None


@dataclass(frozen=True)
class DevicePoint:
    """One device at the bias point.

    ``voltages``: Vbe, Vce, Vbc; Vgs, Vds; or V. ``currents``: into each pin. ``slopes``: the derivatives of its
    law in siemens. Bipolar: gm (collector current by Vbe at constant Vce, of the transport current), gpi (base
    current by Vbe), go (transport current by Vce), gmu (base current by Vbc). FET: gm, gds. Diode: gd.
    """

    part: str
    kind: str
    region: Region
    voltages: Mapping[str, float]
    currents: Mapping[str, float]
    slopes: Mapping[str, float]
    power: float


@dataclass(frozen=True)
class Point:
    """One operating point of the whole circuit.

    ``nodes``: None for a node that nothing holds at d.c. (behind a capacitor). ``currents``: one number a part:
    through it, or collector and drain current (into the pin), or what an op amp's output delivers. ``powers``:
    what a part takes up. ``residual``: the worst sum of currents at any node, in amperes, evaluated to thirty
    digits; ``scale``: the total current out of the supplies that it is measured against.
    ``stable``: False where a small disturbance grows whatever the capacitances; None where that is not known.
    """

    nodes: Mapping[str, float | None]
    currents: Mapping[str, float]
    devices: Mapping[str, DevicePoint]
    powers: Mapping[str, float]
    residual: float
    scale: float
    stable: bool | None


@dataclass(frozen=True)
class Contradiction:
    """A stated current (``key``: ic, id) against the one that the circuit's laws give; both positive, in amperes."""

    part: str
    key: str
    stated: float
    found: float


@dataclass(frozen=True)
class Moved:
    """How far one current moves. ``by``: its relative change for each cause at the full tolerance, first order,
    largest first, by the name of the cause (``R1``, ``Vcc``, ``beta of Q1``, ``Idss and Vp of Q2``).
    ``lowest``, ``highest``: the extremes among all circuits that were solved anew."""

    part: str
    current: float
    by: tuple[tuple[str, float], ...]
    lowest: float
    highest: float


@dataclass(frozen=True)
class MovedNode:
    """How far the voltage of a node moves, in volts."""

    node: str
    volts: float
    lowest: float
    highest: float


@dataclass(frozen=True)
class Spread:
    """``samples``: how many circuits were solved anew; ``unsolved``: how many of them found no point.
    ``together``: the FETs whose Idss and Vp were moved together. ``nodes``: those that questions name. ``changed``:
    devices that leave their region, where they come, and in how many circuits. ``all_corners``: whether every corner
    of the tolerances was solved."""

    moved: tuple[Moved, ...]
    samples: int
    unsolved: int
    together: tuple[str, ...]
    nodes: tuple[MovedNode, ...] = ()
    changed: tuple[tuple[str, Region, int], ...] = ()
    all_corners: bool = False


@dataclass(frozen=True)
class Warmed:
    """One device over the range of temperature: ``current`` and junction voltage at each temperature (K).
    ``drift``: dVbe/dT in V/K at constant current, for bipolars and diodes, else None."""

    part: str
    temperatures: tuple[float, ...]
    currents: tuple[float, ...]
    voltages: tuple[float, ...]
    drift: float | None


@dataclass(frozen=True)
class EstimateStep:
    """One step of the estimate by hand: rule in words, algebra, number; ``note``: "common practice" and the like."""

    rule: Words
    lines: tuple[Line, ...]
    number: Words
    note: Words = ()


@dataclass(frozen=True)
class Estimate:
    """``nodes`` in volts and ``currents`` in amperes (collector and drain currents into the pin, else as in Point),
    as far as the estimate reached; ``why``: what stopped it, or ""."""

    steps: tuple[EstimateStep, ...]
    nodes: Mapping[str, float]
    currents: Mapping[str, float]
    why: str = ""


@dataclass(frozen=True)
class Bias:
    """The bias point of a circuit.

    ``points``: all operating points that were found; ``chosen``: the place of the one that the sheet uses.
    ``road``: in words, how it was found. ``starts``: how many further starts were made, ``met``: how many of them
    ended in a point that is listed, ``apart``: the largest difference of a node between starts that met, in volts.
    ``lacking``: whether the signs of the points show that there are more, which no start found.
    """

    parameters: tuple[Parameter, ...]
    points: tuple[Point, ...]
    chosen: int
    road: str
    starts: int
    met: int
    apart: float
    lacking: bool = False
    contradictions: tuple[Contradiction, ...] = ()
    estimate: Estimate | None = None
    spread: Spread | None = None
    warmed: tuple[Warmed, ...] = ()

    @property
    def point(self) -> Point:
        return self.points[self.chosen]


@dataclass(frozen=True)
class Unsolved:
    """Why there is no bias point: what is wrong, what would be right, and where in the description.

    ``needed``: whether a device depends on it, so that no worksheet can be made.
    """

    what: str
    remedy: str
    path: Path
    needed: bool
