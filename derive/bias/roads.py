"""The roads to an operating point, tried in order until one arrives.

Enters: a system and where to start. Leaves: an Arrival, or None. Must not know: circuits, words of messages.

First Newton's method as it is; then bridging conductances from every node, withdrawn step by step; then the sources
raised gradually; then Powell's hybrid method (scipy.optimize.root); at last small steps of an imagined time, in
which every node has a capacitance, which goes wherever the circuit itself would go.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from derive.bias.devices import Vector
from derive.bias.equations import Array, System
from derive.bias.newton import MOST, State, iterate

STEPS = 1500
"""Newton steps after which a road is given up."""
SMALLEST_RAISE = 1e-4
SMALLEST_BRIDGE = 1e-14


@dataclass(frozen=True)
class Arrival:
    """Unknowns that solve the equations, the controls there, and the road in words."""

    x: Array
    controls: tuple[Vector, ...]
    road: str


@dataclass(frozen=True)
class Start:
    """Where to start: unknowns, and what the devices are first taken at."""

    x: Array
    controls: tuple[Vector, ...]


class Trip:
    """Newton's method on one road, with the steps that all its stretches may take together."""

    def __init__(self, system: System, steps: int) -> None:
        self.system, self.left = system, steps

    def iterate(self, x: Array, controls: Sequence[Vector], **ways: Any) -> State:
        state = iterate(self.system, x, controls, **{"most": min(MOST, max(self.left, 1)), **ways})
        self.left -= state.steps
        return state

    @property
    def over(self) -> bool:
        return self.left <= 0


Road = Callable[[Trip, Start], State | None]


def travel(system: System, start: Start) -> Arrival | None:
    """The first operating point that any road reaches."""
    for road, words in _ROADS:
        state = road(Trip(system, STEPS), start)
        if state is not None and state.settled:
            return Arrival(state.x, state.controls, words)
    return None


def run(system: System, start: Start) -> Arrival | None:
    """Newton's method alone, for starts that are many."""
    state = _plainly(Trip(system, MOST), start)
    return Arrival(state.x, state.controls, _ROADS[0][1]) if state.settled else None


def _plainly(trip: Trip, start: Start) -> State:
    return trip.iterate(start.x, start.controls)


def _bridged(trip: Trip, start: Start) -> State | None:
    bridging, factor = 1.0, 0.1
    state = trip.iterate(start.x, start.controls, bridging=bridging)
    if not state.settled:
        return None
    while bridging > SMALLEST_BRIDGE and not trip.over:
        smaller = trip.iterate(state.x, state.controls, bridging=bridging * factor)
        if smaller.settled:
            bridging, state = bridging * factor, smaller
            factor = max(factor**1.5, 0.01)
        elif factor > 0.9:
            return None
        else:
            factor = factor**0.5
    return trip.iterate(state.x, state.controls)


def _raised(trip: Trip, start: Start) -> State | None:
    state = trip.iterate(0 * start.x, [d.off for d in trip.system.devices], raised=0.0)
    if not state.settled:
        return None
    raised, step = 0.0, 0.1
    while raised < 1 and not trip.over:
        target = min(1.0, raised + step)
        further = trip.iterate(state.x, state.controls, raised=target)
        if further.settled:
            raised, state = target, further
            step *= 1.6
        elif step < SMALLEST_RAISE:
            return None
        else:
            step /= 4
    return state


def _powell(trip: Trip, start: Start) -> State | None:
    from scipy.optimize import root

    system = trip.system
    found = root(
        lambda x: np.array(system.residual(x.tolist())),
        start.x,
        jac=lambda x: system.jacobian(all_controls(system, x.tolist())),
        method="hybr",
    )
    x = np.asarray(found.x)
    return trip.iterate(x, all_controls(system, x.tolist())) if found.success else None


def _in_time(trip: Trip, start: Start) -> State | None:
    state = State(start.x, start.controls, False, 0)
    pull, calm = 1e-2, 0
    while not trip.over:
        anchor = state.x.copy()
        moved = trip.iterate(state.x, state.controls, bridging=pull, anchor=anchor, most=40)
        if moved.settled:
            state, calm = moved, calm + 1
            pull /= 2 if calm < 5 else 5
            if pull < SMALLEST_BRIDGE:
                return trip.iterate(state.x, state.controls)
        elif pull > 1e6:
            return None
        else:
            pull, calm = pull * 8, 0
    return trip.iterate(state.x, state.controls)


def all_controls(system: System, x: Sequence[float]) -> tuple[Vector, ...]:
    """What all devices read at x."""
    return tuple(system.controls(place, x) for place in range(len(system.devices)))


_ROADS: tuple[tuple[Road, str], ...] = (
    (_plainly, "Newton's method with held junction steps"),
    (_bridged, "bridging conductances from every node, withdrawn step by step"),
    (_raised, "the supplies raised gradually"),
    (_powell, "Powell's hybrid method"),
    (_in_time, "small steps of an imagined time"),
)
