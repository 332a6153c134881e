"""One connection cut and compared: each answer, the loop, the corners and the poles with it and without it.

Enters: a prepared circuit, a connection that is asked. Leaves: records. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import flint

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, answer, is_infinite
from derive.answers.inquire import Unanswerable, inquire, return_ratio
from derive.answers.records import Exact, Inquiry
from derive.approximate.axis import Square, crossings, frequency_of, place_of, polynomial
from derive.circuit.records import Connection, Gain, Question
from derive.derivation.analyse import Prepared
from derive.derivation.records import Shortened
from derive.derivation.short import Case, short_form
from derive.explain.loops import in_short, names_of
from derive.explain.margins import Margins, Sense, margins, sense_at
from derive.explain.natural import Natural, natural
from derive.explain.rewired import prepared_without
from derive.expression.tree import Name
from derive.forms.present import Form, present
from derive.structure.shortest import DEFAULT

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
    shortened: Shortened | None
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


def cut(prepared: Prepared, connection: Connection, main: str | None = None) -> Cut:
    """The comparison; ``main``: the controlled source whose loop is told where the author names none.

    An answer that has no meaning without the connection has a state without one. Raises TooLarge.
    """
    other = prepared_without(prepared, connection.part, connection.pin)
    within = connection.within or DEFAULT
    questions = [q for q in prepared.circuit.questions if q.name in connection.compare]
    loop = connection.loop or main
    poles = tuple(natural(p.network, p.ground.numbers) for p in (prepared, other))
    answers = tuple(_compared(question, prepared, other, within) for question in questions)
    return Cut(
        connection, answers, None if loop is None else _loop(loop, prepared, other, within), (poles[0], poles[1])
    )  # fmt: skip


def _compared(question: Question, whole: Prepared, without: Prepared, within: Fraction) -> Compared:
    def asked(prepared: Prepared) -> Inquiry:
        return inquire(question, prepared.network)

    def shorten(name: Name, exact: Exact, prepared: Prepared) -> Shortened | None:
        form = present(prepared.style, exact.ratio) if exact.ratio is not None else Form(None)
        statements = tuple(
            s for s in prepared.statements if not s.statement.questions or question.name in s.statement.questions
        )
        named = Question(name.name, question.ask, question.path, within)
        return short_form(Case(named, exact, form, None, None, statements), prepared.ground, prepared.style)

    states = [
        _state(Name(name), prepared, asked, shorten, isinstance(question.ask, Gain))
        for name, prepared in ((question.name, whole), (f"{question.name}_{CUT}", without))
    ]
    unit = next((s.exact.inquiry.unit for s in states if s.exact is not None), "1")
    return Compared(question.name, type(question.ask).__name__, unit, states[0], states[1])


def _loop(of: str, whole: Prepared, without: Prepared, within: Fraction) -> LoopCompared:
    def asked(prepared: Prepared) -> Inquiry:
        return return_ratio(of, prepared.network, of)

    def shorten(name: Name, exact: Exact, prepared: Prepared) -> Shortened | None:
        return in_short(name, of, exact, prepared, within)

    name = names_of(whole)[of]
    states = [
        _state(called, prepared, asked, shorten, False)
        for called, prepared in ((name, whole), (Name(f"{name.name}_{CUT}"), without))
    ]
    spot = whole.ground.spot
    senses = [None if s.exact is None else sense_at(s.exact.spectrum, spot) for s in states]
    found = [None if s.exact is None else margins(s.exact.spectrum) for s in states]
    compared = Compared(name.name, "ReturnRatio", "1", states[0], states[1])
    # A source that acts on nothing once the connection is cut has no return ratio left: T = 0.
    sizes = [abs(1 + (s.spot or 0)) for s in states]
    adds: Sense = "none" if abs(sizes[0] - sizes[1]) <= SAME * sizes[1] else "positive"
    if adds == "positive" and sizes[0] > sizes[1]:
        adds = "negative"
    return LoopCompared(of, compared, (senses[0], senses[1]), (found[0], found[1]), adds)


SAME = 1e-9
"""Relative difference of |1 + T| below which a connection adds nothing."""


def _state(
    name: Name,
    prepared: Prepared,
    asked: Callable[[Prepared], Inquiry],
    shorten: Callable[[Name, Exact, Prepared], Shortened | None],
    is_gain: bool,
) -> State:
    nothing: tuple[float | None, float | None] = (None, None)
    try:
        inquiry = asked(prepared)
        if is_infinite(inquiry):
            return State(None, None, nothing, None, True)
        exact = answer(inquiry, prepared.ground.numbers, prepared.ground.ring)
    except (Unanswerable, NoSolution):
        return State(None, None, nothing, None)
    spot = exact.spectrum.at_frequency(prepared.ground.spot)
    found = corners(exact.spectrum, prepared.ground.spot) if is_gain else nothing
    short = shorten(name, exact, prepared) if any(exact.spectrum.numerator) else None
    return State(exact, spot, found, short)


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
