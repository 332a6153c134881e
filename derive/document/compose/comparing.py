"""The sheet that sets circuits side by side: answers, plots, parts, assumptions, derivations, costs, the choice.

Enters: analyses by name, the choice. Leaves: the document. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from derive.approximate.error import grid
from derive.comparing.differences import derivations_of
from derive.derivation.analysis import Analysis
from derive.derivation.wording import brief
from derive.document.compose import contrasts
from derive.document.compose.answers import BEYOND, varies
from derive.document.compose.phrases import NOTHING, change
from derive.document.compose.worksheet import glance_row
from derive.document.figures import Overlaid, Trace
from derive.document.records import Block, Column, Document, Heading, Ledger, Paragraph, Table, TitleBlock
from derive.expression.tree import Name
from derive.words import Formula, Reading, Strong, Words

LETTERS = "abcdefghijklmnopqrstuvwxyz"


def compose_comparison(
    analyses: Mapping[str, Analysis],
    said: Mapping[str, str | None],
    choice: contrasts.Choice | None,
    versions: Mapping[str, str],
) -> Document:
    """The document of a comparison; the first analysis is what the others are measured against."""
    first = next(iter(analyses.values()))
    about = first.circuit.about
    blocks: list[Block] = [*contrasts.choice(choice, analyses)]
    blocks += [Heading(1, ("Side by side",)), Paragraph(_legend(analyses, said)), *_answers(analyses)]
    blocks += _plots(analyses)
    blocks += [
        *contrasts.parts(analyses),
        *contrasts.assumptions(analyses),
        *contrasts.steps(analyses),
        *contrasts.costs(analyses),
    ]
    blocks += [*contrasts.criteria(analyses), *_limits()]
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
        found.append(Overlaid(f"compare-{question}", (Formula(Name(question)),), unit, traces, (low, high), caption))
    return found


def _limits() -> list[Block]:
    words = (
        "Each circuit's answers are checked as in its worksheet, which asks for the second opinion besides. Spot and "
        "band are those of the first. Steps count as alike where rule and algebra are the same text; remarks are left "
        "out."
    )
    return [Heading(1, ("Method",)), Paragraph((words,))]
