"""What a result by hand is judged against: a question with its exact answer, the statements, the circuit.

Enters: a circuit that is prepared. Leaves: matters, with the answers of other questions on request.
Must not know: formulas by hand, slips, LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from derive.answers.records import Exact
from derive.approximate.records import Reduced, Resolved
from derive.approximate.reduce import Ground, reduce_answer
from derive.bias.records import Point
from derive.circuit.records import Circuit, Question
from derive.forms.laurent import Style
from derive.hand.worth import Side, side_of_answer
from derive.network.records import Network

MOST_SETS = 80
"""Sets of the file's statements that are tried, the smallest first."""


@dataclass(frozen=True)
class Matter:
    circuit: Circuit
    network: Network
    ground: Ground
    style: Style
    question: Question
    exact: Exact
    statements: Sequence[Resolved]
    point: Point | None = None
    """The bias point around which the network was built, where one was solved."""

    @cached_property
    def right(self) -> Side:
        """The exact answer as a side."""
        return side_of_answer(self.exact, self.ground.ring, self.ground.numbers)

    @cached_property
    def stated(self) -> tuple[tuple[tuple[int, ...], Reduced], ...]:
        """The answer under sets of the file's statements, with their numbers, smallest sets first; the whole set is
        among them."""
        useful = [s for s in self.statements if self._changes((s,))] or []
        sets: list[tuple[Resolved, ...]] = []
        for size in range(1, len(useful) + 1):
            sets += combinations(useful, size)
            if len(sets) > MOST_SETS:
                break
        sets = sets[:MOST_SETS]
        whole = tuple(self.statements)
        if whole and whole not in sets:
            sets.append(whole)
        return tuple((tuple(s.number for s in each), reduce_answer(self.exact, each, self.ground)) for each in sets)

    def _changes(self, statements: tuple[Resolved, ...]) -> bool:
        """Whether a statement changes the answer; ratios may do so only together, so all of them stay."""
        if statements[0].generators:
            return True
        reduced = reduce_answer(self.exact, statements, self.ground)
        return reduced.spectrum != self.exact.spectrum
