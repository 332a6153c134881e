"""The whole worksheet: answers first, then the circuit, the assumptions, one section an answer, the method.

Enters: the analysis and what the second opinion said. Leaves: the document. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from derive.circuit.records import About, Gain, Question, ReturnRatio
from derive.derivation.analysis import Analysis
from derive.derivation.analysis import Infinite as Unbounded
from derive.derivation.records import Derivation
from derive.derivation.wording import brief, error_words, holds_words
from derive.document.compose import (
    answers,
    assumptions,
    bench,
    bias,
    care,
    certified,
    circuit,
    criteria,
    drawn,
    explain,
    hand,
    loops,
    short,
    solving,
    studies,
    theory,
    tolerance,
)
from derive.document.compose.roots import unstable
from derive.document.records import Block, Document, Heading, Ledger, Notice, Paragraph, Row, TitleBlock
from derive.drawing.records import Drawing
from derive.explain.insight import Insight
from derive.expression.tree import Infinite, Name
from derive.forms.present import Form
from derive.numbers import of_terms
from derive.words import Formula, Line, Reading, Words

FEW = 2
"""Named coefficients up to which all are shown among the answers at a glance."""


def compose(
    analysis: Analysis,
    opinion: Words,
    versions: Mapping[str, str],
    insight: Insight | None = None,
    drawing: Drawing | str | None = None,
    small: Mapping[str, Drawing] = MappingProxyType({}),
) -> Document:
    """The document of a worksheet.

    ``insight``: how the circuit works, where that was looked at. ``drawing``: the drawn circuit, why there is none, or
    None where none is wanted. ``small``: drawings of the network, under "" whole, by
    question as its limits leave it.
    """
    about = analysis.circuit.about
    blocks: list[Block] = [*care.cautions(analysis.circuit, analysis.bias), *bias.notices(analysis)]
    survey = insight.survey if insight is not None else None
    alarm = loops.loop_notices(survey) if survey is not None else []
    blocks += [*(alarm or unstable_notices(analysis)), *assumptions.warnings(analysis), *hand.warnings(analysis)]
    blocks += [*bench.warnings(analysis), *criteria.warnings(analysis), *solving.warnings(analysis)]
    blocks += glance(analysis)
    opening = circuit.parts(analysis.circuit, analysis.network)
    blocks += [*opening[:2], *drawn.figure(analysis, drawing), *drawn.photograph(analysis), *opening[2:]]
    blocks += _variants(analysis)
    section = bias.blocks(analysis)
    blocks += [*section, *circuit.symbols(analysis.circuit, analysis.network, apart=bool(section))]
    blocks += drawn.equivalent(small)
    blocks += explain.blocks(analysis, insight, drawing)
    blocks += assumptions.blocks(analysis)
    derived = {d.question.name: d for d in analysis.derivations}
    infinite = {found.question.name: found for found in analysis.infinite}
    for question in analysis.circuit.questions:
        if question.name in derived:
            blocks += drawn.with_reduced(question.name, answers.blocks(derived[question.name], analysis), small)
            if insight is not None and question.name in insight.theories:
                blocks += theory.blocks(insight.theories[question.name], float(about.spot))
            for number, judged in enumerate(j for j in analysis.hands if j.question is question):
                blocks += hand.blocks(judged, number + 1, analysis)
        else:
            blocks += _infinite_section(infinite[question.name])
    if survey is not None:
        blocks += loops.loop_blocks(survey, analysis.ground, _zeros(analysis))
    for study in analysis.studies:
        blocks += studies.blocks(study)
    blocks += [*tolerance.blocks(analysis), *solving.blocks(analysis), *bench.blocks(analysis)]
    blocks += care.method(analysis, opinion)
    colophon = (*versions.items(), ("description, sha256", analysis.circuit.source.sha256))
    return Document(title_of(about), tuple(blocks), colophon)


def title_of(about: About) -> TitleBlock:
    """The title block."""
    return TitleBlock(
        about.title, about.purpose, about.owner, about.number, about.revision, about.date, about.author,
        about.approved, about.language,
    )  # fmt: skip


def _zeros(analysis: Analysis) -> tuple[complex, ...]:
    """The zeros of the first gain, in rad/s."""
    gains = (d for d in analysis.derivations if isinstance(d.question.ask, Gain))
    return next((d.exact.spectrum.zeros for d in gains), ())


def _variants(analysis: Analysis) -> list[Block]:
    """That the description holds other circuits besides, which are not on this sheet."""
    names = analysis.circuit.wanted.variants
    if not names:
        return []
    words = f"The description has variants besides ({', '.join(names)}), which are not derived here: derive compare "
    return [Paragraph((words + "sets them side by side with this circuit.",))]


def unstable_notices(analysis: Analysis) -> list[Block]:
    """That some answer has a pole in the right half plane."""
    closed = [d for d in analysis.derivations if d.exact.inquiry.factor is None]
    names = [d.question.name for d in closed if unstable(d.exact.spectrum)]
    if not names:
        return []
    which = " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]
    words = (
        f"A pole of {which} lies in the right half plane: the circuit runs away or oscillates by itself, and responses "
        "over frequency mean nothing then.",
    )
    return [Notice("warning", words)]


def glance(analysis: Analysis) -> list[Block]:
    """The answers at a glance."""
    about = analysis.circuit.about
    band = (Reading(float(about.band[0]), "Hz", 6, "stated"), " to ", Reading(float(about.band[1]), "Hz", 6, "stated"))
    words: Words = ("Numbers are for ", Reading(float(about.spot), "Hz", 6, "stated"), "; the band is ", *band, ".")
    derived = {d.question.name: d for d in analysis.derivations}
    rows = tuple(
        replace(
            glance_row(derived[question.name], about.spot) if question.name in derived else _infinite_row(question),
            link=question.name,
        )
        for question in analysis.circuit.questions
    )
    rows += tuple(studies.glance(study) for study in analysis.studies)
    return [Heading(1, ("Answers at a glance",)), Paragraph(words), Ledger(rows)]


def _infinite_row(question: Question) -> Row:
    return Row(brief(question), (Line(Name(question.name), "=", Infinite()),), ("infinite",))


def _infinite_section(found: Unbounded) -> list[Block]:
    name = Formula(Name(found.question.name))
    why = "Whatever the numbers, no current flows"
    if isinstance(found.question.ask, ReturnRatio):
        why = "Whatever the numbers, what comes back is without bound"
    return [
        Heading(1, (name, ": ", *brief(found.question)), found.question.name),
        Paragraph(found.asked),
        Paragraph((f"{why}: the answer is infinite.",)),
    ]


def glance_row(derivation: Derivation, spot: Fraction) -> Row:
    """An answer in one row: form, number, error."""
    name = Name(derivation.question.name)
    unit = derivation.exact.inquiry.unit
    number: Words = (Reading(derivation.spot, unit, style="magnitude"),)
    rule: Words = brief(derivation.question)
    shortest = short.glance(derivation, rule, spot)
    if shortest is not None:
        return shortest
    reduced = derivation.approximate
    if reduced is None or not any(effect.used for effect in reduced.effects):
        return _form_row(name, rule, "=", derivation.form, number, (), derivation.exact.terms)
    note: Words = (*error_words(reduced.error), "; ", *holds_words(reduced.error))
    if reduced.reduced.spectrum is None:
        return Row(rule, (Line(name, "≈", Infinite()),), ("infinite",), ("exact answer ", *number), "approximate")
    # The number beside an approximate form is that form's own; the exact one stands in the small print.
    note = ("exact answer ", *number, "; ", *note, *certified.at_a_glance(reduced.certified))
    number = (Reading(reduced.reduced.spectrum.at_frequency(spot), unit, style="magnitude"),)
    return _form_row(name, rule, "≈", derivation.approximate_form, number, note, reduced.reduced.terms)


def _form_row(
    name: Name,
    rule: Words,
    sign: Literal["=", "≈"],
    form: Form | None,
    number: Words,
    note: Words,
    terms: tuple[int, int],
) -> Row:
    """A row with the form, or with as much of it as can be read."""
    if form is None or form.tree is None:
        size = f"too long to read ({of_terms(terms)})"
        return Row((Formula(name), ", ", *rule), (), number, (size, *(("; ", *note) if note else ())), "remark")
    lines = [Line(name, sign, form.tree)]
    # The leading value is what a reader looks for; a longer list of coefficients is left to the section.
    shown = [
        c
        for c in form.coefficients
        if c.tree is not None and (c.name.name.endswith("_0") or len(form.coefficients) <= FEW)
    ]
    lines += [Line(c.name, "=", c.tree) for c in shown if c.tree is not None]
    if len(shown) < len(form.coefficients):
        note = ("the other coefficients stand in its section", *(("; ", *note) if note else ()))
    return Row(rule, tuple(lines), number, note, "equal" if sign == "=" else "approximate")
