"""The loops of a circuit: for each controlled source its return ratio, sense, margins, and what nests with it.

Enters: a prepared circuit. Leaves: records. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import log

from derive.answers.exact import NoSolution, answer
from derive.answers.inquire import return_ratio
from derive.answers.records import Exact
from derive.circuit.records import Question, ReturnRatio
from derive.derivation.analyse import Prepared
from derive.derivation.records import Shortened
from derive.derivation.short import Case, short_form
from derive.explain.margins import Critical, Margins, Sense, margins, sense_at
from derive.explain.natural import Natural, natural
from derive.explain.nesting import Nested, nested
from derive.explain.thresholds import LOOP
from derive.expression.tree import Name
from derive.forms.present import Form, present
from derive.network.records import Element
from derive.structure.shortest import DEFAULT


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
    shortened: Shortened | None = None

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
    """The sources whose return ratio the author asks for, in the order of the questions."""

    @property
    def main(self) -> Loop | None:
        """The first that the author asks for, else the one with the largest |T| at the spot; None where none counts."""
        counted = [loop for loop in self.loops if loop.counts]
        chosen = [loop for of in self.asked for loop in counted if loop.of == of]
        return next(iter((*chosen, *counted)), None)

    def of(self, source: str) -> Loop | None:
        return next((loop for loop in self.loops if loop.of == source), None)


def steady(loop: Loop) -> Critical | None:
    """Where the loop would oscillate steadily with the least change of its source: the factor nearest to one."""
    found = [place for place in loop.margins.critical if place.frequency > 0]
    return min(found, key=lambda place: abs(log(place.factor)), default=None)


def find_loops(prepared: Prepared, written: Collection[str] | None = None) -> Loops:
    """The loops of a circuit; ``written``: the sources whose T is wanted as a formula (None: those that count).

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
    return Loops(tuple(_written(loop, prepared, written) for loop in found), poles, asked)


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


def _written(loop: Loop, prepared: Prepared, written: Collection[str] | None) -> Loop:
    """The loop with T as a formula, in short where it is long."""
    wanted = loop.counts if written is None else loop.of in written
    if not wanted or not any(loop.exact.spectrum.numerator):
        return loop
    return Loop(**{**loop.__dict__, "shortened": in_short(loop.name, loop.of, loop.exact, prepared)})


def in_short(name: Name, of: str, exact: Exact, prepared: Prepared, within: Fraction = DEFAULT) -> Shortened | None:
    """T in short within an error over the band: by structure, under the statements that hold for all questions."""
    question = Question(name.name, ReturnRatio(of), (), within)
    form = present(prepared.style, exact.ratio) if exact.ratio is not None else Form(None)
    statements = tuple(s for s in prepared.statements if not s.statement.questions)
    case = Case(question, exact, form, None, None, statements)
    return short_form(case, prepared.ground, prepared.style)
