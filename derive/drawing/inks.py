"""The inks of marks: colours that stay apart for colour-blind readers, each with a dash pattern of its own.

Enters: nothing. Leaves: tables. Must not know: LaTeX, SVG, circuits.

Colours are sRGB, dark enough for white paper (4.5 to 1 and more); ``light`` ones are for a dark ground. Where two
marks could be taken for each other, their dashes or shapes differ as well, so that a grey printer keeps them apart.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Ink:
    """A colour for a light ground, one for a dark ground, and dashes in grid units (empty: a full line)."""

    dark: str
    light: str
    dashes: tuple[float, ...] = ()


LOOPS: tuple[Ink, ...] = (
    Ink("037d8c", "b5e3f2"),
    Ink("b85210", "fa8524", (1.0, 0.45)),
    Ink("54258c", "b563f6", (0.22, 0.3)),
    Ink("37091e", "fb5198", (1.1, 0.35, 0.22, 0.35)),
)
"""One for each loop in turn; a fifth begins again with the first."""
VOLTAGE = Ink("1b4f9c", "9dbdf2")
ARROW = Ink("8a1c3b", "f095ae")
BADGE = Ink("3d3d3d", "d8d8d8")
PALE = Ink("707070", "939393", (0.3, 0.25))
"""What an approximation has removed."""


def loop_ink(pattern: int) -> Ink:
    """The ink of a loop.

    >>> loop_ink(5) == loop_ink(1)
    True
    """
    return LOOPS[pattern % len(LOOPS)]
