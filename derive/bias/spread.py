"""How far each device's current moves within the stated tolerances, the bias following.

Enters: a circuit, its system and a solved point. Leaves: a Spread, or None where no tolerance is stated.
Must not know: LaTeX.

First order by the derivative of the whole bias point; extremes among circuits that were solved anew at corners of
the tolerances.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import product

import numpy as np

from derive.bias.causes import Cause, Factors, causes_of
from derive.bias.equations import Array, System, system_of
from derive.bias.layout import Layout
from derive.bias.records import Moved, MovedNode, Region, Spread
from derive.bias.regions import region_of
from derive.bias.search import settle
from derive.bias.setting import Setting
from derive.circuit.records import GROUND, Bootstrap, Circuit, Gain, Impedance

FEW = 6
"""Causes up to which all corners are solved."""
RANDOM = 100
"""Corners by chance, from a fixed seed, besides those that the slopes point to."""
SMALL = 1e-5
"""Half the step of the derivative, as a part of the tolerance: right to about ten digits."""


def spread_of(circuit: Circuit, layout: Layout, setting: Setting, x: Array) -> Spread | None:
    """``x``: the solved unknowns."""
    causes = causes_of(circuit.parts.values(), setting.laws)
    bench = _Bench(circuit, layout, setting)
    system = bench.system([])
    if not causes or not system.devices:
        return None
    nominal = currents(system, x)
    slopes = np.array([_slope(bench, system, x, cause) for cause in causes])
    trials = _corners(slopes)
    nodes = [node for node in asked_nodes(circuit) if node in system.index and node not in layout.floating]
    sampled, volts = [nominal], [_volts(system, nodes, x)]
    usual = regions(system, setting, x)
    changed: Counter[tuple[str, Region]] = Counter()
    unsolved = 0
    for deltas in trials:
        factors = [cause.factors(d) for cause, d in zip(causes, deltas, strict=True)]
        trial = bench.system(factors)
        found = settle(trial, x)
        if found is None:
            unsolved += 1
            continue
        sampled.append(currents(trial, found))
        volts.append(_volts(system, nodes, found))
        there = regions(trial, bench.changed(factors), found)
        changed.update((name, region) for name, region in there.items() if region != usual[name])
    lowest, highest = np.min(sampled, axis=0), np.max(sampled, axis=0)
    moved = tuple(
        Moved(device.part, float(nominal[i]), _ranked(causes, slopes[:, i], nominal[i]), *_ends(lowest[i], highest[i]))
        for i, device in enumerate(system.devices)
    )
    low, high = np.min(volts, axis=0), np.max(volts, axis=0)
    ranged = tuple(MovedNode(node, float(volts[0][i]), float(low[i]), float(high[i])) for i, node in enumerate(nodes))
    told = tuple((name, region, count) for (name, region), count in changed.items())
    together = tuple(cause.together for cause in causes if cause.together)
    return Spread(moved, len(trials), unsolved, together, ranged, told, len(trials) == 2 ** len(causes))


def asked_nodes(circuit: Circuit) -> list[str]:
    """The nodes that questions name, in order."""
    found: dict[str, None] = {}
    for question in circuit.questions:
        match question.ask:
            case Gain(source, to, _):
                found |= dict.fromkeys((to,) if source is None else (source, to))
            case Impedance(plus, minus, _):
                found |= dict.fromkeys((plus, minus))
            case Bootstrap(_, near, far, _):
                found |= dict.fromkeys((near, far))
    return [node for node in found if node != GROUND]


def regions(system: System, setting: Setting, x: Array) -> dict[str, Region]:
    """The region of each device."""
    return {
        device.part: region_of(device, system.controls(place, x.tolist()), setting)[0]
        for place, device in enumerate(system.devices)
    }


def _volts(system: System, nodes: Sequence[str], x: Array) -> list[float]:
    return [float(x[system.index[node]]) for node in nodes]


class _Bench:
    """Makes the equations of the circuit with some numbers changed."""

    def __init__(self, circuit: Circuit, layout: Layout, setting: Setting) -> None:
        self.circuit, self.layout, self.setting = circuit, layout, setting

    def changed(self, changes: Sequence[Factors]) -> Setting:
        return self.setting.scaled({key: factor for change in changes for key, factor in change.items()})

    def system(self, changes: Sequence[Factors]) -> System:
        return system_of(self.circuit, self.layout, self.changed(changes))


def currents(system: System, x: Array) -> Array:
    """Of each device the collector, drain or anode current, into the pin, in amperes."""
    found = []
    for place, device in enumerate(system.devices):
        values, _ = device.evaluate(system.controls(place, x.tolist()))
        found.append(device.sign * float(values[0]))
    return np.array(found)


def _slope(bench: _Bench, system: System, x: Array, cause: Cause) -> Array:
    """The derivative of all device currents by one cause, per full tolerance, everything else following."""
    up, down = (bench.system([cause.factors(step)]) for step in (SMALL, -SMALL))
    pushed = (np.array(up.residual(x.tolist())) - np.array(down.residual(x.tolist()))) / (2 * SMALL)
    controls = tuple(system.controls(place, x.tolist()) for place in range(len(system.devices)))
    try:
        moved = -np.linalg.solve(system.jacobian(controls), pushed)
    except np.linalg.LinAlgError:
        return np.full(len(system.devices), np.nan)
    slope: Array = (currents(up, x + SMALL * moved) - currents(down, x - SMALL * moved)) / (2 * SMALL)
    return slope


def _corners(slopes: Array) -> list[Array]:
    """All corners where they are few; else those that raise and lower each current by its slopes, and others by chance.

    A cause without a slope here may decide everything where a device comes to its limits, so corners are taken
    rather than values between.
    """
    count = len(slopes)
    if count <= FEW:
        return [np.array(corner) for corner in product((-1.0, 1.0), repeat=count)]
    signs = {tuple(np.where(column >= 0, 1.0, -1.0)) for column in np.nan_to_num(slopes).T}
    signs |= {tuple(-value for value in corner) for corner in signs}
    chance = np.random.default_rng(2)
    signs |= {tuple(chance.choice((-1.0, 1.0), count)) for _ in range(RANDOM)}
    return [np.array(corner) for corner in sorted(signs)]


def _ranked(causes: Sequence[Cause], slopes: Array, current: float) -> tuple[tuple[str, float], ...]:
    if not current:
        return ()
    pairs = [(c.name, float(s / current)) for c, s in zip(causes, slopes, strict=True) if np.isfinite(s)]
    return tuple(sorted(pairs, key=lambda pair: -abs(pair[1])))


def _ends(lowest: float, highest: float) -> tuple[float, float]:
    """The extremes in order of magnitude, so that a p-type's larger current is the higher one."""
    ends = sorted((float(lowest), float(highest)), key=abs)
    return ends[0], ends[1]
