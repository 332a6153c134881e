"""Long answers: the elements that matter least in the band go first.

Enters: an inquiry, the sampled exact answer. Leaves: limits, and the inquiry under them.
Must not know: terms, stated ratios.

Every answer is bilinear in each admittance, so that one inverse tells what each limit would do on top of those
already taken; the cheapest is taken as long as the error stays within a share of the accuracy.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from derive.answers.exact import diagrams
from derive.answers.records import Inquiry
from derive.approximate.limits import under_limits
from derive.approximate.records import Limit
from derive.proposal.agreement import CONDUCTING
from derive.proposal.influence import influence
from derive.proposal.moves import Move, limit_move
from derive.proposal.state import Task

COMFORT = 400
"""Terms up to which an answer is searched as it is."""
SHARE = 0.2
"""The part of the accuracy that these limits may use up."""


def shrink(inquiry: Inquiry, task: Task) -> tuple[list[Move], Inquiry]:
    """Limits one after the other, until the answer is short or the next one costs too much."""
    moves: list[Move] = []
    while sum(diagram.count() for diagram in diagrams(inquiry)) > COMFORT:
        step = _cheapest(inquiry, task, task.names)
        if step is None:
            break
        move, limit = step
        moves.append(move)
        inquiry = under_limits(inquiry, [limit])
    return moves, inquiry


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
