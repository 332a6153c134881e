"""Newton's method with the steps of each device held, and bridging conductances to an anchor.


Enters: a system, a start. Leaves: voltages and currents, settled or not.
Must not know: which road of continuation it serves, circuits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from derive.bias.devices import Vector
from derive.bias.equations import Array, System

MOST = 120
"""Steps after which a start is given up."""
BOXED = 60
"""Steps during which node voltages are kept within a box around the sources' voltages."""
BOX = 3.0
"""Half the width of that box, in spans of the sources' voltages."""
SETTLED = 1e-9
"""Largest change of a voltage, relative or in volts, and of a current likewise, in a last step."""


@dataclass(frozen=True)
class State:
    """Unknowns, and the controls at which the devices were last taken."""

    x: Array
    controls: tuple[Vector, ...]
    settled: bool
    steps: int


def iterate(
    system: System,
    x: Array,
    controls: Sequence[Vector],
    *,
    bridging: float = 0.0,
    anchor: Array | None = None,
    raised: float = 1.0,
    most: int = MOST,
) -> State:
    """Repeats the tangent equations until nothing moves.

    ``bridging``: a conductance in siemens from every node to its voltage in ``anchor`` (zero where None).
    ``raised``: the part of the sources' voltages and currents that is applied.
    """
    with np.errstate(all="ignore"):
        # A trial far from home may overflow; such a start is given up, not trusted.
        return _iterate(system, x, controls, bridging, anchor, raised, most)


def _iterate(
    system: System,
    x: Array,
    controls: Sequence[Vector],
    bridging: float,
    anchor: Array | None,
    raised: float,
    most: int,
) -> State:
    nodes = len(system.layout.nodes)
    pull = np.zeros(system.size) if anchor is None else bridging * anchor
    pull[nodes:] = 0
    held = tuple(controls)
    box = BOX * (1 + float(np.abs(system.source[nodes:]).sum()))
    for step in range(1, most + 1):
        matrix, right = system.linearised(held)
        right = right - (1 - raised) * system.source + pull
        if bridging:
            matrix[range(nodes), range(nodes)] += bridging
        if not np.all(np.isfinite(matrix)) or not np.all(np.isfinite(right)):
            return State(x, held, False, step)
        found = solve_scaled(matrix, right)
        new = found if found is not None else np.asarray(np.linalg.lstsq(matrix, right, rcond=None)[0], dtype=float)
        if not np.all(np.isfinite(new)):
            return State(x, held, False, step)
        if step <= BOXED:
            new[:nodes] = np.clip(new[:nodes], -box, box)
        wanted = [system.controls(place, new) for place in range(len(system.devices))]
        taken = tuple(d.hold(w, o) for d, w, o in zip(system.devices, wanted, held, strict=True))
        change = np.abs(new - x)
        still = bool(np.all(change <= SETTLED * (1 + np.abs(new))))
        still = still and _apart(taken, wanted) < SETTLED and _apart(taken, held) < SETTLED
        x, held = new, taken
        if still:
            return State(x, held, True, step)
    return State(x, held, False, most)


def _apart(one: Sequence[Vector], other: Sequence[Vector]) -> float:
    """The largest difference between two sets of controls, in volts."""
    return max(
        (abs(a - b) for us, vs in zip(one, other, strict=True) for a, b in zip(us, vs, strict=True)), default=0.0
    )


def solve_scaled(matrix: Array, right: Array) -> Array | None:
    """The solution, from rows and columns brought to a like size first; None where the equations are singular.

    A node that hangs on gigohms and one on milliohms stand in one matrix.
    """
    rows = 1 / np.maximum(np.abs(matrix).max(axis=1), 1e-300)
    scaled = rows[:, None] * matrix
    columns = 1 / np.maximum(np.abs(scaled).max(axis=0), 1e-300)
    try:
        found: Array = columns * np.linalg.solve(scaled * columns[None, :], rows * right)
    except np.linalg.LinAlgError:
        return None
    return found if bool(np.all(np.isfinite(found))) else None
