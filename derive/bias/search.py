"""The search for all operating points: many starts, one road, and what the starts have in common.

Enters: a system. Leaves: the points, how many starts met. Must not know: circuits, words of messages.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from derive.bias.equations import Array, System
from derive.bias.polish import Polished, polish
from derive.bias.roads import Arrival, Start, all_controls, run, travel
from derive.bias.stability import sign_of

STARTS = 10
"""Further starts, each with every device on or off by chance, from a fixed seed."""
MORE = 100
"""Starts that are made besides where the signs of the points show that there are more of them."""
CLAMP = 1e3
"""Conductance in siemens that holds a node near its stated voltage while a start is sought."""
SAME = 1e-6
"""Relative difference of voltages, or volts, within which two starts met."""
LEAST = 1e-12
"""Amperes; where less flows anywhere, currents are balanced against this."""
SENSELESS = 1e4
"""Amperes; a larger current means that junctions lie across a source with nothing to limit it."""
GOOD = 1e-9
"""Largest residual, as a part of the currents that flow, with which a point counts as one."""


@dataclass(frozen=True)
class Found:
    """Points in the order found, the first that of the plain start; ``road`` led to it.

    ``lacking``: whether there must be more of them.
    """

    points: tuple[Polished, ...]
    road: str
    starts: int
    met: int
    apart: float
    lacking: bool


def search(system: System, near: Mapping[str, float]) -> Found | None:
    """All operating points that the starts reach; None where the plain start reaches none by any road."""
    first = _first(system, near)
    if first is None:
        return None
    arrived = _checked(system, first)
    if arrived is None:
        return None
    tally = _Tally(system, [arrived])
    for start in _further(system, STARTS):
        tally.count(run(system, start))
    if not tally.met:
        tally.count(travel(system, next(_further(system, 1))))
    if tally.lacks_a_point():
        for start in _further(system, MORE):
            tally.count(run(system, start))
            if not tally.lacks_a_point():
                break
    return Found(tuple(tally.points), first.road, tally.starts, tally.met, tally.apart, tally.lacks_a_point())


@dataclass
class _Tally:
    """The points so far, and how the starts fared."""

    system: System
    points: list[Polished]
    starts: int = 0
    met: int = 0
    apart: float = 0.0

    def count(self, arrival: Arrival | None) -> None:
        self.starts += 1
        other = None if arrival is None else _checked(self.system, arrival)
        if other is None:
            return
        self.met += 1
        distances = [_distance(self.system, other, point) for point in self.points]
        place = int(np.argmin(distances))
        if _same(self.system, other, self.points[place]):
            self.apart = max(self.apart, distances[place])
        else:
            self.points.append(other)

    def lacks_a_point(self) -> bool:
        """Whether the signs of the points show that there are more.

        The circuit's equations grow in every direction, so that the signs of the determinants at all points add up
        to one (degree of a map; J. M. Ortega, W. C. Rheinboldt, "Iterative Solution of Nonlinear Equations in Several
        Variables", chapter 6; from memory): two states that stay have one that runs away between them. Amplifiers
        without limits break the rule, so where the circuit holds one no more is asked than a point that stays.
        """
        if not self.system.devices:
            return False
        signs = [sign_of(self.system, [float(v) for v in point.x]) for point in self.points]
        if set(signs) == {-1}:
            return True
        unbounded = bool(self.system.lags) or self.system.amplifies
        return not unbounded and 0 not in signs and sum(signs) != 1


def settle(system: System, x: Array) -> Array | None:
    """The unknowns of the point near those of a circuit that differs a little; None where none is found."""
    start = Start(x, all_controls(system, x.tolist()))
    arrival = run(system, start) or travel(system, start)
    return None if arrival is None else arrival.x


def plain_start(system: System) -> Start:
    """All nodes at zero, all devices conducting."""
    return Start(np.zeros(system.size), tuple(d.on for d in system.devices))


def _first(system: System, near: Mapping[str, float]) -> Arrival | None:
    start = plain_start(system)
    held = {system.index[node]: volts for node, volts in near.items() if node in system.index}
    if held:
        linear, source = system.linear.copy(), system.source.copy()
        for place, volts in held.items():
            linear[place, place] += CLAMP
            source[place] += CLAMP * volts
        clamped = travel(replace(system, linear=linear, source=source), start)
        if clamped is not None:
            start = Start(clamped.x, clamped.controls)
    return travel(system, start)


def _further(system: System, count: int) -> Iterator[Start]:
    """The start with all devices off, then devices on, off and saturated by chance."""
    if not system.devices:
        yield Start(np.ones(system.size), ())
        return
    zero = np.zeros(system.size)
    chance = np.random.default_rng(count)
    yield Start(zero, tuple(d.off for d in system.devices))
    for _ in range(count - 1):
        states = chance.integers(0, 5, len(system.devices))
        ways = zip(states, system.devices, strict=True)
        yield Start(zero, tuple(d.deep if state == 0 else d.on if state < 3 else d.off for state, d in ways))


def _checked(system: System, arrival: Arrival) -> Polished | None:
    """The arrival polished, if its currents balance."""
    scale = max(_flow(system, arrival.x), LEAST)
    if scale > SENSELESS:
        return None
    point = polish(system, arrival.x, scale)
    return point if point.residual <= GOOD * scale else None


def _flow(system: System, x: Array) -> float:
    """The largest current that flows anywhere, in amperes."""
    nodes = len(system.layout.nodes)
    through = [float(np.abs(x[nodes:]).max(initial=0.0)), float(np.abs(system.source[:nodes]).max(initial=0.0))]
    for device, u in zip(system.devices, all_controls(system, x.tolist()), strict=True):
        through.append(max(abs(float(i)) for i in device.evaluate(u)[0]))
    return max(through)


def _distance(system: System, one: Polished, other: Polished) -> float:
    nodes = len(system.layout.nodes)
    return max((abs(float(a - b)) for a, b in zip(one.x[:nodes], other.x[:nodes], strict=True)), default=0.0)


def _same(system: System, one: Polished, other: Polished) -> bool:
    nodes = len(system.layout.nodes)
    return all(
        abs(float(a - b)) <= SAME * (1 + abs(float(a))) for a, b in zip(one.x[:nodes], other.x[:nodes], strict=True)
    )
