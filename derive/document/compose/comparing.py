"""The sheet that sets circuits side by side: answers, plots, parts, assumptions, derivations, costs, the choice.

Enters: analyses by name, the choice. Leaves: the document. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isfinite

import numpy as np

from derive.approximate.error import grid
from derive.comparing.differences import StepDifference, cost, derivations_of, parts_that_differ, steps_that_differ
from derive.derivation.analysis import Analysis
from derive.derivation.wording import brief, label, statement_words, verdict
from derive.document.compose.answers import BEYOND, varies
from derive.document.compose.criteria import wanted_words
from derive.document.compose.phrases import NOTHING, change, several
from derive.document.compose.worksheet import glance_row
from derive.document.figures import Overlay, Trace
from derive.document.records import Block, Column, Document, Heading, Ledger, Notice, Paragraph, Table, TitleBlock
from derive.expression.tree import Name
from derive.words import Code, Formula, Node, Reading, Strong, Words

STEPS = 6
"""Steps listed that stand on one side only; the worksheets have all."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Choice:
    """The author's question, decision (the name of an option) and reasons; ``options``: what is said of each."""

    question: str
    decision: str
    because: str
    options: Mapping[str, str]


def compose_comparison(
    analyses: Mapping[str, Analysis], said: Mapping[str, str | None], choice: Choice | None, versions: Mapping[str, str]
) -> Document:
    """The document of a comparison; the first analysis is what the others are measured against."""
    first = next(iter(analyses.values()))
    about = first.circuit.about
    blocks: list[Block] = [*_choice(choice, analyses)]
    blocks += [Heading(1, ("Side by side",)), Paragraph(_legend(analyses, said)), *_answers(analyses)]
    blocks += _plots(analyses)
    blocks += [*_parts(analyses), *_assumptions(analyses), *_steps(analyses), *_costs(analyses)]
    blocks += [*_criteria(analyses), *_limits()]
    title = TitleBlock(about.title, about.purpose, about.owner, about.number, about.revision, about.date, about.author,
                       about.approved, about.language, "Comparison")  # fmt: skip
    hashes = dict.fromkeys(analysis.circuit.source.sha256 for analysis in analyses.values())
    colophon = (*versions.items(), *(("description, sha256", sha) for sha in hashes))
    return Document(title, tuple(blocks), colophon)


def _legend(analyses: Mapping[str, Analysis], said: Mapping[str, str | None]) -> Words:
    words: Words = ()
    for place, name in enumerate(analyses):
        told = f" ({said[name]})" if said.get(name) else ""
        words = (*words, "; " if place else "", f"{LETTERS[place % 26]}: ", Strong(name), told)
    spot = next(iter(analyses.values())).circuit.about.spot
    return (*words, ". Each was derived by itself, with a bias point of its own; numbers are for ",
            Reading(float(spot), "Hz", 6, "stated"), ".")  # fmt: skip


def _answers(analyses: Mapping[str, Analysis]) -> list[Block]:
    """For each question a ledger with the form and number of every circuit."""
    found: list[Block] = []
    for question, derivations in derivations_of(analyses).items():
        rows = []
        for name in analyses:
            if name in derivations:
                derivation = derivations[name]
                row = glance_row(derivation, analyses[name].circuit.about.spot)
                rows.append(replace(row, rule=(Strong(name),)))
        reference = next(iter(derivations.values()))
        missing = [name for name in analyses if name not in derivations]
        found += [Heading(2, (Formula(Name(question)), ": ", *brief(reference.question))), Ledger(tuple(rows))]
        if missing:
            found.append(Paragraph((f"Not asked, or without a finite answer: {', '.join(missing)}.",)))
    return [_overview(analyses), *found]


