"""How set algebra is written down in each medium: the pens that a ``Setter`` may hold.

Enters: fragments that a pen wrote before, spelt symbols, digits. Leaves: a longer fragment.
Must not know: expressions, where brackets stand, widths, lines. What is decided about a formula is decided
once, by whoever holds the pen.

To write algebra in another medium, add a class with these methods.
"""

from __future__ import annotations

from typing import Protocol

from derive.typeset.glyphs import Spelt

OPENINGS, CLOSINGS = ("", r"\biggl", r"\Biggl"), ("", r"\biggr", r"\Biggr")
RELATIONS = {">>": r"\gg", "<<": r"\ll", "->": r"\to", "=": "="}
SIGNS = {
    "+": "+", "-": "-", "=": "=", "≈": r"\approx", ":=": r"\coloneqq", "∥": r"\parallel", "×": r"\times", "·": r"\cdot",
}  # fmt: skip
FUNCTIONS = {"exp": r"\exp", "log10": r"\log_{10}"}


class Pen(Protocol):
    """``sign`` is an operator with its spaces; ``lead`` begins a line with one; ``head`` stands before anything."""

    minus: str
    thin: str
    """Between two factors that must be kept apart."""
    beside: str
    """Between two factors that stand side by side."""
    infinity: str

    def symbol(self, spelt: Spelt, power: int | None = None) -> str: ...
    def digits(self, text: str) -> str: ...
    def ten(self, mantissa: str, power: int) -> str: ...
    def small_fraction(self, above: int, below: int) -> str: ...
    def fraction(self, above: str, below: str, *, outer: bool) -> str: ...
    def slash(self, above: str, below: str) -> str: ...
    def raised(self, base: str, power: int) -> str: ...
    def root(self, inner: str) -> str: ...
    def fence(self, inner: str, level: int, *, bars: bool = False) -> str: ...
    def opening(self, level: int, *, bars: bool = False) -> str: ...
    def closing(self, level: int, *, bars: bool = False, power: int | None = None) -> str: ...
    def sign(self, sign: str) -> str: ...
    def lead(self, sign: str) -> str: ...
    def relation(self, op: str) -> str: ...
    def function(self, name: str) -> str: ...
    def helper(self, letter: str, number: int, *, script: bool, of_s: bool) -> str: ...


class LatexPen:
    """Algebra in LaTeX's mathematics mode."""

    minus, thin, beside, infinity = "-", r"\,", " ", r"\infty"

    def symbol(self, spelt: Spelt, power: int | None = None) -> str:
        return spelt.latex if power is None else f"{spelt.latex}^{{{power}}}"

    def digits(self, text: str) -> str:
        return text

    def ten(self, mantissa: str, power: int) -> str:
        return rf"{mantissa} \times 10^{{{power}}}"

    def small_fraction(self, above: int, below: int) -> str:
        return rf"\tfrac{{{above}}}{{{below}}}"

    def fraction(self, above: str, below: str, *, outer: bool) -> str:
        return (r"\frac" if outer else r"\dfrac") + f"{{{above}}}{{{below}}}"

    def slash(self, above: str, below: str) -> str:
        return f"{above}/{below}"

    def raised(self, base: str, power: int) -> str:
        return f"{base}^{{{power}}}"

    def root(self, inner: str) -> str:
        return rf"\sqrt{{{inner}}}"

    def fence(self, inner: str, level: int, *, bars: bool = False) -> str:
        return self.opening(level, bars=bars) + inner + self.closing(level, bars=bars)

    def opening(self, level: int, *, bars: bool = False) -> str:
        return OPENINGS[min(level, 2)] + (r"\lvert " if bars else "(")

    def closing(self, level: int, *, bars: bool = False, power: int | None = None) -> str:
        raised = "" if power is None else f"^{{{power}}}"
        return CLOSINGS[min(level, 2)] + (r"\rvert" if bars else ")") + raised

    def sign(self, sign: str) -> str:
        return f" {SIGNS[sign]} "

    def lead(self, sign: str) -> str:
        return f"{SIGNS[sign]} "

    def relation(self, op: str) -> str:
        return f" {RELATIONS[op]} "

    def function(self, name: str) -> str:
        return FUNCTIONS[name]

    def helper(self, letter: str, number: int, *, script: bool, of_s: bool) -> str:
        """The name of a piece that stands apart: N with a number."""
        name = rf"\mathcal{{{letter}}}" if script else letter
        return f"{name}_{{{number}}}" + ("(s)" if of_s else "")


LATEX = LatexPen()
