"""One round of an estimate: with every device taken in one way, what the rules find, until something contradicts.

Enters: a circuit, the numbers of its devices' laws, how the devices are taken. Leaves: a ``Round``.
Must not know: what becomes of a verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import chain

from derive.bias.estimate.balance import check_base, check_sums
from derive.bias.estimate.board import Board
from derive.bias.estimate.dividers import divide
from derive.bias.estimate.drops import check_levels, follow_level
from derive.bias.estimate.fets import apply_law, bias_by_source, invert_law
from derive.bias.estimate.kirchhoff import find_current, find_far, settle_idle, settle_node
from derive.bias.estimate.pairs import degenerate, mirror, share
from derive.bias.estimate.records import Assumed, Finding, Stop, Turn, Verdict
from derive.bias.estimate.together import close
from derive.bias.estimate.verdicts import doubts
from derive.circuit.records import Circuit

RULES: tuple[Callable[[Board], Finding | Verdict | None], ...] = (
    settle_idle,
    follow_level,
    divide,
    settle_node,
    apply_law,
    bias_by_source,
    find_current,
    mirror,
    degenerate,
    find_far,
    invert_law,
    close,
    share,
)
"""In the order in which a person tries them."""


@dataclass(frozen=True)
class Round:
    """``verdict``, ``stop``: what ended the round before its rules had run out, if anything did."""

    board: Board
    findings: tuple[Finding, ...]
    verdict: Verdict | None = None
    stop: Stop | None = None


class Rounds:
    """The rounds of one circuit, each run once."""

    def __init__(self, circuit: Circuit, parameters: Mapping[str, float]) -> None:
        self.circuit = circuit
        self._parameters = parameters
        self._run: dict[tuple[Assumed, str, frozenset[Turn]], Round] = {}

    @property
    def count(self) -> int:
        return len(self._run)

    def board(self, assumed: Assumed) -> Board:
        return Board(self.circuit, self._parameters, assumed)

    def run(self, assumed: Assumed, about: str = "", barred: frozenset[Turn] = frozenset()) -> Round:
        """The round for one way of taking the devices.

        ``about``: the only device whose contradictions matter; ``barred``: verdicts that are overlooked.
        """
        key = (assumed, about, barred)
        if key not in self._run:
            self._run[key] = _run(self.board(assumed), about, barred)
        return self._run[key]


def _run(board: Board, about: str, barred: frozenset[Turn]) -> Round:
    findings: list[Finding] = []
    try:
        while (found := _doubted(board, about, barred) or _found(board)) is not None:
            if isinstance(found, Verdict):
                return Round(board, tuple(findings), verdict=found)
            findings.append(found)
            board.learn(found.numbers)
        check_sums(board)
    except Stop as stop:
        return Round(board, tuple(findings), stop=stop)
    return Round(board, tuple(findings))


def _doubted(board: Board, about: str, barred: frozenset[Turn]) -> Verdict | None:
    verdicts = chain(doubts(board), check_levels(board), check_base(board))
    wanted = (verdict for verdict in verdicts if about in ("", verdict.part) and verdict.turn not in barred)
    return next(wanted, None)


def _found(board: Board) -> Finding | Verdict | None:
    return next((found for rule in RULES if (found := rule(board)) is not None), None)
