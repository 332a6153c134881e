"""Whether a wrong result is the right answer to another question.

Enters: a side that is wrong. Leaves: proposals. Must not know: changes of formulas, LaTeX.
"""

from __future__ import annotations

from collections.abc import Iterator

from derive.answers.exact import NoSolution, spectrum
from derive.errors import TooLarge
from derive.hand.closeness import error_of
from derive.hand.equality import Reading, field_point
from derive.hand.matter import Matter
from derive.hand.others import Other, other_questions
from derive.hand.proposal import Proposal
from derive.hand.verdicts import Finding
from derive.hand.worth import Field, Side, field_answer

NEAR = 0.6
"""What an answer to another question costs in plausibility where it is only come near to."""


def asked_else(side: Side, matter: Matter, tolerance: float) -> Iterator[Proposal]:
    """A proposal for each other question whose answer the side is, or comes near to while far from its own."""
    points = [field_point(matter.ground.ring.names, trial) for trial in (7, 8)]
    for other in other_questions(matter):
        if side.is_rational and _is_answer(side, other, points):
            yield Proposal(other.slip, other.price, None, None, None, other.names, Finding("exact", "field"))
            continue
        reference = _reference(other, matter)
        if reference is None:
            continue
        read: Reading = "magnitude" if side.is_real else "value"
        error = error_of(side, reference, matter.ground, read)
        if error.worst <= tolerance:
            found = Finding("close", None, "value", error=error)
            yield Proposal(other.slip, other.price + NEAR + error.worst, None, None, None, other.names, found)


def _is_answer(side: Side, other: Other, points: list[Field]) -> bool:
    try:
        return all(side.in_field(point) == field_answer(other.inquiry, point) for point in points)
    except (ZeroDivisionError, KeyError, TooLarge):
        return False


def _reference(other: Other, matter: Matter) -> Side | None:
    try:
        found = spectrum(other.inquiry, matter.ground.numbers)
    except (NoSolution, TooLarge, ZeroDivisionError):
        return None
    if not any(found.numerator):
        return None
    return Side(matter.ground.ring, matter.ground.numbers, None, other.inquiry, known_spectrum=found)
