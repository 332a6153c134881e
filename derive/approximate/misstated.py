"""A statement that has no meaning in the network, or that cannot be used as it stands.

Enters: the statement, the fault, the remedy. Leaves: an exception, worded for the author.
Must not know: questions, answers, LaTeX.
"""

from __future__ import annotations

from derive.circuit.records import Statement
from derive.errors import DeriveError


class Misstated(DeriveError):
    """A statement that has no meaning here: which one, what is wrong, what would be right."""

    def __init__(self, statement: Statement, what: str, remedy: str = "") -> None:
        self.statement, self.what, self.remedy = statement, what, remedy
        super().__init__(f"{what}; {remedy}" if remedy else what)
