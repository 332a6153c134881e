"""The summary: answers, drawing, how it works and assumptions on two pages.

Enters: the analysis, how the circuit works, the drawing. Leaves: a document. Must not know: LaTeX, how pages break.

Nothing stands here that the worksheet has not. ``leaner`` leaves out what a reader misses least, for circuits that
would take more than two pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from derive.circuit.records import Gain
from derive.derivation.analysis import Analysis
from derive.derivation.wording import brief
from derive.document.compose import assumptions, bench, bias, care, criteria, drawn, hand, loops, worksheet
from derive.document.records import Block, Document, Heading, Paragraph, Picture, Table
from derive.drawing.records import Drawing
from derive.explain.device_words import device_sentences
from derive.explain.explain import Explanation
from derive.explain.insight import Insight
from derive.explain.port_words import port_sentences
from derive.explain.words import motion_sentences
from derive.expression.tree import Name
from derive.spoken import spoken
from derive.words import Formula, Strong, Words

TALL = (92.0, 76.0, 60.0, 60.0)
"""The most height of the drawing in mm, by how lean the summary is."""
LEANEST = len(TALL) - 1
KIND = "Summary of a derivation"
KEPT = (0, 1, 3, 4)
"""Columns of the assumptions' table: number, statement, its size here, verdict."""


def summary(
    analysis: Analysis,
    versions: Mapping[str, str],
    insight: Insight | None = None,
    drawing: Drawing | str | None = None,
    leaner: int = 0,
) -> Document:
    """The document of a summary; ``leaner`` from 0 to LEANEST."""
    about = analysis.circuit.about
    blocks: list[Block] = [*care.cautions(analysis.circuit, analysis.bias), *bias.notices(analysis)]
    survey = insight.survey if insight is not None else None
    alarm = loops.loop_notices(survey) if survey is not None else []
    blocks += [*(alarm or worksheet.unstable_notices(analysis)), *assumptions.warnings(analysis)]
    blocks += [*hand.warnings(analysis), *bench.warnings(analysis), *criteria.warnings(analysis)]
    blocks += worksheet.glance(analysis)
    blocks += [_lower(block, TALL[leaner]) for block in drawn.figure(analysis, drawing)]
    sentences = _sentences(analysis, insight, leaner)
    if sentences:
        blocks += [Heading(1, ("How it works, in brief",)), *(Paragraph(words) for words in sentences)]
    blocks += _narrow(assumptions.blocks(analysis), leaner)
    blocks.append(Paragraph(("Each step, the method and its limits stand in the worksheet of the same title.",)))
    title = replace(worksheet.title_of(about), kind=KIND)
    colophon = (*versions.items(), ("description, sha256", analysis.circuit.source.sha256))
    return Document(title, tuple(blocks), colophon)


def _lower(block: Block, tall: float) -> Block:
    return replace(block, tall=tall) if isinstance(block, Picture) else block


def _sentences(analysis: Analysis, insight: Insight | None, leaner: int) -> list[Words]:
    """How each gain comes about, and which part rules each port."""
    found: list[Words] = []
    explained: dict[str, Explanation] = (
        {e.question.name: e for e in insight.explanations} if insight is not None else {}
    )
    ground = analysis.ground
    for derivation in analysis.derivations:
        name = derivation.question.name
        told: list[Words] = []
        if name in explained:
            told = motion_sentences(explained[name])[:1]
            told += device_sentences(explained[name]) if leaner < 2 else []
        elif derivation.budget is not None:
            told = port_sentences(derivation.budget.node, derivation.budget.shares, ground.band, ground.spot)[:1]
        if told and not (leaner >= LEANEST and not isinstance(derivation.question.ask, Gain)):
            head: Words = (Formula(Name(name)), Strong(", "), *brief(derivation.question), ": ")
            found.append((*head, *(piece for words in told for piece in (*words, " "))))
    return found


def _narrow(blocks: Sequence[Block], leaner: int) -> list[Block]:
    """The assumptions: statement, its size here, verdict; the leanest summaries have those that answers rest on."""
    found: list[Block] = []
    for block in blocks:
        if isinstance(block, Heading):
            found.append(block)
        elif isinstance(block, Table):
            columns = tuple(replace(block.columns[n], width=None if n in (0, 4) else 0.35) for n in KEPT)
            rows = [row for row in block.rows if leaner < 1 or "not used" not in spoken((*row[3], *row[4]))]
            found.append(Table(columns, tuple(tuple(row[n] for n in KEPT) for row in rows)))
    return found
