"""The loops of a circuit: for each controlled source its return ratio, sense, margins, and what nests with it.

Enters: a prepared circuit. Leaves: records. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import log
from typing import TYPE_CHECKING

from derive.answers.exact import NoSolution, answer
from derive.answers.inquire import return_ratio
from derive.answers.records import Exact
from derive.circuit.records import ReturnRatio
from derive.explain.chief import chief_of_first_gain
from derive.explain.margins import Critical, Margins, Sense, margins, sense_at
from derive.explain.natural import Natural, natural
from derive.explain.nesting import Nested, nested
from derive.explain.thresholds import LOOP
from derive.explain.written import Written, written
from derive.expression.tree import Name
from derive.network.records import Element

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared


@dataclass(frozen=True)
class Loop:
    """What goes round one controlled source.

    ``name``: what its T is called. ``opened``: the natural frequencies with the source dead; where one lies in the
    right half plane, margins of T say nothing by themselves. ``encirclements``: how often T's curve goes round -1
    clockwise, poles of the closed loop less those with the source dead in the right half plane (Nyquist); None where
    one lies on the axis. ``nested``: the sources whose dead state changes T.
    """

    element: Element
    name: Name
    exact: Exact
    spot: complex
    sense: Sense
    margins: Margins
    opened: Natural | None
    encirclements: int | None
    nested: tuple[Nested, ...]
    written: Written | None = None

    @property
    def of(self) -> str:
        return self.element.name

    def value(self, numbers: Mapping[str, Fraction]) -> float | None:
        """The source's own number: its transconductance in siemens, an op amp's gain where it has no other pole."""
        if self.element.symbol is not None:
            return float(numbers[self.element.symbol])
        owner = self.element.owner
        gain = numbers.get(f"a0_{owner}")
        return float(gain) if gain is not None and f"tau_{owner}" not in numbers else None

    @property
    def counts(self) -> bool:
        """Whether |T| reaches the size from which a loop is worth opening, at the spot or where |T| crosses one."""
        return abs(self.spot) >= LOOP or bool(self.margins.unity)


@dataclass(frozen=True)
class Loops:
    """All loops, those with the largest |T| at the spot first; ``natural``: the poles of the whole network."""

    loops: tuple[Loop, ...]
    natural: Natural | None
    asked: tuple[str, ...] = ()
    """The chief source of the first gain, then those whose return ratio the author asks for."""

    @property
    def main(self) -> Loop | None:
        """The chief's, else the first that is asked for, else that with the largest |T|; None where none counts."""
        counted = [loop for loop in self.loops if loop.counts]
        chosen = [loop for of in self.asked for loop in counted if loop.of == of]
        return next(iter((*chosen, *counted)), None)

    def of(self, source: str) -> Loop | None:
        return next((loop for loop in self.loops if loop.of == source), None)


def steady(loop: Loop) -> Critical | None:
    """Where the loop would oscillate steadily with the least change of its source: the factor nearest to one."""
    found = [place for place in loop.margins.critical if place.frequency > 0]
    return min(found, key=lambda place: abs(log(place.factor)), default=None)


def find_loops(
    prepared: Prepared, wanted: Collection[str] | None = None, known: Mapping[str, Written | None] | None = None
) -> Loops:
    """The loops of a circuit; ``wanted``: the sources whose T is told as a formula (None: those that count);
    ``known``: formulas that are found already, by name.

    A source without a finite return ratio is left out. Raises TooLarge.
    """
    network, ground = prepared.network, prepared.ground
    poles = natural(network, ground.numbers)
    pairs = nested(network, ground.numbers, ground.spot or ground.band[0])
    names = names_of(prepared)
    found = []
    for element in network.elements:
        if not element.controlled:
            continue
        try:
            exact = answer(return_ratio(element.name, network, element.name), ground.numbers, ground.ring)
        except NoSolution:
            continue
        opened = natural(network.delete(element.name), ground.numbers)
        loop = Loop(
            element,
            names[element.name],
            exact,
            exact.spectrum.at_frequency(ground.spot),
            sense_at(exact.spectrum, ground.spot),
            margins(exact.spectrum),
            opened,
            _encirclements(poles, opened),
            tuple(pair for pair in pairs if pair.of == element.name),
        )
        found.append(loop)
    found.sort(key=lambda loop: -abs(loop.spot))
    asked = tuple(q.ask.of for q in prepared.circuit.questions if isinstance(q.ask, ReturnRatio))
    chief = chief_of_first_gain(prepared.circuit, network, ground)
    asked = (*((chief,) if chief is not None else ()), *asked)
    return Loops(tuple(_written(loop, prepared, wanted, known or {}) for loop in found), poles, asked)


def names_of(prepared: Prepared) -> dict[str, Name]:
    """What the return ratio of each source is called: as its author's question, else T and the part, or the source."""
    sources = [element for element in prepared.network.elements if element.controlled]
    asked = {q.ask.of: q.name for q in prepared.circuit.questions if isinstance(q.ask, ReturnRatio)}
    owners = [element.owner for element in sources]
    return {
        e.name: Name(asked.get(e.name) or f"T_{e.owner if owners.count(e.owner) == 1 else e.name}") for e in sources
    }


def _encirclements(closed: Natural | None, opened: Natural | None) -> int | None:
    if closed is None or opened is None or closed.axis or opened.axis or closed.at_zero != opened.at_zero:
        return None
    return len(closed.right) - len(opened.right)


def _written(
    loop: Loop, prepared: Prepared, wanted: Collection[str] | None, known: Mapping[str, Written | None]
) -> Loop:
    """The loop with T as a formula, under the statements that hold for all questions."""
    if not (loop.counts if wanted is None else loop.of in wanted):
        return loop
    if loop.name.name in known:
        return replace(loop, written=known[loop.name.name])
    statements = tuple(s for s in prepared.statements if not s.statement.questions)
    made = written(loop.name, ReturnRatio(loop.of), loop.exact, prepared, statements)
    return replace(loop, written=made)
