"""The glyphs of which a symbol is spelt, and their widths.

Enters: checked names. Leaves: LaTeX for a base with a subscript, and its width in em.
Must not know: which name means what.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.typeset.metrics import GREEK, ITALIC, ROMAN

SCRIPT_SPACE = 0.05
"""TeX's \\scriptspace after a subscript or superscript, in em of 10 point."""


@dataclass(frozen=True)
class Glyphs:
    """A run of glyphs of one kind: an italic letter, upright letters and signs, or one Greek letter."""

    kind: Literal["italic", "upright", "greek"]
    text: str

    @property
    def latex(self) -> str:
        if self.kind == "italic":
            return self.text
        if self.kind == "greek":
            return rf"\{self.text}"
        safe = self.text.replace("_", r"\_")
        return safe if self.text.isdigit() else rf"\mathrm{{{safe}}}"

    def width(self, script: bool) -> float:
        if self.kind == "greek":
            return GREEK[self.text][script] / 1000
        table = ITALIC if self.kind == "italic" else ROMAN
        return sum(_width(table, letter, script) for letter in self.text) / 1000


def _width(table: dict[str, tuple[int, int]], letter: str, script: bool) -> int:
    # The underscore is a rule; its text width is that of T1's own.
    return table[letter][script] if letter in table else (600, 480)[script]


def italic(letter: str) -> tuple[Glyphs, ...]:
    return (Glyphs("italic", letter),)


def upright(text: str) -> tuple[Glyphs, ...]:
    return (Glyphs("upright", text),) if text else ()


def greek(name: str) -> tuple[Glyphs, ...]:
    return (Glyphs("greek", name),)


@dataclass(frozen=True)
class Spelt:
    """A spelt symbol: a base and, where it has one, a subscript."""

    base: tuple[Glyphs, ...]
    sub: tuple[Glyphs, ...] = ()

    @property
    def latex(self) -> str:
        base = "".join(run.latex for run in self.base)
        return f"{base}_{{{_joined(self.sub)}}}" if self.sub else base

    @property
    def base_width(self) -> float:
        """Width of the base in em of 10 point."""
        return sum(run.width(script=False) for run in self.base)

    @property
    def sub_width(self) -> float:
        """Width of the subscript in em of 10 point, with the space after it; zero without one."""
        return sum(run.width(script=True) for run in self.sub) + (SCRIPT_SPACE if self.sub else 0.0)

    @property
    def width(self) -> float:
        return self.base_width + self.sub_width

    @property
    def length(self) -> int:
        """Number of letters, by which an over-long name is noticed."""
        return sum(len(run.text) if run.kind == "upright" else 1 for run in (*self.base, *self.sub))

    @property
    def is_word(self) -> bool:
        """Whether the base is a word, which must be kept apart from its neighbours in a product."""
        return self.base[0].kind == "upright"


def _joined(runs: tuple[Glyphs, ...]) -> str:
    """The runs in sequence, adjoining upright runs merged."""
    merged: list[Glyphs] = []
    for run in runs:
        if merged and merged[-1].kind == run.kind == "upright":
            merged[-1] = Glyphs("upright", merged[-1].text + run.text)
        else:
            merged.append(run)
    latex = ""
    for run in merged:
        # A control word needs an end before a digit or a letter: \pi 1.
        latex += (" " if latex and latex[-1].isalpha() else "") + run.latex
    return latex
