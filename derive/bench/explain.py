"""Which single value, changed alone and by how much, would explain the measurements best.

Enters: measurements held against predictions. Leaves: explanations, ranked. Must not know: LaTeX.

A hint and no proof: each value is moved over two decades, the bias following, and what is left of all differences
is told, in units of the measurements' own uncertainties. Among values that explain everything, those that have to
change least come first.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from derive.answers.anew import numbers_of
from derive.answers.evaluate import Evaluator
from derive.answers.measures import MEASURES
from derive.bench.compare import Setup, wrapped
from derive.bench.records import Explanation
from derive.circuit.changes import Place, with_values
from derive.circuit.records import Circuit
from derive.circuit.wanted import Taken

Array = NDArray[np.float64]
REACH, SMALLEST = 10.0, 0.003
"""How far a value is moved each way, as a factor, and the smallest change that is looked at first, in its logarithm."""
PLACES, CLOSER, ROUNDS = 41, 11, 4
"""At how many places a value is looked at first, and then around the best of them, in how many rounds in all."""
MOST_ROWS = 40
"""Measurements of one bench that count; of a longer sweep, as many evenly spaced."""
LEAST = 0.01
"""Part of the mean square that a change must take away to be told."""
NOT_VALUES = ("tolerance", "rating", "offset")


def explanations(circuit: Circuit, setups: Sequence[Setup]) -> tuple[tuple[Explanation, ...], float, int]:
    """The explanations that help, best first; what is left with nothing changed; how many values were tried."""
    rows = [_thinned(setup.bench.taken) for setup in setups]
    before = _rest(setups, rows, None, [1.0])[0]
    places = [(name, key) for name, part in circuit.parts.items() for key in part.values if key not in NOT_VALUES]
    places = [place for place in places if circuit.parts[place[0]].values[place[1]].value]
    found = []
    for place in places:
        one = _explanation(circuit, setups, rows, place, before[0])
        if one is not None:
            found.append(one)
    found.sort(key=_rank)
    return tuple(found), float(np.sqrt(before[0])), len(places)


def _rank(one: Explanation) -> tuple[bool, float, float]:
    change = abs(float(np.log(one.factor)))
    return (not one.explains, change if one.explains else one.rest, change)


def _thinned(taken: Sequence[Taken]) -> list[Taken]:
    if len(taken) <= MOST_ROWS:
        return list(taken)
    return [taken[int(i)] for i in np.linspace(0, len(taken) - 1, MOST_ROWS)]


def _explanation(
    circuit: Circuit, setups: Sequence[Setup], rows: Sequence[Sequence[Taken]], place: Place, before: float
) -> Explanation | None:
    """The best change of one value; None where it takes nothing away."""
    side = np.geomspace(SMALLEST, np.log(REACH), PLACES // 2)
    grid = np.concatenate([-side[::-1], [0.0], side])
    best, rest, worst = 0.0, before, np.inf
    for _ in range(ROUNDS):
        found = _rest(setups, rows, place, [float(np.exp(u)) for u in grid])
        squares = np.array([one[0] for one in found])
        if not np.any(np.isfinite(squares)):
            return None
        squares = np.where(np.isfinite(squares), squares, np.inf)
        # Of equal ones, as where a value has no bearing, the smallest change.
        least = float(squares.min())
        close = np.flatnonzero(squares <= least * (1 + 1e-9))
        which = int(close[np.argmin(np.abs(grid[close]))])
        if not squares[which] < (1 - LEAST) * before:
            return None
        if squares[which] <= rest:
            best, rest, worst = float(grid[which]), float(squares[which]), found[which][1]
        ends = grid[max(which - 1, 0)], grid[min(which + 1, len(grid) - 1)]
        grid = np.linspace(*ends, CLOSER)
    part = circuit.parts[place[0]]
    quantity = part.values[place[1]]
    value = float(quantity.value)
    own = part.values.get("tolerance") if len(part.tolerances) == 0 else part.tolerances.get(place[1])
    return Explanation(
        place[0], place[1], quantity.unit, value, value * float(np.exp(best)), float(np.sqrt(rest)), worst <= 2.0,
        bool(abs(best) > np.log(REACH) * (1 - 1e-9)), None if own is None else float(own.value),
    )  # fmt: skip


def _rest(
    setups: Sequence[Setup], rows: Sequence[Sequence[Taken]], place: Place | None, factors: Sequence[float]
) -> list[tuple[float, float]]:
    """For each factor the mean square of the scores, and the largest of them; infinite where there is no answer."""
    scores: list[Array] = []
    for setup, taken in zip(setups, rows, strict=True):
        predicted = _answers(setup, taken, place, factors)
        for one, values in zip(taken, predicted, strict=True):
            difference = wrapped(float(one.value) - values, one.quantity)
            scores.append(difference * float(setup.bench.k) / float(one.uncertainty))
    table = np.abs(np.array(scores))
    table = np.where(np.isfinite(table), table, np.inf)
    return [(float(np.mean(column**2)), float(np.max(column))) for column in table.T]


def _answers(setup: Setup, taken: Sequence[Taken], place: Place | None, factors: Sequence[float]) -> list[Array]:
    """For each measurement what is predicted at each factor."""
    groups: dict[int, tuple[Evaluator, list[int], list[dict[str, float]]]] = {}
    for position, factor in enumerate(factors):
        circuit = setup.circuit
        if place is not None:
            value = circuit.parts[place[0]].values[place[1]].value * Fraction(factor)
            circuit = with_values(circuit, {place: value})
        network = setup.answers.network(circuit)
        evaluator = None if network is None else setup.answers.evaluator(network, setup.bench.of)
        if evaluator is None or network is None:
            continue
        group = groups.setdefault(id(evaluator), (evaluator, [], []))
        group[1].append(position)
        group[2].append(numbers_of(network))
    found = []
    for one in taken:
        values = np.full(len(factors), np.nan)
        for evaluator, positions, numbers in groups.values():
            table = {name: np.array([n[name] for n in numbers]) for name in evaluator.symbols}
            z = evaluator.at(table, float(one.frequency))
            with np.errstate(all="ignore"):
                values[positions] = MEASURES[one.quantity].take(z, float(one.frequency))
        found.append(values)
    return found
