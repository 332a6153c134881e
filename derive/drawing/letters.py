"""How wide words are on a drawing.

Enters: words, labels. Leaves: widths and boxes. Must not know: LaTeX, SVG.
"""

from __future__ import annotations

from derive.drawing.records import Label
from derive.drawing.symbols import Box, label_box

NAME = 1.2
"""Of the letters of a node's name, against those of a mark."""


def width_of(words: str) -> float:
    """A generous estimate of the width of a mark's words."""
    return max(0.6, sum(_character(char) for char in words))


def _character(char: str) -> float:
    if char in " .,:;'|!il()":
        return 0.27
    if char.isdigit() or (char.isascii() and char.islower() and char not in "mw"):
        return 0.38
    return 0.6 if char.isascii() or char in "−×ΩµΔ±·°" else 0.9


def name_box(label: Label) -> Box:
    """The room of a node's name."""
    left, bottom, right, top = label_box(label)
    spare = max(0.0, right - left - NAME * width_of(label.words))
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[label.anchor]
    return left + share * spare, bottom, right - (1 - share) * spare, top