def _overview(analyses: Mapping[str, Analysis]) -> Table:
    """The exact magnitudes at the spot, with the difference from the first circuit."""
    columns = [Column(("Exact, at the spot",))]
    for place, name in enumerate(analyses):
        columns.append(Column((name,), "right"))
        if place:
            columns.append(Column(("",), "right"))
    rows = []
    for question, derivations in derivations_of(analyses).items():
        row: list[Words] = [(Formula(Name(question)),)]
        first = next(iter(analyses))
        for place, name in enumerate(analyses):
            derivation = derivations.get(name)
            if derivation is None:
                row += [NOTHING] if not place else [NOTHING, NOTHING]
                continue
            row.append((Reading(derivation.spot, derivation.exact.inquiry.unit, style="magnitude"),))
            if place:
                known = derivations.get(first)
                row.append(NOTHING if known is None else change(abs(derivation.spot), abs(known.spot)))
        rows.append(tuple(row))
    return Table(tuple(columns), tuple(rows))


def _plots(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Exact answers over frequency, overlaid."""
    found: list[Block] = []
    first = next(iter(analyses.values()))
    low, high = (float(f) for f in first.ground.band)
    for question, derivations in derivations_of(analyses).items():
        if not any(varies(one) for one in derivations.values()):
            continue
        spectra = [one.exact.spectrum for one in derivations.values()]
        points = grid((low / BEYOND, high * BEYOND), *spectra)
        values = [spectrum.sample(points) for spectrum in spectra]
        if not any(np.count_nonzero(np.isfinite(v) & (np.abs(v) > 0)) > 1 for v in values):
            continue
        which = "; ".join(f"{LETTERS[i % 26]}: {name}" for i, name in enumerate(derivations))
        traces = tuple(Trace(tuple(map(float, points)), tuple(map(complex, v))) for v in values)
        caption: Words = (f"{which}. Exact answers, magnitude above, phase below; grey ground lies outside the band.",)
        unit = next(iter(derivations.values())).exact.inquiry.unit
        found.append(Overlay(f"compare-{question}", (Formula(Name(question)),), unit, traces, (low, high), caption))
    return found


def _parts(analyses: Mapping[str, Analysis]) -> list[Block]:
    """What is not alike in the circuits."""
    different = parts_that_differ([analysis.circuit for analysis in analyses.values()])
    heading = Heading(1, ("What is different in the circuit",))
    if not different:
        return [heading, Paragraph(("No part differs.",))]
    columns = (Column(("Part",)), *(Column((name,), width=0.86 / len(analyses)) for name in analyses))
    rows = tuple(((Node(d.name),), *((w,) if w else NOTHING for w in d.words)) for d in different)
    return [heading, Table(columns, rows)]


def _assumptions(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Which statements still hold."""
    numbers = sorted({s.number for analysis in analyses.values() for s in analysis.statements})
    if not numbers:
        return []
    columns = (Column(("",)), Column(("Statement",), width=0.4), *(Column((name,)) for name in analyses))
    rows = []
    for number in numbers:
        words: Words = ()
        cells: list[Words] = []
        for analysis in analyses.values():
            resolved = next((s for s in analysis.statements if s.number == number), None)
            if resolved is None:
                cells.append(NOTHING)
                continue
            words = words or statement_words(resolved.statement)
            outcome = verdict(resolved, analysis.worst_alone(number))
            ratio: Words = () if resolved.ratio is None else (" (", Reading(float(resolved.ratio), "1", 3), ")")
            cells.append((Strong(outcome), *ratio) if outcome == "false" else (outcome, *ratio))
        rows.append(((label(number),), words, *cells))
    return [Heading(1, ("Which approximations still hold",)), Table(columns, tuple(rows))]


def _steps(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Where the derivations part, against the first circuit."""
    first, *others = analyses
    found: list[Block] = [Heading(1, ("Where the derivations differ",))]
    for question, derivations in derivations_of(analyses).items():
        for name in others:
            if first in derivations and name in derivations:
                found += _step(question, first, name, steps_that_differ(derivations[first], derivations[name]))
    return found if len(found) > 1 else []


def _step(question: str, first: str, other: str, difference: StepDifference) -> list[Block]:
    words: Words = (Formula(Name(question)), f", {other} against {first}: ")
    if not difference.only_first and not difference.only_other:
        return [Paragraph((*words, f"all {several(difference.alike, 'step')} are alike; only numbers differ."))]
    counts = (
        f"{several(difference.alike, 'step')} alike, {len(difference.only_first)} only in {first}, "
        f"{len(difference.only_other)} only in {other}."
    )
    rows = []
    for side, steps in ((first, difference.only_first), (other, difference.only_other)):
        rows += [((side,), (Code(step),)) for step in steps[:STEPS] if len(step) <= LONGEST]
    blocks: list[Block] = [Paragraph((*words, counts))]
    if rows:
        blocks.append(Table((Column(("Only in",)), Column(("Step",), width=0.8)), tuple(rows)))
    return blocks


LONGEST = 160
"""Characters above which a step is not repeated here."""


def _costs(analyses: Mapping[str, Analysis]) -> list[Block]:
    columns = (Column(("What it takes",)), *(Column((name,), "right") for name in analyses))
    costs = [cost(analysis) for analysis in analyses.values()]
    rows: list[tuple[Words, ...]] = [
        (("parts",), *((str(one.parts),) for one in costs)),
        (("devices among them",), *((str(one.devices),) for one in costs)),
    ]
    if any(one.current is not None for one in costs):
        rows.append(
            (("largest supply current",), *(_reading(one.current, "A") for one in costs)),
        )
        rows.append((("power from the supplies",), *(_reading(one.power, "W") for one in costs)))
    return [Heading(1, ("What it costs",)), Table(columns, tuple(rows))]


def _reading(value: float | None, unit: str) -> Words:
    return NOTHING if value is None else (Reading(value, unit, 3),)


def _criteria(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Each criterion in each circuit."""
    first = next(iter(analyses.values()))
    if not first.criteria:
        return []
    columns = (Column(("Criterion",)), Column(("Wanted",)), *(Column((name,)) for name in analyses))
    rows = []
    for met in first.criteria:
        cells: list[Words] = []
        for analysis in analyses.values():
            own = next((m for m in analysis.criteria if m.criterion.name == met.criterion.name), None)
            if own is None or not isfinite(own.value):
                cells.append(NOTHING)
                continue
            value: Words = (Reading(own.value, own.criterion.unit, 4),)
            cells.append((*value, ", met") if own.holds else (*value, ", ", Strong("not met")))
        rows.append(((met.criterion.name,), wanted_words(met, first.circuit.about.spot), *cells))
    return [Heading(1, ("Criteria",)), Table(columns, tuple(rows))]


def _choice(choice: Choice | None, analyses: Mapping[str, Analysis]) -> list[Block]:
    """The question, the decision, the author's reasons; whether the criteria bear it out."""
    if choice is None:
        return []
    found: list[Block] = [Heading(1, ("The choice",)), Paragraph((choice.question,))]
    found.append(Paragraph((Strong("Decided: "), f"{choice.decision}. ", choice.because)))
    rows = []
    for name, analysis in analyses.items():
        missed = [met.criterion.name for met in analysis.criteria if not met.holds]
        outcome: Words = ("no criterion is stated",)
        if analysis.criteria:
            outcome = (Strong("not met: "), ", ".join(missed)) if missed else ("all criteria are met",)
        rows.append(((Strong(name) if name == choice.decision else name,), outcome, (choice.options.get(name, "–"),)))
    columns = (Column(("Option",)), Column(("Criteria, as computed",), width=0.3),
               Column(("What the author says of it",), width=0.45))  # fmt: skip
    found.append(Table(columns, tuple(rows)))
    decided = analyses.get(choice.decision)
    if decided is not None and any(not met.holds for met in decided.criteria):
        found.insert(0, Notice("warning", (Strong("The option that was chosen misses a criterion."),)))
    return found


def _limits() -> list[Block]:
    words = (
        "Each circuit's answers are checked as in its worksheet, which asks for the second opinion besides. Steps count as "
        "alike where rule and algebra are the same text."
    )
    return [Heading(1, ("Method",)), Paragraph((words,))]
