"""The last digits of an operating point, and the certificate that it is one.

Enters: a system, voltages that nearly solve it. Leaves: unknowns as long numbers, and what is left over.
Must not know: how they were found, circuits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import mpmath
import numpy as np

from derive.bias.equations import Array, System
from derive.bias.newton import solve_scaled
from derive.bias.roads import all_controls

DIGITS = 30
ROUNDS = 8
ENOUGH = 1e-16
"""Left over, as a part of the scale, at which polishing ends."""


@dataclass(frozen=True)
class Polished:
    """``x``: unknowns as long numbers; ``residual``: the worst sum of currents at a node, in amperes; ``volts``: by
    how much a source's voltage is missed at worst."""

    x: tuple[Any, ...]
    residual: float
    volts: float = 0.0

    def badness(self, scale: float) -> float:
        return max(self.residual / scale, self.volts)


def polish(system: System, x: Array, scale: float) -> Polished:
    """Newton's method with residuals to thirty digits and slopes in floating point."""
    nodes = len(system.layout.nodes)
    with mpmath.workdps(DIGITS):
        best = _left(system, [mpmath.mpf(float(v)) for v in x], nodes)
        for _ in range(ROUNDS):
            if best.badness(scale) <= ENOUGH:
                break
            matrix = system.jacobian(all_controls(system, [float(v) for v in best.x]))
            found = system.residual(best.x, mpmath.exp)
            step = solve_scaled(matrix, np.array([float(v) for v in found]))
            if step is None:
                break
            new = _left(system, [v - mpmath.mpf(float(d)) for v, d in zip(best.x, step, strict=True)], nodes)
            if new.badness(scale) >= best.badness(scale):
                break
            best = new
    return best


def _left(system: System, x: list[Any], nodes: int) -> Polished:
    found = system.residual(x, mpmath.exp)
    currents, volts = (max((abs(float(v)) for v in half), default=0.0) for half in (found[:nodes], found[nodes:]))
    return Polished(tuple(x), currents, volts)

