"""Any text as LaTeX that prints it and does nothing else: the one escaping function.

Enters: text of any origin. Leaves: ``Latex``, the type of what may reach a page.
Must not know: documents, templates.

Installed as ``finalize`` of the templates, so that whatever is not marked as LaTeX is escaped. Characters
that the Latin Modern fonts lack, control characters, and marks that turn the direction of writing are
printed as their code in a small frame: visible, and harmless.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from derive.typeset.metrics import ROMAN


class Latex(str):
    """Text that is LaTeX already. Joining it with plain text gives plain text, which is escaped again."""

    __slots__ = ()


SPECIALS = {
    "\\": r"\textbackslash{}", "{": r"\{", "}": r"\}", "$": r"\$", "&": r"\&", "#": r"\#", "%": r"\%",
    "_": r"\_", "^": r"\textasciicircum{}", "~": r"\textasciitilde{}", "<": r"\textless{}",
    ">": r"\textgreater{}", "|": r"\textbar{}", '"': r"\textquotedbl{}", "`": r"\textasciigrave{}",
    "\u00a0": "~", "\u202f": r"\,", "\u2009": r"\,", "\u00ad": r"\-", "\u2010": "-", "\u2011": r"\mbox{-}",
    "\u2013": r"\textendash{}", "\u2014": r"\textemdash{}", "\u2018": r"\textquoteleft{}",
    "\u2019": r"\textquoteright{}", "\u201c": r"\textquotedblleft{}", "\u201d": r"\textquotedblright{}",
    "\u2026": r"\dots{}", "\u2022": r"\textbullet{}", "\u20ac": r"\texteuro{}", "\u2122": r"\textsuperscript{TM}",
    "Ω": r"\textohm{}", "\u2126": r"\textohm{}", "µ": r"\textmu{}", "μ": r"\textmu{}", "°": r"\textdegree{}",
    "\u2212": r"\textminus{}", "×": r"\texttimes{}", "±": r"\textpm{}", "·": r"\textperiodcentered{}",
    "÷": r"\textdiv{}", "¬": r"\textlnot{}", "¹": r"\textonesuperior{}", "²": r"\texttwosuperior{}",
    "³": r"\textthreesuperior{}", "½": r"\textonehalf{}", "¼": r"\textonequarter{}",
    "¾": r"\textthreequarters{}", "§": r"\S{}", "¶": r"\P{}", "©": r"\textcopyright{}",
    "®": r"\textregistered{}", "£": r"\pounds{}", "¥": r"\textyen{}", "¢": r"\textcent{}",
    "¦": r"\textbrokenbar{}", "ª": r"\textordfeminine{}", "º": r"\textordmasculine{}",
    "¡": r"\textexclamdown{}", "¿": r"\textquestiondown{}",
    "«": r"\guillemotleft{}", "»": r"\guillemotright{}", "¤": r"\textcurrency{}",
    "¨": r"\textasciidieresis{}", "¯": r"\textasciimacron{}", "´": r"\textasciiacute{}", "¸": r"\c{}",
    "←": r"\textleftarrow{}", "→": r"\textrightarrow{}", "↑": r"\textuparrow{}", "↓": r"\textdownarrow{}",
    "√": r"\textsurd{}", "\u201a": r"\quotesinglbase{}", "\u201e": r"\quotedblbase{}",
}  # fmt: skip
"""Text spellings, each also known to hyperref for bookmarks and document properties."""

MATHEMATICAL = {
    "≥": "geq", "≤": "leq", "≈": "approx", "≠": "neq", "≡": "equiv", "≫": "gg", "≪": "ll", "∞": "infty",
    "∥": "parallel", "∠": "angle", "∝": "propto", "∑": "sum", "∏": "prod", "∫": "int", "∂": "partial",
    "⇒": "Rightarrow", "⇔": "Leftrightarrow", "↔": "leftrightarrow", "∈": "in", "∼": "sim", "≃": "simeq",
    "⋅": "cdot", "′": "prime", "∓": "mp", "⊥": "perp",
    "α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta", "ε": "varepsilon", "ζ": "zeta", "η": "eta",
    "θ": "theta", "ι": "iota", "κ": "kappa", "λ": "lambda", "ν": "nu", "ξ": "xi", "π": "pi", "ρ": "rho",
    "σ": "sigma", "ς": "varsigma", "τ": "tau", "υ": "upsilon", "φ": "varphi", "χ": "chi", "ψ": "psi",
    "ω": "omega", "Γ": "Gamma", "Δ": "Delta", "∆": "Delta", "Θ": "Theta", "Λ": "Lambda",
    "Ξ": "Xi", "Π": "Pi", "Σ": "Sigma",
    "Υ": "Upsilon", "Φ": "Phi", "Ψ": "Psi",
}  # fmt: skip
"""Characters that only the fonts of mathematics have, by their control words."""

LETTERS = frozenset(
    "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿ"
    "ĂăĄąĆćČčĎďĐđĘęĚěĞğĹĺĽľŁłŃńŇňŐőŒœŔŕŘřŚśŞşŠšŢţŤťŮůŰűŸŹźŻżŽžİı"
)
"""Letters of T1 that stand as they are in the UTF-8 source."""

RUN = 8.0
"""A word wider than so many em may be broken, at every half of that; about sixteen small letters."""


def escape(value: Any, run: float = RUN) -> Latex:
    """Anything as LaTeX: marked LaTeX passes, pylatex objects are dumped, all else is text and is escaped.

    A word wider than ``run`` em may be broken anywhere.

    >>> escape("50 % of R_1 & more")
    '50 \\\\% of R\\\\_1 \\\\& more'
    """
    if isinstance(value, Latex):
        return value
    if hasattr(value, "dumps") and type(value).__module__.startswith("pylatex."):
        return Latex(value.dumps())
    if value is None:
        return Latex("")
    return Latex("".join(_pieces(_cleaned(str(value)), run)))


def escape_code(text: str) -> Latex:
    """Text for the typewriter face: apostrophes stay straight."""
    return Latex("".join(r"\textquotesingle{}" if piece == "'" else piece for piece in _pieces(_cleaned(text), RUN)))


def escape_plain(text: str) -> Latex:
    """Text for bookmarks and document properties: no mathematics, no frames, no break points."""
    pieces = []
    for char in _cleaned(text):
        if char in MATHEMATICAL:
            pieces.append(MATHEMATICAL[char])
        elif char in SPECIALS or char in LETTERS or " " <= char <= "~":
            pieces.append(SPECIALS.get(char, char))
        else:
            pieces.append(f"[U+{ord(char):04X}]")
    return Latex("".join(pieces))


def _cleaned(text: str) -> str:
    """Composed characters (NFC), white space as single spaces."""
    return re.sub(r"[ \t\r\n\f\v\u2028\u2029\x85]+", " ", unicodedata.normalize("NFC", text))


def _pieces(text: str, longest: float) -> list[str]:
    """One fragment of LaTeX for each character, and break points within words wider than ``longest`` em."""
    pieces: list[str] = []
    for word in re.split(r"([ \u00a0])", text):
        widths = [char_width(char) for char in word]
        long, run, before = sum(widths) > longest, 0.0, ""
        for char, width in zip(word, widths, strict=True):
            run += width
            if long and run > longest / 2:
                pieces.append(r"\breakable{}")
                run = width
            # T1 joins --, ,, and '' into other signs: an empty group keeps them apart.
            if char == before and char in "-,'":
                pieces.append("{}")
            pieces.append(_character(char))
            before = char
    return pieces


def char_width(char: str) -> float:
    """A generous estimate of a character's width in em."""
    if char in ROMAN:
        return ROMAN[char][0] / 1000
    if char == " ":
        return 0.34
    return 2.2 if _character(char).startswith(r"\missing") else 0.8


def _character(char: str) -> str:
    if char in SPECIALS:
        return SPECIALS[char]
    if char in MATHEMATICAL:
        return rf"\ensuremath{{\{MATHEMATICAL[char]}}}"
    if char in LETTERS or " " <= char <= "~":
        return char
    return rf"\missing{{{ord(char):04X}}}"
