"""What was proposed for one answer: from exact to the accuracy asked, so that an author can stop on the way.

Enters: a derivation, the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.approximate.error import Error
from derive.approximate.records import Resolved
from derive.derivation.analysis import Analysis
from derive.derivation.proposals import accuracy_words
from derive.derivation.records import Derivation
from derive.derivation.wording import FLAT, label, percent, statement_words
from derive.document.records import Block, Column, Paragraph, Table
from derive.words import Reading, Words

BY_TOOL, BY_AUTHOR = "proposed by the tool", "stated by the author"


def origin(resolved: Resolved) -> str:
    """Who says so."""
    return BY_TOOL if resolved.statement.proposed else BY_AUTHOR


def any_proposed(analysis: Analysis) -> bool:
    return any(s.statement.proposed for s in analysis.statements)


def has_ladder(derivation: Derivation) -> bool:
    return derivation.proposal is not None and bool(derivation.proposal.statements)


def ladder(derivation: Derivation, analysis: Analysis) -> list[Block]:
    """Terms against error, one row a statement, in the order of the proposal."""
    assert derivation.approximate is not None
    assert derivation.proposal is not None
    stated = {s.number: s for s in analysis.statements}
    columns = (
        Column(("No.",)),
        Column(("Statement",), width=0.30),
        Column(("By",)),
        Column(("Terms left",), "right"),
        Column(("Error",), "right"),
        Column(("at worst",), "right"),
    )
    rows: list[tuple[Words, ...]] = [(("–",), ("exact",), ("–",), _terms(derivation.exact.terms), ("–",), ("–",))]
    for effect in derivation.approximate.effects:
        resolved = stated[effect.statement]
        by = "the tool" if resolved.statement.proposed else "the author"
        said = statement_words(resolved.statement)
        rows.append(((label(effect.statement),), said, (by,), _terms(effect.reduced.terms), *_costs(effect.together)))
    own = any(not stated[effect.statement].statement.proposed for effect in derivation.approximate.effects)
    first = "the author's statements first, then " if own else ""
    words: Words = (
        "From the exact answer to the ",
        *accuracy_words(derivation.proposal),
        f" asked: {first}at each step the statement that leaves the fewest terms, with all before it. For a "
        "closer answer, state the rows down to where the error is small enough, and no accuracy:",
    )
    return [Paragraph(words), Table(columns, tuple(rows))]


def _terms(terms: tuple[int, int]) -> Words:
    return (f"{terms[0]:,}/{terms[1]:,}".replace(",", "\u2009"),)


def _costs(error: Error) -> tuple[Words, Words]:
    worst: Words = percent(error.worst)
    if abs(error.worst - error.spot) > FLAT * error.worst:
        worst = (*worst, " at ", Reading(error.at, "Hz", 2))
    return percent(error.spot), worst
