"""Everything that is told of how a circuit works, in order: one list of chapters.

Enters: a prepared circuit. Leaves: chapters of sentences. Must not know: LaTeX, pages, terminals.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from derive.answers.exact import answer, is_infinite
from derive.answers.inquire import inquire
from derive.circuit.records import Gain, Impedance, Question
from derive.derivation.analyse import Prepared, placed
from derive.derivation.budget import port_shares
from derive.derivation.chain import chain
from derive.derivation.solution import Solution
from derive.derivation.wording import brief
from derive.explain.explain import explain
from derive.explain.port_words import port_sentences
from derive.explain.stage_words import stage_sentences
from derive.explain.words import Chapter, chapters
from derive.expression.tree import Name
from derive.spoken import spoken
from derive.words import Formula, Reading, Words


def story(prepared: Prepared, of: str | None = None) -> Iterator[Chapter]:
    """The chapters on each gain and each impedance, or on the one question ``of``. Raises DescriptionError."""
    for question in prepared.circuit.questions:
        if of is not None and question.name != of:
            continue
        with placed(prepared.circuit, question):
            if isinstance(question.ask, Gain):
                yield from _of_gain(question, prepared)
            elif isinstance(question.ask, Impedance):
                yield from _of_port(question, prepared)


def _of_gain(question: Question, prepared: Prepared) -> Iterator[Chapter]:
    ground = prepared.ground
    found = explain(question, prepared.circuit, prepared.network, ground)
    if found is None:
        yield Chapter(_title(question), (("The output does not move.",),))
        return
    first, *rest = chapters(found)
    yield replace(first, title=f"{_title(question)}. {first.title}")
    yield from rest
    solution = Solution(inquire(question, prepared.network), ground.numbers, ground.ring, ground.spot)
    exact = answer(solution.inquiry, ground.numbers, ground.ring)
    statements = [s for s in prepared.statements if not s.statement.questions or question.name in s.statement.questions]
    stages = chain(solution, prepared.style, statements, ground, exact.spectrum)
    if stages is not None:
        yield Chapter("Stage by stage", tuple(stage_sentences(question.name, stages, ground.spot)))


def _of_port(question: Question, prepared: Prepared) -> Iterator[Chapter]:
    ground = prepared.ground
    inquiry = inquire(question, prepared.network)
    if is_infinite(inquiry):
        yield Chapter(_title(question), (("Whatever the numbers, no current flows: it is infinite.",),))
        return
    exact = answer(inquiry, ground.numbers, ground.ring)
    value = Reading(exact.spectrum.at_frequency(ground.spot), "Ω", style="magnitude")
    at: Words = (" at ", Reading(float(ground.spot), "Hz", 6, "stated"))
    sentences: list[Words] = [(Formula(Name(question.name)), " is ", value, *at, ".")]
    solution = Solution(inquiry, ground.numbers, ground.ring, ground.spot)
    shares = port_shares(solution, None)
    if shares:
        sentences += port_sentences(solution.node(inquiry.port[0]), shares, ground.band, ground.spot)
    yield Chapter(_title(question), tuple(sentences))


def _title(question: Question) -> str:
    return f"{question.name}, {spoken(brief(question))}"
