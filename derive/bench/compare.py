"""Predicted beside measured, the difference in units of the combined standard uncertainty.

Enters: a circuit with its bias point, its measurements. Leaves: Benches. Must not know: LaTeX.

JCGM 100:2008 (GUM): an expanded uncertainty is k times the standard one (6.2); what is known by limits alone counts
with their half width over the root of three (4.3.7); standard uncertainties of independent quantities combine by the
root of the sum of squares, each times its sensitivity (5.1.2). Tolerances are taken as such limits, and parts as
independent of each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import erfc, sqrt

import numpy as np
from numpy.typing import NDArray

from derive.answers.anew import Answers, numbers_of
from derive.answers.evaluate import Evaluator
from derive.answers.measures import MEASURES
from derive.bench.metered import metered
from derive.bench.records import Compared, Curve, Held, Joint
from derive.bias.records import Bias, Unsolved
from derive.circuit.records import Circuit
from derive.circuit.wanted import Bench, Taken
from derive.errors import DeriveError
from derive.network.records import Network
from derive.tolerance.causes import causes
from derive.tolerance.chance import deviation_of_cause
from derive.tolerance.levers import Levers, levers

Array = NDArray[np.float64]
LIKELY = 0.05
"""A disagreement is what chance alone would give in less than one case in twenty."""
COVERED = 2.0
"""Combined standard uncertainties within which a measurement counts as met."""
STEP = 1e-3
POINTS = 121


class Unmeasurable(DeriveError):
    """A measurement cannot be held against anything; the message says why."""


class Setup:
    """The circuit with the meter of one bench on it, and how its tolerances move it."""

    def __init__(self, circuit: Circuit, bias: Bias | Unsolved | None, bench: Bench) -> None:
        self.bench = bench
        self.circuit = metered(circuit, bench.meter, bench.path)
        self.answers = Answers(self.circuit, bias)
        network = self.answers.network(self.circuit)
        if network is None:
            raise Unmeasurable("with the meter in place no operating point is found")
        self.network: Network = network
        evaluator = self.answers.evaluator(network, bench.of)
        if evaluator is None:
            raise Unmeasurable(f"{bench.of} has no finite value to hold a measurement against")
        self.evaluator: Evaluator = evaluator
        found = causes(self.circuit)
        self.lever: Levers | None = levers(self.circuit, self.answers.anew, network, found) if found else None

    def read(self, quantity: str, frequency: float) -> float:
        """The prediction at one frequency."""
        z = self.evaluator.at(numbers_of(self.network), frequency)
        with np.errstate(all="ignore"):
            return float(MEASURES[quantity].take(z, frequency)[0])

    def deviations(self, quantity: str, frequency: float) -> Array:
        """By how much the prediction moves for one standard deviation of each cause; none without tolerances."""
        if self.lever is None:
            return np.zeros(0)
        count = len(self.lever.causes)
        at = np.vstack([STEP * np.eye(count), -STEP * np.eye(count)])
        z = self.evaluator.at(self.lever.numbers(at), frequency)
        values = np.broadcast_to(MEASURES[quantity].take(z, frequency), 2 * count)
        slopes = wrapped(values[:count] - values[count:], quantity) / (2 * STEP)
        return np.asarray(slopes * deviation_of_cause(self.circuit.wanted.chance), dtype=float)


def held(circuit: Circuit, bias: Bias | Unsolved | None, setup: Setup) -> Held:
    """One bench, held against its prediction. Raises Unmeasurable."""
    bench = setup.bench
    bare = setup if bench.meter is None else Setup(circuit, bias, _without_meter(bench))
    moves = [setup.deviations(taken.quantity, float(taken.frequency)) for taken in bench.taken]
    rows = tuple(
        _compared(taken, setup, bare, float(bench.k), move) for taken, move in zip(bench.taken, moves, strict=True)
    )
    outside = sum(abs(row.score) > COVERED for row in rows)
    names = () if setup.lever is None else tuple(cause.name for cause in setup.lever.causes)
    joint = together(rows, np.array(moves), names)
    return Held(bench, rows, tuple(_curves(setup)), outside, joint, joint.corrected >= LIKELY)


def together(rows: Sequence[Compared], moves: Array, names: tuple[str, ...]) -> Joint:
    """All differences at once, each cause moving all predictions together.

    V holds the variances of the measurements and what the causes bring. Two things are asked: whether dᵀV⁻¹d is too
    large for as many readings (chi squared), and whether the differences lie along what one cause does, as
    mᵀV⁻¹d/√(mᵀV⁻¹m) tells, which is normal where nothing is wrong. The least likely of these counts, times how many of
    them there are (C. E. Bonferroni's inequality), readings fewer than causes counting as so many.
    """
    from scipy.stats import chi2

    units = np.array([row.by_meter for row in rows])
    differences = np.array([row.difference for row in rows]) / units
    scaled = moves / units[:, None]
    covariance = np.eye(len(rows)) + scaled @ scaled.T
    weighted = np.linalg.solve(covariance, differences)
    squares = float(differences @ weighted)
    lengths = np.sqrt(np.einsum("ij,ij->j", scaled, np.linalg.solve(covariance, scaled)))
    along = np.divide(scaled.T @ weighted, lengths, out=np.zeros(len(names)), where=lengths > FEEBLE)
    telling, score = "", 0.0
    if len(names) and len(rows) > 1:
        place = int(np.argmax(np.abs(along)))
        telling, score = names[place], float(along[place])
    chance, along_it = float(chi2.sf(squares, len(rows))), erfc(abs(score) / sqrt(2))
    return Joint(squares, telling, score, chance, along_it, min(len(rows), 1 + len(names)))


FEEBLE = 0.1
"""A cause that moves the readings by less than this part of their uncertainty has no say of its own."""


def _without_meter(bench: Bench) -> Bench:
    return replace(bench, meter=None)


def _compared(taken: Taken, setup: Setup, bare: Setup, k: float, move: Array) -> Compared:
    frequency = float(taken.frequency)
    predicted = setup.read(taken.quantity, frequency)
    alone = bare.read(taken.quantity, frequency) if bare is not setup else predicted
    if not np.isfinite(predicted):
        raise Unmeasurable(f"{setup.bench.of} has no finite {taken.quantity} at {frequency:g} Hz")
    by_meter, by_parts = float(taken.uncertainty) / k, float(np.sqrt(np.sum(move**2)))
    combined = float(np.hypot(by_meter, by_parts))
    difference = float(wrapped(np.array([float(taken.value) - predicted]), taken.quantity)[0])
    return Compared(taken, predicted, alone, by_meter, by_parts, combined, difference, difference / combined)


def wrapped(differences: Array, quantity: str) -> Array:
    """Differences of angles between -180 and 180 degrees."""
    return (differences + 180) % 360 - 180 if quantity == "phase" else differences


def _curves(setup: Setup) -> list[Curve]:
    """The prediction over the frequencies that were measured and a little beyond."""
    found = []
    for quantity in dict.fromkeys(taken.quantity for taken in setup.bench.taken):
        of = [taken for taken in setup.bench.taken if taken.quantity == quantity and taken.frequency]
        frequencies = sorted({float(taken.frequency) for taken in of})
        if len(frequencies) < 2:
            continue
        low, high = frequencies[0], frequencies[-1]
        margin = (high / low) ** 0.08
        points = np.geomspace(low / margin, high * margin, POINTS)
        values = [setup.read(quantity, float(f)) for f in points]
        found.append(Curve(quantity, of[0].unit, tuple(map(float, points)), tuple(values)))
    return found
