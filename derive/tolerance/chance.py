"""Circuits drawn by chance, and what their answers scatter over.

Enters: how chance is to be drawn, a function from places of the causes to readings. Leaves: statistics.
Must not know: circuits, what a reading is.

Uniform: every value within the tolerance is as likely (what is known where only limits are stated; JCGM 100, 4.3.7).
Normal: a standard deviation of a third of the tolerance, and what lies outside it drawn again.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from derive.circuit.wanted import Chance, Criterion
from derive.tolerance.records import Drawn

Array = NDArray[np.float64]
BINS = 40
DUST = 1e-12
"""Values that differ by less than this part of themselves differ by rounding."""
THIRD = 3.0


def draw(chance: Chance, causes: int) -> Array:
    """Places of the causes from -1 to 1: a row a circuit. The same chance gives the same circuits."""
    source = np.random.default_rng(chance.seed)
    shape = (chance.samples, causes)
    if chance.distribution == "uniform":
        return source.uniform(-1.0, 1.0, shape)
    found = source.normal(0.0, 1 / THIRD, shape)
    outside = np.abs(found) > 1
    while np.any(outside):
        found[outside] = source.normal(0.0, 1 / THIRD, int(np.count_nonzero(outside)))
        outside = np.abs(found) > 1
    return found


def deviation_of_cause(chance: Chance) -> float:
    """The standard deviation of a cause, as a part of its tolerance.

    >>> round(deviation_of_cause(Chance(distribution="uniform")) ** 2, 12), round(
    ...     deviation_of_cause(Chance(distribution="normal")), 3)
    (0.333333333333, 0.329)
    """
    if chance.distribution == "uniform":
        return float(1 / np.sqrt(3))
    from math import erf, exp, pi, sqrt

    inside = erf(THIRD / sqrt(2))
    density = exp(-(THIRD**2) / 2) / sqrt(2 * pi)
    return sqrt(1 - 2 * THIRD * density / inside) / THIRD


def drawn(values: Array, criterion: Criterion | None) -> Drawn:
    """The statistics of a reading. A circuit without a finite value counts as one that does not meet a criterion."""
    finite = values[np.isfinite(values)]
    odd = len(values) - len(finite)
    if not len(finite):
        nothing = float("nan")
        return Drawn(nothing, nothing, nothing, nothing, (), (), 0.0 if criterion else None, odd)
    low, high = np.quantile(finite, (0.025, 0.975))
    counts, edges = _histogram(finite)
    mean, deviation = float(np.mean(finite)), float(np.std(finite))
    share = None if criterion is None else float(np.mean(meets(values, criterion)))
    return Drawn(
        mean, deviation, float(low), float(high), tuple(map(float, edges)), tuple(map(int, counts)), share, odd
    )


def meets(values: Array, criterion: Criterion) -> NDArray[np.bool_]:
    """Which circuits meet a criterion."""
    fine = np.isfinite(values)
    if criterion.at_least is not None:
        fine &= values >= float(criterion.at_least)
    if criterion.at_most is not None:
        fine &= values <= float(criterion.at_most)
    return fine


def _histogram(values: Array) -> tuple[Array, Array]:
    """Counts between even edges; where a few circuits lie far out, the outermost bins hold them."""
    low, high = np.quantile(values, (0.0005, 0.9995))
    if not high - low > DUST * max(abs(float(low)), abs(float(high))):
        middle = float(values[0])
        low, high = middle - 1e-3 * (abs(middle) or 1.0), middle + 1e-3 * (abs(middle) or 1.0)
    counts, edges = np.histogram(np.clip(values, low, high), bins=BINS, range=(low, high))
    return counts.astype(float), edges
