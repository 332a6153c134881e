"""What can go wrong, told apart by whose fault it is.

The type of an exception carries the exit status; nothing here knows how a message is shown.
"""

from __future__ import annotations


class DeriveError(Exception):
    """Any failure that this package raises on purpose."""

    exit_status = 2


class DescriptionError(DeriveError):
    """The circuit description is wrong: where, what, and what would be right.

    ``line`` is counted from one; None where the fault belongs to the file as a whole.
    """

    def __init__(self, file: str, line: int | None, what: str, remedy: str = "") -> None:
        self.file, self.line, self.what, self.remedy = file, line, what, remedy
        place = file if line is None else f"{file}, line {line}"
        super().__init__(f"{place}: {what}" + (f"; {remedy}" if remedy else ""))


class ExpressionError(DeriveError):
    """A text is not an expression or a statement of the grammar.

    ``column`` is counted from one in ``text``; ``line`` from one where ``text`` is a line of several.
    """

    def __init__(self, text: str, column: int | None, what: str, remedy: str = "", line: int | None = None) -> None:
        self.text, self.column, self.what, self.remedy, self.line = text, column, what, remedy, line
        super().__init__(what + (f"; {remedy}" if remedy else ""))


class TooLarge(DeriveError):
    """The circuit passes a stated limit of the kernel; the message names the limit."""


class ToolMissing(DeriveError):
    """A program that is needed (TeX) is not on this machine."""

    exit_status = 3


class Defect(DeriveError):
    """A check inside the program failed: nothing may be printed. Never the user's fault."""

    exit_status = 70
