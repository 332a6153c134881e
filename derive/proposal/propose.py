"""Statements for an accuracy that was asked: found, verified, ordered.

Enters: a question with its exact answer, the statements of the sheet. Leaves: a proposal.
Must not know: LaTeX, other answers than through the statements that were proposed for them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import pi

from derive.answers.records import Exact
from derive.approximate.alike import alike
from derive.approximate.contradictions import substituted
from derive.approximate.ground import Ground
from derive.approximate.records import Generator, Resolved
from derive.approximate.reduce import reduce_answer, under_limits
from derive.circuit.records import Bootstrap, Question
from derive.network.records import Network
from derive.proposal.agreement import Agreement, End, ends_of
from derive.proposal.large import COMFORT, best, shrink
from derive.proposal.lean import judged, ladder, lean
from derive.proposal.moves import Move
from derive.proposal.records import Proposal
from derive.proposal.search import EAGERNESS, greedy
from derive.proposal.settle import Settler, move_text
from derive.proposal.sift import sift
from derive.proposal.state import State, Task, begin, proposed
from derive.proposal.terms import table
from derive.proposal.yardstick import yardstick

HOLDS_ALONE = 0.1
"""A limit is proposed only if by itself it changes the answer no more than this: else it would be called weak."""
FINEST = (1e-3, 1e-4)
"""Parts of the accuracy under which the terms of a long answer are not looked at; finer where that fails."""
MANY = 600
"""Terms above which one search must do."""
WORTH = 0.25
"""How many terms of the answer a symbol in a statement weighs."""


def propose(
    question: Question, exact: Exact, stated: Sequence[Resolved], ground: Ground, network: Network
) -> Proposal:
    """What is proposed for one question. ``stated``: all statements of the sheet, those proposed for others too."""
    assert question.accuracy is not None
    accuracy = float(question.accuracy)
    given = tuple(
        s for s in stated if not s.statement.proposed and question.name in (s.statement.questions or (question.name,))
    )
    settler = Settler(exact, given, ground, network, accuracy, question.path, len(stated) + 1, about_one(question))
    if not settler.within(()):
        return Proposal(question.name, accuracy, "stated already exceed", (), about_one(question))
    task = _task(question, exact, stated, ground, network)
    found = _searched(exact, given, ground, task, settler)
    if not found:
        large = settler.reduced(()).ratio is None
        return Proposal(question.name, accuracy, "too large" if large else "nothing simpler", (), about_one(question))
    return Proposal(question.name, accuracy, "proposed", settler.resolved(found), about_one(question))


def about_one(question: Question) -> bool:
    """Whether the answer is asked for the sake of one minus it, so that this has to keep the accuracy too."""
    return isinstance(question.ask, Bootstrap)


def _task(
    question: Question, exact: Exact, stated: Sequence[Resolved], ground: Ground, network: Network
) -> Task:
    reach = (2 * pi * float(ground.band[0]), 2 * pi * float(ground.band[1]))
    known = frozenset(move_text(s.statement, network) for s in stated if s.statement.proposed)
    measure = yardstick(exact.spectrum, ground.band, to_one=about_one(question))
    task = Task(
        ground.numbers, measure, float(question.accuracy or 0),
        ends_of(exact.inquiry, question), Agreement(stated, network).allows, known, reach, ground.ring,
    )  # fmt: skip
    ends: dict[str, tuple[End, ...]] = {}
    for error, move, _ in best(exact.inquiry, task, ground.ring.names):
        if error <= HOLDS_ALONE:
            name, end = str(move.key[0]), move.key[1]
            ends[name] = (*ends.get(name, ()), "inf" if end == "inf" else "0")
    return replace(task, ends=ends)


def _searched(
    exact: Exact, given: tuple[Resolved, ...], ground: Ground, task: Task, settler: Settler
) -> list[Move]:
    """The best of searches of different eagerness, settled and in order; empty where nothing is simpler than what is
    given. Where a long answer had to be shrunk first, those limits come first.
    """
    same = alike([e for s in given for e in s.equalities])
    generators = substituted([g for s in given for g in s.generators], same)
    whole = reduce_answer(exact, _without_ratios(given), ground)
    if whole.ratio is not None and sum(whole.terms) <= COMFORT:
        start = begin(table(whole.ratio, ground.numbers, task.reference), generators, task)
        return _settled(start, [], task, settler) if start is not None else []
    if same.replaced:
        return []
    first, inquiry = shrink(under_limits(exact.inquiry, [s.limit for s in given if s.limit is not None]), task)
    for finest in FINEST:
        ratio = sift(inquiry, ground, finest * task.accuracy)
        start = begin(table(ratio, ground.numbers, task.reference), generators, task) if ratio is not None else None
        moves = _settled(start, first, task, settler, sifted=True) if start is not None else []
        if moves:
            return moves
    return []


def _settled(
    start: State, first: list[Move], task: Task, settler: Settler, *, sifted: bool = False
) -> list[Move]:
    """From the terms at hand to moves that keep the promise for all terms. ``first``: limits taken before."""
    ranked = []
    for eagerness in EAGERNESS if len(start.table) <= MANY else EAGERNESS[1:2]:
        moves = lean(start, greedy(start, task, eagerness).moves, task)
        size, _ = judged(start, moves, task)
        ranked.append((size + WORTH * sum(map(task.burden, moves)), len(moves), [m.text for m in moves], moves))
    for *_, moves in sorted(ranked, key=lambda r: r[:3]):
        needed = moves
        if sifted:
            whole = _completed([*first, *moves], start.given, task, settler)
            further = [m for m in whole if m not in moves and m not in first]
            needed = [m for m in lean(start, [m for m in whole if m not in first], task, further) if m not in further]
            moves = [*first, *needed, *further] if whole else []
        settled = settler.settle(moves, needed)
        if settled and settler.size(settled) < settler.size(()):
            begun = [m for m in first if m in settled]
            return [*begun, *ladder(start, [m for m in settled if m not in first], task)]
    return []


def _completed(moves: list[Move], given: tuple[Generator, ...], task: Task, settler: Settler) -> list[Move]:
    """Further moves against terms that were too small to be seen at first; none where still too many stay."""
    ratio = settler.reduced(moves).ratio
    if ratio is None:
        return []
    ratios = tuple(move for move in moves if not move.is_limit)
    terms = table(ratio, task.numbers, task.reference)
    state = begin(terms, (*given, *map(proposed, ratios)), task, ratios)
    if state is None or len(terms) > MANY:
        return moves
    return [*(move for move in moves if move.is_limit), *greedy(state, task, EAGERNESS[0]).moves]


def _without_ratios(statements: Sequence[Resolved]) -> tuple[Resolved, ...]:
    return tuple(s for s in statements if not s.generators)
