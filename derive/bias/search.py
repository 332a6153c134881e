"""The search for all operating points: many starts, one road, and what the starts have in common.

Enters: a system. Leaves: the points, which starts met. Must not know: circuits, words of messages.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from derive.bias.equations import Array, System
from derive.bias.polish import Polished, polish
from derive.bias.roads import Arrival, Start, all_controls, run, travel

STARTS = 10
"""Further starts, each with every device on or off by chance, from a fixed seed."""
CLAMP = 1e3
"""Conductance in siemens that holds a node near its stated voltage while a start is sought."""
SAME = 1e-6
"""Relative difference of voltages, or volts, within which two starts met."""
SENSELESS = 1e4
"""Amperes; a larger current means that junctions lie across a source with nothing to limit it."""
GOOD = 1e-9
"""Largest residual, as a part of the currents that flow, with which a point counts as one."""


@dataclass(frozen=True)
class Found:
    """Points in the order found, the first that of the plain start; ``road`` led to it."""

    points: tuple[Polished, ...]
    road: str
    starts: int
    met: int
    apart: float


def search(system: System, near: Mapping[str, float]) -> Found | None:
    """All operating points that the starts reach; None where the plain start reaches none by any road."""
    first = _first(system, near)
    if first is None:
        return None
    arrived = _checked(system, first)
    if arrived is None:
        return None
    points = [arrived]
    met, apart, starts = 0, 0.0, _further(system)
    for start in starts:
        arrival = run(system, start)
        other = None if arrival is None else _checked(system, arrival)
        if other is None:
            continue
        met += 1
        distances = [_distance(system, other, point) for point in points]
        place = int(np.argmin(distances))
        if _same(system, other, points[place]):
            apart = max(apart, distances[place])
        else:
            points.append(other)
    return Found(tuple(points), first.road, len(starts), met, apart)


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


def _further(system: System) -> list[Start]:
    """The start with all devices off, then devices on and off by chance."""
    if not system.devices:
        return [Start(np.ones(system.size), ())]
    zero = np.zeros(system.size)
    chance = np.random.default_rng(1)
    starts = [Start(zero, tuple(d.off for d in system.devices))]
    for _ in range(STARTS - 1):
        on = chance.integers(0, 2, len(system.devices))
        starts.append(Start(zero, tuple(d.on if bit else d.off for bit, d in zip(on, system.devices, strict=True))))
    return starts


def _checked(system: System, arrival: Arrival) -> Polished | None:
    """The arrival polished, if its currents balance."""
    scale = _flow(system, arrival.x)
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
    return max(through) or 1e-15


def _distance(system: System, one: Polished, other: Polished) -> float:
    nodes = len(system.layout.nodes)
    return max((abs(float(a - b)) for a, b in zip(one.x[:nodes], other.x[:nodes], strict=True)), default=0.0)


def _same(system: System, one: Polished, other: Polished) -> bool:
    nodes = len(system.layout.nodes)
    return all(
        abs(float(a - b)) <= SAME * (1 + abs(float(a))) for a, b in zip(one.x[:nodes], other.x[:nodes], strict=True)
    )
