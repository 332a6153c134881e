"""What cannot be drawn, in words.

Enters: what is wrong and what would be right. Leaves: the error. Must not know: files.
"""

from __future__ import annotations

from derive.errors import DeriveError


class Undrawable(DeriveError):
    """A hint that cannot be followed, or a circuit for which no drawing was found. ``hint``: the wish's field that
    asks for it (rows, columns, at, turned, pairs), or ""."""

    def __init__(self, what: str, remedy: str, hint: str = "") -> None:
        self.what, self.remedy, self.hint = what, remedy, hint
        super().__init__(f"{what}; {remedy}")
