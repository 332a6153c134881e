"""The stated approximations: what each says, its ratio at this bias point, whether it holds, what it costs.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.approximate.records import Resolved
from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.derivation.wording import error_words, label, percent, statement_words, verdict
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table
from derive.words import Inline, Reading, Strong, Words


def blocks(analysis: Analysis) -> list[Block]:
    """The table of assumptions; nothing when none were stated."""
    if not analysis.statements:
        return []
    columns = (
        Column(("No.",)),
        Column(("Statement",), width=0.24),
        Column(("For",), width=0.12),
        Column(("Here",), "left", width=0.20),
        Column(("Verdict",)),
        Column(("Because",), width=0.24),
    )
    rows = tuple(_row(analysis, resolved) for resolved in analysis.statements)
    return [Heading(1, ("Assumptions",)), Paragraph(_explained()), Table(columns, rows)]


def _explained() -> Words:
    return (
        "Stated by the author and measured here. A stated ratio holds from 10 upwards and is weak from 3; in a sum a "
        "term is dropped only beside a term that exceeds it by a product of stated ratios. A limit is taken in the "
        "network itself; it holds if by itself it changes no answer by more than a tenth within the band, and is weak "
        "up to a third.",
    )


def _row(analysis: Analysis, resolved: Resolved) -> tuple[Words, ...]:
    worst = analysis.worst_alone(resolved.number)
    if resolved.ratio is not None:
        here: Words = ("ratio ", Reading(float(resolved.ratio), "1", 3))
    elif worst is None:
        here = ("not used",)
    else:
        here = ("changes at most ", *percent(worst))
    statement = resolved.statement
    answers = ", ".join(statement.questions) or "all"
    word = verdict(resolved, worst)
    shown: Words = (Strong(word),) if word in ("false", "weak") else (word,)
    because = f"{statement.name}: " if statement.name else ""
    return (
        (label(resolved.number),),
        statement_words(statement),
        (answers,),
        here,
        shown,
        (because + (statement.because or "–"),),
    )


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top of the sheet for statements that are weak or false at this bias point."""
    found: list[Block] = []
    for resolved in analysis.statements:
        word = verdict(resolved, analysis.worst_alone(resolved.number))
        if word in ("weak", "false"):
            words: list[Inline] = [Strong(f"{label(resolved.number)} is {word} here"), ": ", *statement_words(resolved.statement)]
            words += [", ratio ", Reading(float(resolved.ratio), "1", 3)] if resolved.ratio is not None else []
            words.append(". Answers that rest on it carry the error that is printed beside them.")
            found.append(Notice("warning", tuple(words)))
    return found


def any_false(analysis: Analysis) -> bool:
    """Whether some statement is false at this bias point."""
    return any(verdict(r, analysis.worst_alone(r.number)) == "false" for r in analysis.statements)


def cost_table(derivation: Derivation) -> Table | None:
    """What each statement costs one answer: alone, and together with those before it."""
    if derivation.approximate is None:
        return None
    columns = (
        Column(("No.",)),
        Column(("Alone",), width=0.40),
        Column(("Together with those before",), width=0.44),
    )
    rows: list[tuple[Words, ...]] = []
    for effect in derivation.approximate.effects:
        alone: Words = error_words(effect.alone) if effect.used or effect.alone.worst > 0 else ("changes nothing",)
        rows.append(((label(effect.statement),), alone, error_words(effect.together)))
    return Table(columns, tuple(rows))
