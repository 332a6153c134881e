"""Tolerances of a circuit, carried through to its answers.

Enters: a circuit, its bias point and network, the inquiry of each question. Leaves: Tolerances, or None where no
tolerance is stated. Must not know: LaTeX, derivations.

Sensitivities are exact at fixed bias. Chance and worst cases use the exact diagrams with the bias linearised; the
extremes, and the first RECHECKED circuits of the sample, are solved anew in full.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from derive.answers.anew import Answers, numbers_of
from derive.answers.evaluate import Evaluator
from derive.answers.measures import MEASURES, unit_of
from derive.answers.records import Inquiry
from derive.circuit.records import Circuit
from derive.circuit.wanted import Criterion
from derive.errors import Defect
from derive.network.records import Network
from derive.tolerance.causes import Cause, causes
from derive.tolerance.chance import draw, drawn, meets
from derive.tolerance.levers import Levers, levers
from derive.tolerance.records import Extreme, Influence, Reading, Recheck, Spread, Tolerances, Worst
from derive.tolerance.replay import Replay
from derive.tolerance.worst import ends

Array = NDArray[np.float64]
RECHECKED = 500
AGREES = 1e-6
"""Relative difference between the exact answer and the same in floating point up to which the latter is trusted."""


def study(answers: Answers, network: Network, inquiries: Mapping[str, Inquiry]) -> Tolerances | None:
    """``inquiries``: of every question with a finite answer, by name. Raises Lost."""
    circuit = answers.circuit
    found = causes(circuit)
    if not found:
        return None
    lever = levers(circuit, answers.anew, network, found)
    readings = _readings(circuit, inquiries)
    evaluators = {name: Evaluator(inquiry) for name, inquiry in inquiries.items()}
    sample = draw(circuit.wanted.chance, len(found))
    numbers = lever.numbers(sample)
    replay = Replay(answers, found, sample[: RECHECKED if lever.linearised else 0])
    spreads, fine = [], np.ones(len(sample), dtype=bool)
    for reading in readings:
        reader = _Reader(evaluators[reading.of], reading, lever)
        nominal = reader.nominal(network)
        if nominal is None:
            continue
        values = reader.read_numbers(numbers)
        if reading.criterion is not None:
            fine &= meets(values, reading.criterion)
        spreads.append(_spread(reader, nominal, values, found, network, replay))
    together = tuple(cause.part for cause in found if cause.together)
    wanted = any(s.reading.criterion for s in spreads)
    return Tolerances(
        tuple(c.name for c in found), tuple(spreads), circuit.wanted.chance, lever.linearised, together,
        float(np.mean(fine)) if wanted else None,
    )  # fmt: skip


def _readings(circuit: Circuit, inquiries: Mapping[str, Inquiry]) -> list[Reading]:
    """The magnitude of every answer at the spot, then every criterion that asks for something else."""
    found: list[Reading] = []
    wanted = list(circuit.wanted.criteria)
    for name, inquiry in inquiries.items():
        own = next((c for c in wanted if _is_plain(c, name, circuit)), None)
        if own is not None:
            wanted.remove(own)
        found.append(Reading(name, "magnitude", inquiry.unit, circuit.about.spot, 0.0, own))
    found += [Reading(c.of, c.quantity, c.unit, c.frequency, 0.0, c) for c in wanted if c.of in inquiries]
    return found


def _is_plain(criterion: Criterion, name: str, circuit: Circuit) -> bool:
    return (criterion.of, criterion.quantity, criterion.frequency) == (name, "magnitude", circuit.about.spot)


class _Reader:
    """Reads one quantity of one answer, for many circuits at once."""

    def __init__(self, evaluator: Evaluator, reading: Reading, lever: Levers) -> None:
        self.evaluator, self.reading, self.lever = evaluator, reading, lever
        self.measure = MEASURES[reading.quantity]
        self.frequency = float(reading.frequency)
        assert reading.unit == unit_of(self.measure, evaluator.inquiry.unit)

    def read_numbers(self, numbers: Mapping[str, object]) -> Array:
        with np.errstate(all="ignore"):
            found: Array = self.measure.take(self.evaluator.at(numbers, self.frequency), self.frequency)
        return found

    def read(self, at: Array) -> Array:
        values = self.read_numbers(self.lever.numbers(at))
        return np.broadcast_to(values, len(at)) if len(values) != len(at) else values

    def nominal(self, network: Network) -> float | None:
        """The reading as described; None where it is zero or infinite, so that nothing relative can be said."""
        value = float(self.read_numbers(numbers_of(network))[0])
        return value if np.isfinite(value) and (value or self.measure.unit in ("°", "dB")) else None


def _spread(
    reader: _Reader, nominal: float, values: Array, found: Sequence[Cause], network: Network, replay: Replay
) -> Spread:
    reading = replace(reader.reading, nominal=nominal)
    influences = _influences(reader, nominal, found, network)
    rss = float(np.sqrt(sum(one.contribution**2 for one in influences)))
    return Spread(
        reading, influences, rss, _worst(reader, found, replay), drawn(values, reading.criterion),
        _recheck(reader, values, replay) if replay.networks else None,
    )  # fmt: skip


def _influences(reader: _Reader, nominal: float, found: Sequence[Cause], network: Network) -> tuple[Influence, ...]:
    """Exact sensitivities at fixed bias, and with the bias following by the powers of the symbols; largest first."""
    reading, lever, measure = reader.reading, reader.lever, reader.measure
    exact = reader.evaluator.sensitivities(network.values(), reading.frequency)
    z = complex(reader.evaluator.at(numbers_of(network), reader.frequency)[0])
    scale = 1.0 if measure.unit in ("°", "dB") else 1 / nominal

    def of(sensitivity: complex) -> float:
        return scale * float(measure.differ(z, z * sensitivity, reader.frequency))

    rows = {name: lever.powers[place] for place, name in enumerate(lever.names)}
    influences = []
    for column, cause in enumerate(found):
        total = sum((exact[name] * rows[name][column] for name in exact if name in rows), 0j)
        own = lever.own.get(column)
        fixed = of(exact.get(own, 0j)) if own is not None else None
        if own is None and cause.part in network.symbols:
            fixed = 0.0
        follows = of(total)
        # To first order at the full tolerance: the slope of the coordinate at zero times one.
        reach = float(cause.coordinate(STEP) - cause.coordinate(-STEP)) / (2 * STEP)
        influences.append(Influence(cause.name, cause.tolerance, fixed, follows, follows * reach / scale))
    return tuple(sorted(influences, key=lambda one: -abs(one.contribution)))


STEP = 1e-6


def _worst(reader: _Reader, found: Sequence[Cause], replay: Replay) -> Worst:
    at = ends(reader.read, len(found))
    lowest, highest = (_extreme(reader, place, found, replay) for place in (at.lowest, at.highest))
    road = "corners" if at.monotonic else "search"
    return Worst(lowest, highest, road, at.looked, tuple(found[i].name for i in at.turning))  # type: ignore[arg-type]


def _extreme(reader: _Reader, place: Array, found: Sequence[Cause], replay: Replay) -> Extreme:
    linear = float(reader.read(place[None, :])[0])
    z = replay.answers.value(replay.network(place), reader.reading.of, reader.frequency)
    value = float(reader.measure.take(z, reader.frequency)) if np.isfinite(z) else None
    where = tuple((cause.name, float(d)) for cause, d in zip(found, place, strict=True) if d)
    scale = max(abs(linear), 1.0 if reader.measure.unit in ("°", "dB") else 0.0)
    if value is not None and not reader.lever.linearised and abs(value - linear) > AGREES * scale:
        raise Defect(f"{reader.reading.of}: at an extreme {value} solved anew, {linear} from the diagrams")
    return Extreme(value, linear, where)


def _recheck(reader: _Reader, values: Array, replay: Replay) -> Recheck:
    """The first circuits solved anew beside the same with the bias linearised."""
    anew = replay.readings(reader.reading.of, reader.frequency)
    tried = len(anew)
    solved = np.isfinite(anew)
    true = reader.measure.take(anew[solved], reader.frequency)
    linear = np.broadcast_to(values, tried)[solved] if len(values) == 1 else values[:tried][solved]
    if not len(true):
        nothing = float("nan")
        return Recheck(tried, 0, nothing, nothing, nothing, nothing, nothing)
    width = float(np.max(true) - np.min(true)) or abs(float(true[0])) or 1.0
    worst = float(np.max(np.abs(true - linear))) / width
    return Recheck(
        tried, int(solved.sum()), worst, float(np.mean(true)), float(np.std(true)), float(np.mean(linear)),
        float(np.std(linear)),
    )  # fmt: skip
