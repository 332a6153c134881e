"""How far each device's current moves within the stated tolerances, the bias following.

Enters: a circuit, its system and a solved point. Leaves: a Spread, or None where no tolerance is stated.
Must not know: LaTeX.

First order by the derivative of the whole bias point; extremes among circuits that were solved anew: for each
current the two corners that its derivatives point to, and further ones by chance.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from derive.bias.causes import Cause, Factors, causes_of
from derive.bias.equations import Array, System, system_of
from derive.bias.layout import Layout
from derive.bias.records import Moved, Spread
from derive.bias.search import settle
from derive.bias.setting import Setting
from derive.circuit.records import Circuit

RANDOM = 60
"""Circuits by chance, from a fixed seed, besides the corners."""
SMALL = 1e-5
"""Half the step of the derivative, as a part of the tolerance: right to about ten digits."""


def spread_of(circuit: Circuit, layout: Layout, setting: Setting, x: Array) -> Spread | None:
    """``x``: the solved unknowns."""
    causes = causes_of(circuit.parts.values(), setting.laws, setting.vt)
    bench = _Bench(circuit, layout, setting)
    system = bench.system([])
    if not causes or not system.devices:
        return None
    nominal = currents(system, x)
    slopes = np.array([_slope(bench, system, x, cause) for cause in causes])
    trials = _corners(slopes) + _by_chance(len(causes))
    sampled, unsolved = [nominal], 0
    for deltas in trials:
        trial = bench.system([cause.factors(d) for cause, d in zip(causes, deltas, strict=True)])
        found = settle(trial, x)
        if found is None:
            unsolved += 1
        else:
            sampled.append(currents(trial, found))
    lowest, highest = np.min(sampled, axis=0), np.max(sampled, axis=0)
    moved = tuple(
        Moved(device.part, float(nominal[i]), _ranked(causes, slopes[:, i], nominal[i]), *_ends(lowest[i], highest[i]))
        for i, device in enumerate(system.devices)
    )
    return Spread(moved, len(trials), unsolved, tuple(c.together for c in causes if c.together))


class _Bench:
    """Makes the equations of the circuit with some numbers changed."""

    def __init__(self, circuit: Circuit, layout: Layout, setting: Setting) -> None:
        self.circuit, self.layout, self.setting = circuit, layout, setting

    def system(self, changes: Sequence[Factors]) -> System:
        factors = {key: factor for change in changes for key, factor in change.items()}
        return system_of(self.circuit, self.layout, self.setting.scaled(factors))


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
    """For each current the corner that raises it and the one that lowers it, each corner once."""
    signs = {tuple(np.where(column >= 0, 1.0, -1.0)) for column in np.nan_to_num(slopes).T}
    both = signs | {tuple(-value for value in corner) for corner in signs}
    return [np.array(corner) for corner in sorted(both)]


def _by_chance(count: int) -> list[Array]:
    chance = np.random.default_rng(2)
    return [chance.uniform(-1, 1, count) for _ in range(RANDOM)]


def _ranked(causes: Sequence[Cause], slopes: Array, current: float) -> tuple[tuple[str, float], ...]:
    if not current:
        return ()
    pairs = [(c.name, float(s / current)) for c, s in zip(causes, slopes, strict=True) if np.isfinite(s)]
    return tuple(sorted(pairs, key=lambda pair: -abs(pair[1])))


def _ends(lowest: float, highest: float) -> tuple[float, float]:
    """The extremes in order of magnitude, so that a p-type's larger current is the higher one."""
    ends = sorted((float(lowest), float(highest)), key=abs)
    return ends[0], ends[1]
