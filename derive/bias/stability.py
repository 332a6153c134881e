"""Whether an operating point stays, and the sign by which points are counted.

Enters: a system and its unknowns at a point. Leaves: verdicts. Must not know: how the point was found.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from derive.bias.equations import Array, System
from derive.bias.roads import all_controls

GROWS = 1e-9
"""Growth, as a part of the fastest rate in the circuit, above which it is no rounding error."""


def sign_of(system: System, x: Sequence[float]) -> int:
    """1 or -1: the sign of the determinant of the linearised equations against that with a capacitance at every
    node and a time constant in every op amp, at a large s; 0 where one of them vanishes.

    With -1 the determinant vanishes at some positive s between: the circuit runs away, whatever the capacitances.
    """
    matrix = system.jacobian(all_controls(system, x))
    if not system.layout.nodes:
        return 1
    most = 1e6 * max(float(np.abs(matrix).max()), 1e-3)
    here = np.linalg.slogdet(matrix)[0]
    far = np.linalg.slogdet(matrix + most * _storage(system))[0]
    return int(here * far)


def is_stable(system: System, x: Sequence[float]) -> bool | None:
    """False where a disturbance grows without swinging, with one capacitance at every node; None if not known.

    That is the test of determinants carried on: it also sees two parts of a circuit that run away side by side.
    """
    if sign_of(system, x) < 0:
        return False
    from scipy.linalg import eigvals

    matrix, storage = system.jacobian(all_controls(system, x)), _storage(system)
    if not np.all(np.isfinite(matrix)):
        return None
    rates = eigvals(-matrix, storage)
    rates = rates[np.isfinite(rates)]
    if not rates.size:
        return True
    fastest = float(np.abs(rates).max()) or 1.0
    growing = (rates.real > GROWS * fastest) & (np.abs(rates.imag) <= 1e-6 * np.abs(rates))
    return not bool(growing.any())


def _storage(system: System) -> Array:
    """A capacitance of one farad from every node to ground, and a second in every op amp."""
    storage = np.zeros((system.size, system.size))
    nodes = len(system.layout.nodes)
    storage[range(nodes), range(nodes)] = 1.0
    for row, column in system.lags:
        if column >= 0:
            storage[row, column] -= 1.0
    return storage
