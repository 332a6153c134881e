"""From found moves to statements that keep the promise: verified, none superfluous, in order of their effect.

Enters: moves, the exact answer, what is stated. Leaves: resolved statements within the accuracy, or none.
Must not know: how the moves were found, LaTeX. Everything here goes through the same reduction and the same measure
of error as the statements of an author.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from derive.algebra.spectrum import Spectrum
from derive.answers.records import Exact
from derive.approximate.error import measure
from derive.approximate.ground import Ground
from derive.approximate.records import Reduced, Resolved
from derive.approximate.reduce import reduce_answer
from derive.approximate.resolve import resolve
from derive.circuit.records import Path, Statement
from derive.expression.parse import parse_statement
from derive.network.records import Network
from derive.proposal.lean import without
from derive.proposal.moves import Move
from derive.proposal.yardstick import missing_to_one

MARGIN = 1 - 1e-9
"""Rounding of the measure is kept away from the promise."""
UNLIMITED = 10**30


@dataclass
class Settler:
    """``given``: the author's statements for this question; each set of further ones is worked out once.

    ``to_one``: what the answer lacks of one has to keep the accuracy too.
    """

    exact: Exact
    given: tuple[Resolved, ...]
    ground: Ground
    network: Network
    accuracy: float
    path: Path
    first: int
    to_one: bool = False

    def __post_init__(self) -> None:
        self._reduced: dict[frozenset[str], Reduced] = {}
        self._errors: dict[frozenset[str], float] = {}

    def resolved(self, moves: Sequence[Move]) -> tuple[Resolved, ...]:
        """The moves as statements, numbered after the author's."""
        made = [self._statement(move, self.first + place) for place, move in enumerate(moves)]
        return resolve(made, self.network, self.ground.ring, self.ground.band)

    def _statement(self, move: Move, number: int) -> Statement:
        """``short`` and ``open`` for a capacitor or an inductor that is a part, else the relation."""
        if move.is_limit:
            element = self.network.element(str(move.key[0]))
            if element.name == element.owner and element.law in ("capacitance", "inductance"):
                closed = (move.key[1] == "inf") == (element.law == "capacitance")
                text = f"{'short' if closed else 'open'} {element.owner}"
                parts = (element.owner,)
                return Statement(
                    number, text, self.path, short=parts if closed else (), open=() if closed else parts, proposed=True
                )
        return Statement(number, move.text, self.path, relation=parse_statement(move.text), proposed=True)

    def reduced(self, moves: Sequence[Move]) -> Reduced:
        key = frozenset(move.text for move in moves)
        if key not in self._reduced:
            self._reduced[key] = reduce_answer(self.exact, (*self.given, *self.resolved(moves)), self.ground)
        return self._reduced[key]

    def size(self, moves: Sequence[Move]) -> int:
        """Terms above and below; an answer that is infinite has no size."""
        found = self.reduced(moves)
        return sum(found.terms) if found.spectrum is not None else UNLIMITED

    def error(self, moves: Sequence[Move]) -> float:
        key = frozenset(move.text for move in moves)
        if key not in self._errors:
            self._errors[key] = self._measured(self.reduced(moves).spectrum)
        return self._errors[key]

    def _measured(self, found: Spectrum | None) -> float:
        band, spot, exact = self.ground.band, self.ground.spot, self.exact.spectrum
        worst = measure(found, exact, band, spot, search=False).worst
        if not self.to_one or found is None:
            return worst
        return max(worst, measure(missing_to_one(found), missing_to_one(exact), band, spot, search=False).worst)

    def within(self, moves: Sequence[Move]) -> bool:
        return self.error(moves) <= self.accuracy * MARGIN

    def settle(self, moves: Sequence[Move], needed: Sequence[Move] = ()) -> list[Move]:
        """The moves without those that cost too much and those that leave no more terms when they go.

        ``needed``: moves that were found to be needed on the table of terms, or on that of the larger ones. What
        dominates a term is larger than it, so a large term that stays without them stays in the whole too, and they
        need not be tried again unless others have gone.
        """
        left = list(moves)
        while left and not self.within(left):
            # Of all that could be given up, that which brings the error down most.
            left = min((without(left, move) for move in left), key=lambda less: (self.error(less), self.size(less)))
        return self._pruned(left, {move.text for move in needed} if len(left) == len(moves) else set())

    def _pruned(self, moves: list[Move], needed: set[str]) -> list[Move]:
        """Goes through the longest statements first, so that simple ones stay."""
        again = True
        while again:
            again = False
            for move in sorted((m for m in moves if m.text not in needed), key=lambda m: (-m.burden, m.text)):
                less = without(moves, move)
                if self.size(less) <= self.size(moves) and self.within(less):
                    moves, again = less, True
        return moves


def move_text(statement: Statement, network: Network) -> str:
    """A proposed statement as the search writes it: a shorted capacitor as ``C -> inf``."""
    for parts, closed in ((statement.short, True), (statement.open, False)):
        if parts:
            return f"{parts[0]} -> {'inf' if closed == (network.element(parts[0]).law == 'capacitance') else '0'}"
    return statement.text
