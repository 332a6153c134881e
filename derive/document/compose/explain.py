"""The section that tells how the circuit works: a table of motions, the order of travel, the duty of each device.

Enters: explanations. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

import cmath
from math import degrees, log10

from derive.derivation.analysis import Analysis
from derive.derivation.wording import brief
from derive.document.compose.signal_marks import signal_marks
from derive.document.records import Block, Column, Heading, Paragraph, Picture, Table
from derive.drawing.records import Drawing
from derive.explain.explain import Explanation
from derive.explain.insight import Insight
from derive.explain.polarity import Motion
from derive.explain.theory import Theory
from derive.explain.words import chapters
from derive.expression.tree import Name
from derive.words import Formula, Node, Reading, Words

SENSES = {
    "with": "rises", "against": "falls", "ahead": "ahead", "behind": "behind", "still": "hardly moves",
}  # fmt: skip


def blocks(analysis: Analysis, insight: Insight | None, drawing: Drawing | str | None) -> list[Block]:
    """The section; nothing where no gain was asked. The drawing is marked for the first gain."""
    if insight is None or not insight.explanations:
        return []
    explanations = insight.explanations
    found: list[Block] = [Heading(1, ("How it works",))]
    for explanation in explanations:
        if len(explanations) > 1:
            name = Formula(Name(explanation.question.name))
            found.append(Heading(2, (name, ": ", *brief(explanation.question))))
        theory = insight.theories.get(explanation.question.name)
        picture = _picture(explanation, theory, analysis, drawing) if explanation is explanations[0] else []
        found += _of_gain(explanation, picture)
    return found


def _picture(
    explanation: Explanation, theory: Theory | None, analysis: Analysis, drawing: Drawing | str | None
) -> list[Block]:
    """The circuit with what its signal does; nothing where it is not drawn."""
    if not isinstance(drawing, Drawing):
        return []
    marks = signal_marks(explanation, theory, drawing, analysis.circuit, analysis.network)
    if not marks.arrows:
        return []
    unit = "1 mV" if explanation.unit == "V/V" else "1 µA"
    caption = f"Arrows: which way and how far each node moves when the source rises by {unit}, in decibels."
    if marks.loops:
        sign = "negative" if marks.loops[0].negative else "positive"
        caption += f" Traced: the loop that is opened below, its feedback {sign}."
    if marks.badges:
        caption += " At a part: by how much a bootstrap magnifies it."
    return [Picture("signal", ("The way of the signal",), drawing, marks, (caption,))]


def _of_gain(explanation: Explanation, picture: list[Block]) -> list[Block]:
    first, *others = chapters(explanation)
    found: list[Block] = [Paragraph(sentence) for sentence in first.sentences]
    found += picture
    found.append(_motions(explanation))
    for chapter in others:
        found.append(Heading(2, (chapter.title,)))
        found += [Paragraph(sentence) for sentence in chapter.sentences]
    return found


def _motions(explanation: Explanation) -> Table:
    """A row a node: how far, which way, and what becomes of it at the ends of the band."""
    low, high = (Reading(float(f), "Hz", 6, "stated") for f in explanation.band)
    decibels = explanation.unit == "V/V"
    columns = [
        Column(("Node",)),
        Column(("At ", Reading(float(explanation.spot), "Hz", 6, "stated")), "right"),
        *([Column(("dB",), "right")] if decibels else []),
        Column(("Phase",), "right"),
        Column(("It",)),
        Column(("At ", low), "right"),
        Column(("At ", high), "right"),
    ]
    rows = tuple(_row(motion, explanation.unit, decibels) for motion in explanation.motions)
    return Table(tuple(columns), rows)


def _row(motion: Motion, unit: str, decibels: bool) -> tuple[Words, ...]:
    size = abs(motion.spot)
    level: Words = (Reading(20 * log10(size), "dB", 3),) if size else ("−∞",)
    phase = degrees(cmath.phase(motion.spot)) if size else 0.0
    ends = tuple((Reading(value, unit, 3, "magnitude"),) for value in motion.ends)
    return (
        (Node(motion.node),),
        (Reading(size, unit, 4),),
        *((level,) if decibels else ()),
        (Reading(phase, "°", 3),),
        (SENSES[motion.sense],),
        *ends,
    )
