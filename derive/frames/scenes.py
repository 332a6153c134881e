"""From the sections of a worksheet to the frames of a video.

Enters: an analysis, how its gains work, the drawing. Leaves: frames. Must not know: LaTeX, files.

Every frame shows a row that stands in the worksheet as well, checked there. What a viewer cannot follow in a moment
(tables, lists of numbers) is left to the worksheet; sentences between the rows become what is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.derivation.wording import brief
from derive.document.compose import answers, drawn
from derive.document.compose.signal_marks import signal_marks
from derive.document.compose.worksheet import glance_row
from derive.document.records import Heading, Ledger, Paragraph, Picture, Row
from derive.drawing.records import Drawing, Marks
from derive.explain.explain import Explanation
from derive.explain.port_words import port_sentences
from derive.explain.stage_words import stage_sentences
from derive.explain.words import chapters, motion_sentences
from derive.expression.tree import Name, Sym, walk
from derive.frames.records import Frame
from derive.words import Formula, Line, Words

HUSHED = ("Approximations, one by one",)
"""Parts whose paragraphs announce tables, so that they are not said."""
SHORT = "In short"


def frames_of(
    derivation: Derivation, analysis: Analysis, explanation: Explanation | None, drawing: Drawing | None
) -> list[Frame]:
    """The frames of one question: what is asked, how the signal travels, each step, the answer."""
    question = derivation.question
    heading: Words = (Formula(Name(question.name)), ": ", *brief(question))
    opening = Frame(question.name, heading, "", None, (derivation.asked,), derivation.asked, begins=True)
    if drawing is not None:
        marks = Marks(drawn.voltages(analysis, drawing))
        opening = replace(opening, picture=Picture("circuit", (), drawing, marks))
    found = [opening, *_signal(opening, explanation, analysis, drawing)]
    steps = list(_steps(opening, derivation, analysis, drawing))
    # The sheet opens with the short form; a film ends with it.
    found += sorted(steps, key=lambda frame: frame.part == SHORT)
    row = glance_row(derivation, analysis.ground.spot)
    return [
        *found,
        replace(_plain(opening), part="The answer", row=row, said=_closing(derivation, analysis), large=True),
    ]


def _plain(opening: Frame) -> Frame:
    return replace(opening, picture=None, words=(), said=())


def _signal(
    opening: Frame, explanation: Explanation | None, analysis: Analysis, drawing: Drawing | None
) -> list[Frame]:
    """Which way each node moves, and round which loop."""
    if explanation is None:
        return []
    first, *others = chapters(explanation)
    words = motion_sentences(explanation)[0] if first.sentences else ()
    told = replace(opening, part="How it works", said=first.sentences, words=words, picture=None)
    if drawing is None:
        return [replace(told, said=(*first.sentences, *(s for c in others for s in c.sentences)))]
    marks = signal_marks(explanation, None, drawing, analysis.circuit, analysis.network)
    rest = tuple(sentence for chapter in others for sentence in chapter.sentences)
    arrows = replace(told, picture=Picture("signal", (), drawing, replace(marks, loops=())))
    if not marks.loops:
        return [replace(arrows, said=(*first.sentences, *rest))]
    loop = replace(told, said=rest, words=rest[0], picture=Picture("loop", (), drawing, replace(marks, arrows=())))
    return [arrows, loop]


def _steps(opening: Frame, derivation: Derivation, analysis: Analysis, drawing: Drawing | None) -> Iterator[Frame]:
    part, begins = "", True
    pending: list[Words] = []
    for block in answers.blocks(derivation, analysis)[2:]:
        match block:
            case Heading(_, (str(words), *_)):
                part, pending, begins = words, [], True
            case Paragraph(words):
                pending += [words] if part not in HUSHED else []
            case Ledger(rows):
                for row in rows:
                    if not row.algebra:
                        # A list of numbers, or a refusal: to be said, not to be looked at.
                        pending.append((*row.rule, *((": ", *row.number) if row.number else ()), "."))
                        continue
                    step = replace(_plain(opening), part=part, row=row, said=tuple(pending), begins=begins)
                    yield _beside(step, row, drawing)
                    pending, begins = [], False


def _beside(frame: Frame, row: Row, drawing: Drawing | None) -> Frame:
    """A step with the drawing beside it, and the parts that it speaks of."""
    if drawing is None:
        return frame
    owners = {name.rpartition("_")[2] for name in _symbols(row.algebra)}
    lit = tuple(placed.part.name for placed in drawing.parts if placed.part.name in owners)
    return replace(frame, picture=Picture("plain", (), drawing, Marks()), lit=lit)


def _symbols(lines: Iterable[Line]) -> set[str]:
    sides = [side for line in lines for side in (line.left, line.right) if side is not None]
    return {part.name for side in sides for part in walk(side) if isinstance(part, Sym)}


def _closing(derivation: Derivation, analysis: Analysis) -> tuple[Words, ...]:
    """What is said at the end of a question."""
    ground = analysis.ground
    if derivation.chain is not None:
        return tuple(stage_sentences(derivation.question.name, derivation.chain, ground.spot))
    if derivation.budget is not None:
        budget = derivation.budget
        return tuple(port_sentences(budget.node, budget.shares, ground.band, ground.spot))
    return ()
