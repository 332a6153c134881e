"""The stated approximations: what each says, its ratio at this bias point, whether it holds, what it costs.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.approximate.error import Error
from derive.approximate.records import Resolved
from derive.derivation.analysis import Analysis
from derive.derivation.ratio_words import alike_words, ratio_words
from derive.derivation.records import Derivation
from derive.derivation.wording import FLAT, label, percent, statement_words, verdict
from derive.document.compose.proposals import any_proposed, origin
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table
from derive.expression.tree import Name
from derive.numbers import grouped_count
from derive.words import Formula, Inline, Reading, Strong, Words


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
    return [Heading(1, ("Assumptions",)), Paragraph(_explained(analysis)), Table(columns, rows)]


def _explained(analysis: Analysis) -> Words:
    """What the verdicts rest on; frequency and equalities only where some statement is about them."""
    more = ""
    if any(generator.at is not None for resolved in analysis.statements for generator in resolved.generators):
        more += " A ratio with a frequency is measured at the end of the band where it is smallest."
    if any(resolved.equalities for resolved in analysis.statements):
        more += " An equality writes one symbol for the other, and holds by what it changes, as a limit does."
    by = ", or proposed by the tool for the accuracy asked," if any_proposed(analysis) else ""
    return (
        f"Stated by the author{by} and measured here. "
        "A stated ratio holds from 10 upwards and is weak from 3; in a sum a term is dropped only beside a term that "
        "exceeds it by a product of stated ratios. A limit is taken in the network itself; it holds if by itself it "
        "changes no answer by more than a tenth within the band, and is weak up to a third." + more,
    )


def _row(analysis: Analysis, resolved: Resolved) -> tuple[Words, ...]:
    worst = analysis.worst_alone(resolved.number)
    if resolved.ratio is not None:
        here: Words = ratio_words(resolved, analysis.network)
    elif worst is None:
        here = ("not used",)
    else:
        here = ("changes at most ", *percent(worst))
    if resolved.equalities:
        here = (*alike_words(resolved.equalities), "; ", *here)
    statement = resolved.statement
    answers: Words = ("all",)
    if statement.questions:
        names = [Formula(Name(name)) for name in statement.questions]
        answers = tuple(piece for name in names for piece in (", ", name))[1:]
    word = verdict(resolved, worst)
    shown: Words = (Strong(word),) if word in ("false", "weak") else (word,)
    if worst is None and resolved.ratio is not None:
        shown = (*shown, ", not used")
    return (
        (label(resolved.number),),
        statement_words(statement),
        answers,
        here,
        shown,
        (_reason(analysis, resolved),),
    )


def _reason(analysis: Analysis, resolved: Resolved) -> str:
    """The author's reason, and who says so where the tool proposed some of the statements."""
    statement = resolved.statement
    because = (f"{statement.name}: " if statement.name else "") + (statement.because or "–")
    if not any_proposed(analysis):
        return because
    return origin(resolved) if because == "–" else f"{origin(resolved)}: {because}"


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top of the sheet for statements that are weak or false at this bias point."""
    found: list[Block] = []
    for resolved in analysis.statements:
        word = verdict(resolved, analysis.worst_alone(resolved.number))
        if word in ("weak", "false"):
            words: list[Inline] = [Strong(f"{label(resolved.number)}{_by(resolved)} is {word} here"), ": "]
            words += [*statement_words(resolved.statement), *_how(analysis, resolved)]
            rests = is_used(analysis, resolved.number)
            words.append(". " + ("Answers that rest on it carry their error." if rests else "No answer rests on it."))
            found.append(Notice("warning" if word == "false" else "note", tuple(words)))
    return found


def _by(resolved: Resolved) -> str:
    return f", {origin(resolved)}," if resolved.statement.proposed else ""


def _how(analysis: Analysis, resolved: Resolved) -> Words:
    """The ratio of a stated ratio; for a limit the answer that it changes most, and where."""
    if resolved.ratio is not None:
        return (", ", *ratio_words(resolved, analysis.network))
    changes = [
        (effect.alone.worst, effect.alone.at, derivation.question.name)
        for derivation in analysis.derivations
        if derivation.approximate
        for effect in derivation.approximate.effects
        if effect.statement == resolved.number
    ]
    worst, at, name = max(changes)
    return ("; alone it changes ", Formula(Name(name)), " by ", *percent(worst), " at ", Reading(at, "Hz", 2))


def is_used(analysis: Analysis, number: int) -> bool:
    """Whether the statement changed any answer, alone or after those before it."""
    return any(
        effect.statement == number and (effect.used or effect.alone.worst > 0)
        for derivation in analysis.derivations
        if derivation.approximate
        for effect in derivation.approximate.effects
    )


def any_false(analysis: Analysis) -> bool:
    """Whether some statement is false at this bias point."""
    return any(verdict(r, analysis.worst_alone(r.number)) == "false" for r in analysis.statements)


_NOTHING: tuple[Words, ...] = (("–",),) * 4


def cost_table(derivation: Derivation, spot: Fraction) -> Table | None:
    """What each statement costs one answer: alone, and together with those before it."""
    if derivation.approximate is None:
        return None
    columns = (
        Column(("No.",)),
        Column(("Terms left",), "right"),
        Column(("Value",), "right"),
        Column(("Alone",), "right"),
        Column(("at worst",), "right"),
        Column(("With those before",), "right"),
        Column(("at worst",), "right"),
    )
    unit = derivation.exact.inquiry.unit
    rows: list[tuple[Words, ...]] = [
        (("exact",), _terms(derivation.exact.terms), (Reading(derivation.spot, unit, style="magnitude"),), *_NOTHING)
    ]
    for effect in derivation.approximate.effects:
        spectrum = effect.reduced.spectrum
        value: Words = ("∞",) if spectrum is None else (Reading(spectrum.at_frequency(spot), unit, style="magnitude"),)
        alone = _costs(effect.alone) if effect.used or effect.alone.worst > 0 else (("nothing",), ("–",))
        rows.append(((label(effect.statement),), _terms(effect.reduced.terms), value, *alone, *_costs(effect.together)))
    return Table(columns, tuple(rows))


def _terms(terms: tuple[int, int]) -> Words:
    return (f"{grouped_count(terms[0])}/{grouped_count(terms[1])}",)


def _costs(error: Error) -> tuple[Words, Words]:
    worst: Words = percent(error.worst)
    if abs(error.worst - error.spot) > FLAT * error.worst:
        worst = (*worst, " at ", Reading(error.at, "Hz", 2))
    return percent(error.spot), worst
