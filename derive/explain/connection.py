"""One connection cut and compared: each answer, the loop, the corners and the poles with it and without it.

Enters: a prepared circuit, a connection that is asked. Leaves: records. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

import flint

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, answer, is_infinite
from derive.answers.inquire import Unanswerable, inquire
from derive.answers.records import Exact
from derive.approximate.axis import Square, crossings, frequency_of, place_of, polynomial
from derive.circuit.records import Ask, Connection, Gain, Question, ReturnRatio
from derive.explain.loops import names_of
from derive.explain.margins import Margins, Sense, margins, sense_at
from derive.explain.natural import Natural, natural
from derive.explain.rewired import prepared_without
from derive.explain.written import Written, written
from derive.expression.tree import Name

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared

MATTERS = 0.01
"""What changes by no more than this part of itself counts as left as it is."""
HALF = flint.fmpq(1, 2)
"""The square of what is left of a response at its corner, beside that at the spot: 3.01 dB."""
CUT = "cut"
"""What the name of an answer ends in where the connection is cut."""


@dataclass(frozen=True)
class State:
    """An answer in one state of the connection; ``corners``: where a gain has fallen to 1/√2 of that at the spot, below
    and above it (Hz, None for never). ``infinite``: whatever the numbers."""

    exact: Exact | None
    spot: complex | None
    corners: tuple[float | None, float | None]
    written: Written | None
    infinite: bool = False


@dataclass(frozen=True)
class Compared:
    """One question's answer with the connection as it is and with it cut."""

    name: str
    kind: str
    unit: str
    whole: State
    cut: State

    @property
    def factor(self) -> float | None:
        """By what the connection multiplies the size of the answer at the spot; None without two finite numbers."""
        if not self.whole.spot or not self.cut.spot:
            return None
        return abs(self.whole.spot) / abs(self.cut.spot)

    @property
    def changed(self) -> bool:
        """Whether the connection changes the size of the answer by more than MATTERS."""
        return self.factor is None or abs(self.factor - 1) > MATTERS


@dataclass(frozen=True)
class LoopCompared:
    """The return ratio of ``of`` with the connection and without; ``adds``: the sense of what the connection adds, by
    which of the two |1 + T| is larger at the spot."""

    of: str
    answer: Compared
    senses: tuple[Sense | None, Sense | None]
    margins: tuple[Margins | None, Margins | None]
    adds: Sense


@dataclass(frozen=True)
class Cut:
    """All that one connection does."""

    connection: Connection
    answers: tuple[Compared, ...]
    loop: LoopCompared | None
    natural: tuple[Natural | None, Natural | None]


def cut(
    prepared: Prepared,
    connection: Connection,
    main: str | None = None,
    known: dict[str, Written | None] | None = None,
    formulas: bool = True,
) -> Cut:
    """The comparison; ``main``: the controlled source whose loop is told where the author names none.

    Formulas are looked for where an answer changes by more than MATTERS; ``known`` keeps those of the whole circuit
    from one comparison to the next, by name; without ``formulas`` there are numbers alone. An answer that has no
    meaning without the connection has a state without one. Raises TooLarge.
    """
    sides = _Sides(
        prepared,
        prepared_without(prepared, connection.part, connection.pin),
        connection,
        {} if known is None else known,
        formulas,
    )
    loop = connection.loop or main
    poles = [natural(p.network, p.ground.numbers) for p in (sides.whole, sides.without)]
    questions = [q for q in prepared.circuit.questions if q.name in connection.compare]
    answers = tuple(
        _compared(q.name, q.ask, sides) for q in questions if not (isinstance(q.ask, ReturnRatio) and q.ask.of == loop)
    )
    return Cut(connection, answers, None if loop is None else _loop(loop, sides), (poles[0], poles[1]))


@dataclass(frozen=True)
class _Sides:
    """The circuit with the connection and without; formulas of the whole that are known; whether any are wanted."""

    whole: Prepared
    without: Prepared
    connection: Connection
    known: dict[str, Written | None]
    formulas: bool


def _compared(name: str, ask: Ask, sides: _Sides) -> Compared:
    is_gain = isinstance(ask, Gain)
    whole, without = (_state(name, ask, side, is_gain) for side in (sides.whole, sides.without))
    unit = next((s.exact.inquiry.unit for s in (whole, without) if s.exact is not None), "1")
    compared = Compared(name, type(ask).__name__, unit, whole, without)
    if not compared.changed or not sides.formulas:
        return compared
    within = sides.connection.within
    if within is not None:
        form = _write(name, name, ask, whole, sides.whole, within)
    elif name in sides.known:
        form = sides.known[name]
    else:
        form = sides.known[name] = _write(name, name, ask, whole, sides.whole, within)
    other = _write(f"{name}_{CUT}", name, ask, without, sides.without, within)
    return replace(
        compared, whole=replace(whole, written=form), cut=replace(without, written=other)
    )  # fmt: skip


def _loop(of: str, sides: _Sides) -> LoopCompared:
    known = names_of(sides.whole).get(of)
    name = f"T_{of}" if known is None else known.name
    compared = _compared(name, ReturnRatio(of), sides)
    states = (compared.whole, compared.cut)
    spot = sides.whole.ground.spot
    senses = [None if s.exact is None else sense_at(s.exact.spectrum, spot) for s in states]
    found = [None if s.exact is None else margins(s.exact.spectrum) for s in states]
    # A source that acts on nothing once the connection is cut has no return ratio left: T = 0.
    adds = added_sense(states[0].spot or 0, states[1].spot or 0)
    return LoopCompared(of, compared, (senses[0], senses[1]), (found[0], found[1]), adds)


def added_sense(whole: complex, without: complex) -> Sense:
    """Negative where |1 + T| is larger with the connection than without it, none where both differ by no more than
    MATTERS of the smaller."""
    one, other = abs(1 + whole), abs(1 + without)
    if one == other or abs(one - other) <= MATTERS * min(one, other):
        return "none"
    return "negative" if one > other else "positive"


def _write(
    named: str, name: str, ask: Ask, state: State, prepared: Prepared, within: Fraction | None
) -> Written | None:
    if state.exact is None:
        return None
    statements = tuple(s for s in prepared.statements if not s.statement.questions or name in s.statement.questions)
    return written(Name(named), ask, state.exact, prepared, statements, within)


def _state(name: str, ask: Ask, prepared: Prepared, is_gain: bool) -> State:
    nothing: tuple[float | None, float | None] = (None, None)
    try:
        inquiry = inquire(Question(name, ask, ()), prepared.network)
        if is_infinite(inquiry):
            return State(None, None, nothing, None, True)
        exact = answer(inquiry, prepared.ground.numbers, prepared.ground.ring)
    except (Unanswerable, NoSolution):
        return State(None, None, nothing, None)
    spot = exact.spectrum.at_frequency(prepared.ground.spot)
    found = corners(exact.spectrum, prepared.ground.spot) if is_gain else nothing
    return State(exact, spot, found, None)


def corners(spectrum: Spectrum, spot: Fraction) -> tuple[float | None, float | None]:
    """The frequencies in Hz next below and above the spot at which |H| is 1/√2 of that at the spot; exact roots.

    None where it never falls so far on that side, and on both where it is zero or infinite at the spot.
    """
    square = Square.of(polynomial(spectrum.numerator), polynomial(spectrum.denominator))
    place = place_of(spot)
    size = square.at(place)
    if not size:
        return None, None
    places = crossings(square.above - HALF * size * square.below)
    below, above = [x for x in places if x < place], [x for x in places if x > place]
    return (frequency_of(below[-1]) if below else None, frequency_of(above[0]) if above else None)
