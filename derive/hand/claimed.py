"""From a result by hand as text to its judgement.

Enters: a claim of the description or a text of the command line, and the matters by the names of their questions.
Leaves: the judgement. Raises DescriptionError for a claim that cannot be read, ExpressionError for a text.
Must not know: LaTeX, files.
"""

from __future__ import annotations

from collections.abc import Mapping

from derive.circuit.records import Claim
from derive.errors import DescriptionError, ExpressionError
from derive.hand.dimensions import units_of
from derive.hand.judge import TOLERANCE, judge
from derive.hand.matter import Matter
from derive.hand.read import read_hand
from derive.hand.records import Hand
from derive.hand.verdicts import Judged


def judge_claim(claim: Claim, matters: Mapping[str, Matter]) -> Judged:
    """The judgement of a result by hand that the description holds."""
    matter = matters.get(claim.of)
    label = claim.name or f"hand result {int(claim.path[1]) + 1}"
    if matter is None:
        raise _unanswered(claim, label, matters)
    try:
        hand = read(claim.says, matter)
        return judge(matter, hand, claim.says, name=claim.name, because=claim.because)
    except ExpressionError as error:
        place = f", column {error.column}" if error.column else ""
        raise matter.circuit.source.error(
            (*claim.path, "says"), f"{label}{place}: {error.what}", error.remedy
        ) from None  # fmt: skip


def _unanswered(claim: Claim, label: str, matters: Mapping[str, Matter]) -> DescriptionError:
    what = f"{label}: the answer to {claim.of} is infinite whatever the numbers, and nothing is compared with it"
    source = next((matter.circuit.source for matter in matters.values()), None)
    return source.error((*claim.path, "of"), what) if source else DescriptionError("", None, what)


def judge_text(text: str, matter: Matter, tolerance: float = TOLERANCE) -> Judged:
    """The judgement of a text. Raises ExpressionError."""
    return judge(matter, read(text, matter), text, tolerance=tolerance)


def read(text: str, matter: Matter) -> Hand:
    """The text read in the symbols of the circuit; what it defines as another question is refused."""
    hand = read_hand(text, units_of(matter), [q.name for q in matter.circuit.questions], matter.circuit.aliases)
    other = hand.target
    names = [q.name for q in matter.circuit.questions]
    if other in names and other != matter.question.name:
        what = f"it is about {other}, and {matter.question.name} was named"
        raise ExpressionError(text, None, what, f"name {other}, or write {matter.question.name} = …")
    return hand
