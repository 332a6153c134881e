"""Terms under moves: what a search goes through.

Enters: terms, moves, the sampled exact answer. Leaves: states, each with its error.
Must not know: how moves are chosen, LaTeX, how statements are printed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from derive.algebra.ring import Ring
from derive.approximate.cone import CLOSE, Cone
from derive.approximate.drop import CANCELS
from derive.approximate.records import Generator
from derive.proposal.moves import EASY, Ends, Move
from derive.proposal.terms import Terms
from derive.proposal.yardstick import Yardstick

PROPOSED = 0
"""The number of statements that have none yet."""


@dataclass(frozen=True)
class Task:
    """What a search works on. ``ends``: symbols that may go to a limit; ``allowed``: whether a move agrees with what
    is stated; ``known``: moves that other answers of the sheet have already made, which cost a reader less.
    ``reach``: the band in rad/s.
    """

    numbers: Mapping[str, Fraction]
    yardstick: Yardstick
    accuracy: float
    ends: Ends
    allowed: Callable[[Move], bool]
    known: frozenset[str]
    reach: tuple[float, float]
    ring: Ring

    @property
    def names(self) -> tuple[str, ...]:
        return self.ring.names

    @property
    def reference(self) -> float:
        return float(np.sqrt(self.reach[0] * self.reach[1]))

    def burden(self, move: Move) -> float:
        return EASY * move.burden if move.text in self.known else move.burden


@dataclass(frozen=True)
class State:
    """Terms under some moves. ``maximal``: terms that no stated ratio drops; ``kept``: those and the sums that are
    kept whole because they would nearly cancel.
    """

    table: Terms
    generators: tuple[Generator, ...]
    maximal: np.ndarray
    kept: np.ndarray
    error: float
    moves: tuple[Move, ...] = ()

    @property
    def given(self) -> tuple[Generator, ...]:
        """The generators that are not proposed."""
        return tuple(g for g in self.generators if g.statement != PROPOSED)

    @property
    def size(self) -> int:
        return int(self.kept.sum())


def begin(found: Terms, generators: tuple[Generator, ...], task: Task, moves: tuple[Move, ...] = ()) -> State | None:
    """Terms under stated ratios; None where what these leave cancels across powers of s."""
    everything = np.ones(len(found), dtype=bool)
    return under(State(found, (), everything, everything, np.inf, moves), generators, task)


def make(state: State, move: Move, task: Task) -> State | None:
    """The state after one more move; None where the answer vanishes or becomes infinite."""
    if move.is_limit:
        name, end = move.key
        less = state.table.limited(task.names.index(str(name)), to_infinity=end == "inf")
        return None if less is None else begin(less, state.generators, task, (*state.moves, move))
    found = join(state.generators, move)
    if found is None:
        return None
    generators, gone = found
    moves = tuple(m for m in state.moves if m.key != gone)
    return under(replace(state, moves=(*moves, move)), generators, task)


def join(generators: tuple[Generator, ...], move: Move) -> tuple[tuple[Generator, ...], tuple[int, ...] | None] | None:
    """The generators with that of a move, and the key of one that it makes superfluous; None where it says nothing
    new, or where the ratios would depend on each other: a cone of independent ones is quick, and easier to read.
    """
    fresh = proposed(move)
    if not generators:
        return (fresh,), None
    matrix = np.array([g.exponents for g in generators], dtype=float).T
    wanted = np.array(fresh.exponents, dtype=float)
    powers, *_ = np.linalg.lstsq(matrix, wanted, rcond=None)
    if np.abs(matrix @ powers - wanted).max() > CLOSE:
        return (*generators, fresh), None
    # fresh = product of generators to these powers: solved for the only one with a positive power, that one follows.
    positive = np.flatnonzero(powers > CLOSE)
    if len(positive) != 1 or not (powers < -CLOSE).any():
        return None
    place = int(positive[0])
    if generators[place].statement != PROPOSED or (1 - powers[powers < 0].sum()) / powers[place] < 1 - CLOSE:
        return None
    rest = tuple(g for i, g in enumerate(generators) if i != place)
    return (*rest, fresh), generators[place].exponents


def proposed(move: Move) -> Generator:
    """The generator of a move that is a ratio; its number is of no account here."""
    return Generator(PROPOSED, tuple(int(e) for e in move.key), Fraction(0))


def under(state: State, generators: tuple[Generator, ...], task: Task) -> State | None:
    """The state under these ratios, which hold all those before; None where what is left across powers cancels."""
    found, cone = state.table, Cone(generators)
    maximal = state.maximal.copy()
    crosses = any(g.exponents[0] for g in generators)
    groups = found.sides[found.sums] if crosses else found.sums
    places = np.flatnonzero(maximal)
    maximal[places] = cone.standing(found.exponents[places].astype(float), groups[places])
    kept = maximal.copy()
    for number in range(len(found.powers)):
        members = found.sums == number
        rest = found.sizes[maximal & members]
        if abs(rest.sum()) * CANCELS < np.abs(rest).sum():
            kept[members] = True
    if crosses and found.cancels(kept, task.reach, CANCELS):
        return None
    error = float(task.yardstick.errors(found.responses(found.coefficients(kept), task.yardstick.s)))
    return replace(state, generators=generators, maximal=maximal, kept=kept, error=error)
