"""The whole worksheet: answers first, then the circuit, the assumptions, one section an answer, the method.

Enters: the analysis and what the second opinion said. Leaves: the document. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.derivation.wording import brief, error_words, holds_words
from derive.document.compose import answers, assumptions, care, circuit
from derive.document.compose.roots import unstable
from derive.document.records import Block, Document, Heading, Ledger, Notice, Paragraph, Row, TitleBlock
from derive.expression.tree import Infinite, Name
from derive.words import Formula, Line, Reading, Words


def compose(analysis: Analysis, opinion: Words, versions: Mapping[str, str]) -> Document:
    """The document of a worksheet."""
    about = analysis.circuit.about
    blocks: list[Block] = [*care.cautions(analysis.circuit), *_unstable(analysis), *assumptions.warnings(analysis)]
    blocks += _glance(analysis)
    blocks += circuit.blocks(analysis.circuit, analysis.network)
    blocks += assumptions.blocks(analysis)
    for derivation in analysis.derivations:
        blocks += answers.blocks(derivation, analysis)
    blocks += care.method(analysis, opinion)
    title = TitleBlock(
        about.title, about.purpose, about.owner, about.number, about.revision, about.date, about.author,
        about.approved, about.language,
    )  # fmt: skip
    colophon = (*versions.items(), ("description, sha256", analysis.circuit.source.sha256))
    return Document(title, tuple(blocks), colophon)


def _unstable(analysis: Analysis) -> list[Block]:
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


def _glance(analysis: Analysis) -> list[Block]:
    about = analysis.circuit.about
    words: Words = (
        "Numbers stand at ", Reading(float(about.spot), "Hz", 6, "stated"), "; the answers must hold from ",
        Reading(float(about.band[0]), "Hz", 6, "stated"), " to ", Reading(float(about.band[1]), "Hz", 6, "stated"), ".",
    )  # fmt: skip
    rows = tuple(_glance_row(derivation, about.spot) for derivation in analysis.derivations)
    return [Heading(1, ("Answers at a glance",)), Paragraph(words), Ledger(rows)]


def _glance_row(derivation: Derivation, spot: Fraction) -> Row:
    name = Name(derivation.question.name)
    unit = derivation.exact.inquiry.unit
    number: Words = (Reading(derivation.spot, unit, style="magnitude"),)
    reduced = derivation.approximate
    form = derivation.approximate_form if reduced is not None else derivation.form
    rule: Words = brief(derivation.question)
    note: Words = () if reduced is None else (*error_words(reduced.error), "; ", *holds_words(reduced.error))
    if reduced is not None and reduced.reduced.spectrum is not None and reduced.error.worst > 0:
        # The number beside an approximate form is that form's own; the exact one stands in the small print.
        note = ("exactly ", *number, "; ", *note)
        number = (Reading(reduced.reduced.spectrum.at_frequency(spot), unit, style="magnitude"),)
    if reduced is not None and reduced.reduced.spectrum is None:
        return Row(rule, (Line(name, "≈", Infinite()),), number, note, "approximate")
    sign = "=" if reduced is None or reduced.error.worst == 0 else "≈"
    if form is None or form.tree is None or not form.complete:
        left = reduced.reduced.terms if reduced is not None else derivation.exact.terms
        size: Words = (f"too long for one line ({left[0]:,} over {left[1]:,} terms); see its section",)
        return Row((Formula(name), ", ", *rule), (), number, (*size, *(("; ", *note) if note else ())), "remark")
    lines = [Line(name, sign, form.tree)]  # type: ignore[arg-type]
    lines += [Line(c.name, "=", c.tree) for c in form.coefficients if c.tree is not None]
    return Row(rule, tuple(lines), number, note, "equal" if sign == "=" else "approximate")
