"""Feedback theory and its kin for one question: the second road to each answer.

Enters: what was prepared for a circuit, a question. Leaves: one record with all that applies to the question.
Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from derive.answers.exact import is_infinite
from derive.answers.inquire import inquire
from derive.answers.records import Exact
from derive.circuit.records import Gain, Impedance, Question
from derive.derivation.analyse import Prepared, placed
from derive.explain.asymptotic import Asymptotic, asymptotic
from derive.explain.blackman import Blackman, NoProduct, blackman
from derive.explain.bootstraps import Bootstraps, bootstraps
from derive.explain.chief import chief_of, element_of
from derive.explain.constants import TimeConstants, time_constants
from derive.explain.derived import Bench
from derive.explain.error_voltage import ErrorVoltage, error_voltages
from derive.explain.extra import Extra, extra
from derive.explain.roots import Roots, owned_roots
from derive.explain.sources import loop_of_impedance
from derive.network.records import Element

SEARCHED = 25
"""Elements of a network up to which time constants, error voltages and bootstraps get short forms too: each takes a
second where a network is larger."""


@dataclass(frozen=True)
class Theory:
    """``loop``: the controlled source of the feedback formulas, or None where none closes a loop that matters.
    ``around``: the asymptotic gain formula of a gain, Blackman's of an impedance. ``constants`` and ``errors`` are
    those of a gain.
    """

    question: Question
    exact: Exact
    loop: str | None
    around: Asymptotic | Blackman | NoProduct | None
    extra: Extra | None
    constants: TimeConstants | None
    errors: tuple[ErrorVoltage, ...]
    roots: Roots
    bootstraps: Bootstraps


def theory(prepared: Prepared, question: Question, *, thorough: bool = True) -> Theory | None:
    """The second road of a gain or an impedance; None for other questions and for an infinite answer.

    ``thorough``: whether short forms are searched for where exact ones cannot be read. Raises Unanswerable for a source
    or a part that the network does not hold, Defect when a check fails, TooLarge.
    """
    if not isinstance(question.ask, Gain | Impedance):
        return None
    inquiry = inquire(question, prepared.network)
    if is_infinite(inquiry):
        return None
    statements = tuple(
        s for s in prepared.statements if not s.statement.questions or question.name in s.statement.questions
    )
    bench = Bench(prepared, statements, thorough)
    brief = replace(bench, thorough=thorough and len(inquiry.network.elements) <= SEARCHED)
    exact = bench.exact(inquiry)
    gain = isinstance(question.ask, Gain)
    source = _source(question, exact, prepared)
    part = None if question.extra is None else element_of(question.extra, inquiry.network)
    chosen = question.loop is not None
    build: Callable[[str, Exact, Element, bool, Bench], Asymptotic | Blackman | NoProduct | None]
    build = asymptotic if gain else blackman
    return Theory(
        question,
        exact,
        None if source is None else source.name,
        None if source is None else build(question.name, exact, source, chosen, bench),
        None if part is None else extra(question.name, exact, part, bench),
        time_constants(question.name, exact, brief) if gain else None,
        error_voltages(exact, brief) if gain else (),
        owned_roots(question.name, exact, prepared.ground),
        bootstraps(question.name, exact, brief),
    )


def theories(prepared: Prepared, *, thorough: bool = True) -> tuple[Theory, ...]:
    """Those of all questions that have one, in the order of the description.

    Raises DescriptionError with the line of the question where a source or a part that it names is not in the network.
    """
    found = []
    for question in prepared.circuit.questions:
        with placed(prepared.circuit, question):
            found.append(theory(prepared, question, thorough=thorough))
    return tuple(one for one in found if one is not None)


def _source(question: Question, exact: Exact, prepared: Prepared) -> Element | None:
    if isinstance(question.ask, Gain):
        return chief_of(question, exact.inquiry, prepared.circuit, prepared.ground)
    if question.loop is not None:
        return element_of(question.loop, exact.inquiry.network)
    return loop_of_impedance(exact.inquiry, prepared.ground)
