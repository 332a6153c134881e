"""Answers too large to write out: the elements that matter least in the band go first.

Enters: an inquiry, the sampled exact answer. Leaves: limits after which the answer can be written, as far as they
reach. Must not know: terms, stated ratios.

Every answer is bilinear in each admittance, so that one inverse tells what each limit would do on top of those
already taken; the cheapest is taken as long as the error stays within a share of the accuracy.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from derive.answers.exact import WRITABLE, NoSolution, answer, diagrams
from derive.answers.records import Exact, Inquiry
from derive.approximate.ground import Ground
from derive.approximate.limits import under_limits
from derive.approximate.records import Limit
from derive.errors import TooLarge
from derive.proposal.agreement import CONDUCTING
from derive.proposal.influence import influence
from derive.proposal.moves import Move, limit_move
from derive.proposal.search import Task

SHARE = 0.5
"""The part of the accuracy that these limits may use up."""


def shrink(inquiry: Inquiry, task: Task, ground: Ground) -> tuple[list[Move], Exact | None]:
    """Limits one after the other until the answer can be written; None where it still cannot."""
    moves: list[Move] = []
    while True:
        exact = _written(inquiry, ground)
        if exact is not None:
            return moves, exact
        step = _cheapest(inquiry, task, ground.ring.names)
        if step is None:
            return moves, None
        move, limit = step
        moves.append(move)
        inquiry = under_limits(inquiry, [limit])


def _written(inquiry: Inquiry, ground: Ground) -> Exact | None:
    try:
        if max(diagram.count() for diagram in diagrams(inquiry)) > WRITABLE:
            return None
        return answer(inquiry, ground.numbers, ground.ring)
    except (NoSolution, TooLarge):
        return None


def _cheapest(inquiry: Inquiry, task: Task, names: Sequence[str]) -> tuple[Move, Limit] | None:
    found = best(inquiry, task, tuple(names))
    for error, move, limit in found:
        if error <= SHARE * task.accuracy:
            return move, limit
    return None


def best(inquiry: Inquiry, task: Task, names: tuple[str, ...]) -> list[tuple[float, Move, Limit]]:
    """All limits that agree with what is stated, by the error that they leave."""
    try:
        felt = influence(inquiry, task.numbers, task.yardstick.s)
    except np.linalg.LinAlgError:
        return []
    laws = {element.name: element.law for element in inquiry.network.elements}
    found = []
    for place, name in enumerate(felt.names):
        for end in task.ends.get(name, ()):
            contracts = (end == "inf") == (laws[name] in CONDUCTING)
            error = float(task.yardstick.errors((felt.contracted if contracts else felt.deleted)[place]))
            move = limit_move(name, end, names)
            limit = Limit(0, () if contracts else (name,), (name,) if contracts else ())
            if np.isfinite(error) and task.allowed(move):
                found.append((error, move, limit))
    return sorted(found, key=lambda item: (item[0], item[1].text))
