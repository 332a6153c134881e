"""Words of a document as LaTeX: text, algebra, readings, node names.

Enters: ``Words``. Leaves: ``Latex``. Must not know: blocks, pages.

A formula too wide for its column is set apart on lines of its own, cut to the width.
"""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass

from derive.errors import Defect
from derive.numbers import MINUS, RATIOS, THIN, Engineering, engineering, phase_text, polar, trimmed
from derive.spoken import spoken
from derive.typeset.breaking import fit_expr
from derive.typeset.cutting import Abbreviations
from derive.typeset.escape import Latex, char_width, escape, escape_code, escape_plain
from derive.typeset.math import Setter
from derive.typeset.spelling import Spelling
from derive.words import Code, Formula, Node, Reading, Strong, Words

UNIT = re.compile(r"(1|[A-Za-zΩ°%√]+)(?:\^(-?[0-9]+)|([²³]))?([·/ ]|\Z)")
SYMBOLS = {"Ω": r"\Omega", "µ": r"\micro", "%": r"\%", "°": r"{}^{\circ}"}
ANY_WIDTH = 1e6
"""The width of a column that takes its width from its content."""
LEFTOVER = 0.8
"""Share of its column beyond which a formula is set apart."""


@dataclass(frozen=True)
class Speaker:
    """Renders words in the spelling of a sheet."""

    spelling: Spelling
    names: Abbreviations

    def say(self, words: Words, width: float = 40.0) -> Latex:
        """Words as LaTeX for a column of ``width`` em."""
        return Latex("".join(self._inline(piece, width) for piece in words))

    def _inline(self, piece: object, width: float) -> str:
        match piece:
            case str():
                return escape(piece)
            case Formula(expr):
                set_expr = Setter(self.spelling, "inline").state(expr)
                if set_expr.width <= LEFTOVER * width:
                    return f"${set_expr.ink}$"
                lines = " \\\\\n".join(fit_expr(expr, width - 1, self.spelling, self.names))
                return f"\n\\setapart{{\n{lines}\n}}\n"
            case Reading():
                return f"${reading(piece)}$"
            case Node(name):
                return rf"\node{{{escape(name)}}}"
            case Code(text):
                return rf"\code{{{escape_code(text)}}}"
            case Strong(text):
                return rf"\strong{{{escape(text)}}}"
        raise Defect(f"a piece of words of unknown kind: {piece!r}")

    def plain(self, words: Words) -> Latex:
        """Words for a bookmark: no mathematics."""
        return escape_plain(spoken(words))


def reading(record: Reading) -> str:
    """A reading in mathematics mode, with its unit upright and a true minus sign.

    >>> reading(Reading(4700, "Ω", 3))
    '4.70\\\\,\\\\mathrm{k\\\\Omega}'
    """
    value = complex(record.value)
    if record.style == "stated":
        return quantity(trimmed(engineering(value.real, record.unit, record.digits)))
    if record.style == "plain" and value.imag == 0:
        return quantity(engineering(value.real, record.unit, record.digits))
    size, phase = polar(value)
    text = quantity(engineering(size, record.unit, record.digits))
    if not phase:
        return text
    return rf"{text}\ \angle\,{{{_digits(phase_text(phase))}}}^{{\circ}}"


def quantity(parts: Engineering) -> str:
    """The pieces of engineering notation in mathematics mode."""
    latex = _digits(parts.mantissa)
    if parts.exponent:
        latex += rf" \times 10^{{{parts.exponent}}}"
    if not parts.unit or parts.unit in RATIOS:
        return latex
    return latex + ("" if parts.unit == "°" else r"\,") + unit(parts.prefix, parts.unit)


def _digits(mantissa: str) -> str:
    return mantissa.replace(MINUS, "-").replace(THIN, r"\,").replace("∞", r"\infty")


def unit(prefix: str, name: str) -> str:
    """A unit with its prefix, upright, powers raised: ``1/s`` is s to the minus one.

    Raises Defect for what is not a unit.
    """
    start, latex = 0, ""
    sign = 1
    if name.startswith("1/"):
        start, sign = 2, -1
    while start < len(name):
        found = UNIT.match(name, start)
        if not found:
            raise Defect(f"{name!r} is not a unit")
        factor, power, raised, joint = found.groups()
        exponent = sign * int(power or {"²": 2, "³": 3}.get(raised or "", 1))
        latex += _factor(prefix + factor) + (f"^{{{exponent}}}" if exponent != 1 else "")
        latex += {"/": "/", "": ""}.get(joint, r"\,")
        prefix, start = "", found.end()
    return rf"\mathrm{{{latex}}}"


def _factor(text: str) -> str:
    latex = ""
    root = False
    for char in text:
        if char == "√":
            latex, root = latex + r"\sqrt{", True
            continue
        latex += SYMBOLS.get(char, char)
        if SYMBOLS.get(char, "").isidentifier() or latex.endswith((r"\Omega", r"\micro")):
            latex += " "
    return latex.rstrip() + ("}" if root else "")


def text_width(words: Words, spelling: Spelling) -> float:
    """A generous estimate, in em, of the width of words on one line."""
    total = 0.0
    for piece in words:
        match piece:
            case Formula(expr):
                total += Setter(spelling, "inline").state(expr).width
            case Code(text):
                total += 0.54 * len(text)
            case Reading():
                total += sum(char_width(char) for char in spoken((piece,))) + 0.3
            case _:
                widen = 1.2 if isinstance(piece, Strong) else 1.0
                total += widen * sum(char_width(char) for char in spoken((piece,)))
    return total


def wrap(latex: str, indent: str = "") -> Latex:
    """Long lines of running text broken for whoever edits the source."""
    lines: list[str] = []
    for line in latex.split("\n"):
        wrapped = textwrap.wrap(
            line, 98, initial_indent=indent, subsequent_indent=indent,
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip
        lines += wrapped or ([] if not line else [indent])
    return Latex("\n".join(lines))
