"""Results by hand that the description holds, each about a question that is there.

Enters: the description's [[hand]] tables, the questions. Leaves: claims, or a DescriptionError.
Must not know: how a result is read, or whether it is right.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from derive.circuit.records import Claim, Question
from derive.description.hints import quote, suggest

if TYPE_CHECKING:
    from derive.description.outline import Description


def build_claims(description: Description, questions: Sequence[Question]) -> tuple[Claim, ...]:
    """All results by hand, in the order of the description. Raises DescriptionError."""
    names = [question.name for question in questions]
    labels: set[str] = set()
    claims = []
    for index, table in enumerate(description.hands):
        path = ("hand", index)
        if table.of not in names:
            what = f"hand result {index + 1}: there is no question {table.of}"
            raise description.source.error((*path, "of"), what, suggest(table.of, names, "question"))
        if table.name is not None:
            if table.name in labels:
                what = f"hand result {index + 1}: another is named {quote(table.name)}"
                raise description.source.error((*path, "name"), what, "give each its own name")
            labels.add(table.name)
        claims.append(Claim(table.of, table.says, path, table.name, table.because))
    return tuple(claims)
