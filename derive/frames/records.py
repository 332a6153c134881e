"""Frames of a video as records: what each shows, and what is said at it.

Enters: nothing. Leaves: records. Must not know: circuits, LaTeX, files.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.document.records import Picture, Row
from derive.words import Words

Ground: TypeAlias = Literal["light", "dark", "clear", "clear-dark"]
"""Dark letters on a light ground, light ones on a dark ground, and both on no ground at all."""
Size: TypeAlias = Literal["1080", "2160"]


@dataclass(frozen=True)
class Frame:
    """One picture. ``question``: its name; ``heading``: what is asked; ``part``: of the derivation.

    ``row``: the step that this frame adds; None where the frame shows ``words`` or a picture alone. ``lit``: parts of
    the picture that the step speaks of. ``begins``: whether the steps before are cleared away. ``large``: whether the
    step stands alone. ``said``: sentences.
    """

    question: str
    heading: Words
    part: str
    row: Row | None
    said: tuple[Words, ...]
    words: Words = ()
    picture: Picture | None = None
    lit: tuple[str, ...] = ()
    begins: bool = False
    large: bool = False


@dataclass(frozen=True)
class Series:
    """All frames in order. ``title``: of the circuit; ``symbols`` and ``devices`` as ``derive.typeset`` wants them."""

    title: str
    frames: tuple[Frame, ...]
    symbols: tuple[str, ...]
    devices: tuple[str, ...]
