"""A mark that seeks a place, and the note that it becomes.

Enters: words and sizes. Leaves: a ``Mark``, a ``Note``. Must not know: LaTeX, SVG, what the words say.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.drawing.records import Place
from derive.drawing.symbols import Box

HEIGHT = 0.8
"""Of a line of words, which are smaller than the drawing's own."""

Sort: TypeAlias = Literal["voltage", "arrow", "loop", "badge"]
Anchor: TypeAlias = Literal["left", "centre", "right"]


@dataclass(frozen=True)
class Note:
    """Words in a box; ``of``: what it speaks of (node, loop or part). ``tie``: the ends of a line to that."""

    sort: Sort
    of: str
    words: str
    box: Box
    tie: tuple[Place, Place] | None = None
    pattern: int = 0
    anchor: Anchor = "centre"

    @property
    def at(self) -> Place:
        """Where the words are anchored: at the side of their box that is next to what they speak of."""
        x = {"left": self.box[0], "right": self.box[2], "centre": (self.box[0] + self.box[2]) / 2}[self.anchor]
        return x, (self.box[1] + self.box[3]) / 2


@dataclass(frozen=True)
class Mark:
    """Words that seek a place, of a size; ``shaft``: length of the arrow on their left, ``head`` wide."""

    sort: Sort
    of: str
    words: str
    width: float
    height: float = HEIGHT
    pattern: int = 0
    head: float = 0.0

    def inks(self, box: Box) -> tuple[Box, ...]:
        """What is seen of the mark within its box."""
        left, bottom, right, top = box
        if not self.head:
            return (box,)
        middle = (bottom + top) / 2
        words = (left + self.head, middle - HEIGHT / 2, right, middle + HEIGHT / 2)
        return (left + self.head / 4, bottom, left + 3 * self.head / 4, top), words


def anchor_of(mark: Mark, box: Box, spot: Place) -> Anchor:
    if mark.sort != "voltage":
        return "centre"
    return "left" if spot[0] <= box[0] else "right" if spot[0] >= box[2] else "centre"


def seated(mark: Mark, box: Box, spot: Place, tie: tuple[Place, Place] | None = None) -> Note:
    """The note that a mark becomes in a box."""
    return Note(mark.sort, mark.of, mark.words, box, tie, mark.pattern, anchor_of(mark, box, spot))
