"""Statements proposed for the questions that ask for an accuracy, beside those of the author.

Enters: what is prepared of a sheet, its inquiries. Leaves: all statements numbered, and what was proposed for whom.
Must not know: how statements are searched for, LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from derive.answers.exact import answer
from derive.answers.records import Inquiry
from derive.approximate.ground import Ground
from derive.approximate.records import Resolved
from derive.approximate.resolve import resolve
from derive.circuit.records import Question, Statement
from derive.expression.tree import ONE, Name, negate, total
from derive.network.records import Network
from derive.proposal.propose import propose
from derive.proposal.records import Proposal
from derive.words import Formula, Reading, Words


@dataclass(frozen=True)
class Proposed:
    """``statements``: the author's, then the proposed ones. ``proposals``: by question, with these numbers."""

    statements: tuple[Resolved, ...]
    proposals: Mapping[str, Proposal]


def with_proposals(
    questions: Sequence[Question],
    inquiries: Mapping[str, Inquiry],
    stated: tuple[Resolved, ...],
    network: Network,
    ground: Ground,
    told: Callable[[str], None] = lambda _: None,
) -> Proposed:
    """Proposes for each question in turn; one statement that serves several has one number. Raises TooLarge."""
    sheet: list[Resolved] = list(stated)
    found: list[Proposal] = []
    for question in questions:
        if question.accuracy is None or question.name not in inquiries:
            continue
        told(question.name)
        exact = answer(inquiries[question.name], ground.numbers, ground.ring)
        proposal = propose(question, exact, sheet, ground, network)
        found.append(proposal)
        for item in proposal.statements:
            _enter(sheet, item, question.name)
    if len(sheet) == len(stated):
        return Proposed(stated, {proposal.question: proposal for proposal in found})
    fresh = [s.statement for s in sheet[len(stated) :]]
    # Resolved once more, all together: with their final numbers, and checked against each other and the author's.
    final = resolve([*(s.statement for s in stated), *fresh], network, ground.ring, ground.band)
    by_text = {s.statement.text: s for s in final[len(stated) :]}
    return Proposed(
        final,
        {p.question: replace(p, statements=tuple(by_text[s.statement.text] for s in p.statements)) for p in found},
    )


def _enter(sheet: list[Resolved], item: Resolved, name: str) -> None:
    """Puts a proposed statement on the sheet, or adds the question to one that says the same."""
    for place, other in enumerate(sheet):
        if other.statement.proposed and other.statement.text == item.statement.text:
            wider: Statement = replace(other.statement, questions=(*other.statement.questions, name))
            sheet[place] = replace(other, statement=wider)
            return
    sheet.append(replace(item, statement=replace(item.statement, number=len(sheet) + 1, questions=(name,))))


def accuracy_words(proposal: Proposal) -> Words:
    """The accuracy that was asked, and of what."""
    asked = Reading(100 * proposal.accuracy, "%", 6, "stated")
    if not proposal.to_one:
        return (asked,)
    name = Name(proposal.question)
    return (asked, " of ", Formula(name), " and of ", Formula(total(ONE, negate(name))))


def outcome_words(proposal: Proposal) -> Words:
    """Why nothing was proposed; () where something was."""
    asked = accuracy_words(proposal)
    match proposal.outcome:
        case "nothing simpler":
            return ("Asked for ", *asked, ": nothing simpler than what stands here was found that stays within it.")
        case "stated already exceed":
            return ("Asked for ", *asked, ": the author's statements cost more by themselves, so nothing is proposed.")
        case "too large":
            return (
                "Asked for ", *asked, ": the answer has too many terms to be written out, also after every limit that "
                "the accuracy allows. It stays exact, in numbers.",
            )  # fmt: skip
        case _:
            return ()
