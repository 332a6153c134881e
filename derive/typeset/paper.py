"""What a reader's country decides: the size of the paper, the sign between whole and part of a number.

Enters: the choice. Leaves: the record, and text with that sign. Must not know: pages.

ISO 80000-1 allows a comma or a point as decimal sign (from memory). Text of the author's stays as it was written.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal

from derive.drawing.records import Drawing, Label, Marks, Placed

POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")


@dataclass(frozen=True)
class Paper:
    size: Literal["a4", "letter"] = "a4"
    decimal: Literal["point", "comma"] = "point"

    def number(self, text: str) -> str:
        """Words of ours with the decimal sign in place.

        >>> Paper(decimal="comma").number("1.15 V")
        '1,15 V'
        """
        return POINT.sub(",", text) if self.decimal == "comma" else text

    def drawing(self, drawing: Drawing) -> Drawing:
        """A drawing whose values have the decimal sign in place."""
        if self.decimal == "point":
            return drawing
        terminals = tuple(replace(t, label=t.label and self.number(t.label)) for t in drawing.terminals)
        return replace(drawing, parts=tuple(self._placed(part) for part in drawing.parts), terminals=terminals)

    def marks(self, marks: Marks) -> Marks:
        if self.decimal == "point":
            return marks
        return replace(
            marks,
            voltages=tuple(replace(one, words=self.number(one.words)) for one in marks.voltages),
            arrows=tuple(replace(one, words=self.number(one.words)) for one in marks.arrows),
            badges=tuple(replace(one, words=self.number(one.words)) for one in marks.badges),
        )

    def _placed(self, part: Placed) -> Placed:
        labels = tuple(Label(self.number(label.words), label.at, label.anchor) for label in part.labels)
        return replace(part, part=replace(part.part, value=self.number(part.part.value)), labels=labels)
