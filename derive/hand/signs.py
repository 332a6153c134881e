"""Letters and signs as people write them, and what they stand for.

Enters: nothing. Leaves: tables and the plain form of letters. Must not know: which mode a text is in.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

GREEK: Mapping[str, str] = {
    **dict(zip("αβγδεζηθκλμνξπρστφχψω", (
        "alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "kappa", "lambda", "mu", "nu", "xi", "pi",
        "rho", "sigma", "tau", "phi", "chi", "psi", "omega"), strict=True)),
    "Γ": "Gamma", "Δ": "Delta", "Θ": "Theta", "Λ": "Lambda", "Ξ": "Xi", "Π": "Pi", "Σ": "Sigma", "Φ": "Phi",
    "Ψ": "Psi", "Ω": "Omega", "µ": "mu", "ϕ": "phi",
}  # fmt: skip
NAMES = frozenset(GREEK.values())

# A run of one of these is one token.
SIGNS: Mapping[str, tuple[str, str]] = {
    "||": ("BESIDE", "||"), "∥": ("BESIDE", "||"), "‖": ("BESIDE", "||"), "//": ("BESIDE", "//"),
    "**": ("CARET", ""), "^": ("CARET", ""),
    "+": ("PLUS", ""), "-": ("MINUS", ""), "−": ("MINUS", ""), "–": ("MINUS", ""),
    "*": ("STAR", ""), "·": ("STAR", ""), "×": ("STAR", ""), "⋅": ("STAR", ""), "∗": ("STAR", ""),
    "/": ("SLASH", ""), "÷": ("SLASH", ""), "∕": ("SLASH", ""), "⁄": ("SLASH", ""),
    "(": ("OPEN", ""), "[": ("OPEN", ""), ")": ("CLOSE", ""), "]": ("CLOSE", ""),
    ":=": ("SIGN", "="), "=": ("SIGN", "="), "≡": ("SIGN", "="),
    "≈": ("SIGN", "≈"), "≅": ("SIGN", "≈"), "≃": ("SIGN", "≈"), "~=": ("SIGN", "≈"),
    ";": ("SEPARATOR", ";"), ",": ("SEPARATOR", ","),
    ".": ("SEPARATOR", "."), "√": ("FUNC", "sqrt"),
}  # fmt: skip
SEPARATING = frozenset({"where", "with", "and", "let"})
FUNCTIONS = frozenset({"sqrt", "log10", "abs"})
REFUSED: Mapping[str, tuple[str, str]] = {
    "|": ("a single bar is not read here", "write abs(…) for a magnitude, || for parallel"),
    "~": ("~ is not read here", "write ≈ or ~= for an approximation"),
    "∞": ("a result by hand holds no ∞", "write what it tends to"),
    ">": ("an inequality is no result", "state what is large or small under [[assume]]"),
    "<": ("an inequality is no result", "state what is large or small under [[assume]]"),
    "≫": ("≫ is no result", "state what is large or small under [[assume]]"),
    "≪": ("≪ is no result", "state what is large or small under [[assume]]"),
    "∝": ("∝ is no result", "write = or ≈"),
    "→": ("→ is not read here", "write = or ≈"),
    "'": ("a prime is not read here", "give the quantity a name with letters and digits"),
}

_PREFIX = "fpnuµμmkMGT"
_WORDLIKE = r"A-Za-z0-9_.\u0370-\u03ff\u2080-\u209c\u00b5"
NUMBER = re.compile(rf"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?[{_PREFIX}]?(?![{_WORDLIKE}])", re.ASCII)
DIGITS = re.compile(r"\d+(?:\.\d+)?|\.\d+", re.ASCII)
LETTER_CODE = re.compile(rf"(\d+)([RK{_PREFIX}])(\d+)(?![{_WORDLIKE}])", re.ASCII)
UNIT = re.compile(rf"\s*([{_PREFIX}]?)(?:Ω|Ω|[Oo]hms?\b)")
RAISED = "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"
LOWERED = re.compile(r"[\u2080-\u2089\u2090-\u209c\u1d62-\u1d6a]")


def is_letter(character: str) -> bool:
    """Whether a word may begin with it."""
    return (character.isascii() and character.isalpha()) or character in GREEK


def plain(text: str) -> str:
    """A word in plain letters, digits and underscores.

    >>> plain("R₁"), plain("rπ2"), plain("µ")
    ('R_1', 'rpi2', 'mu')
    """
    out = ""
    for character in text:
        if LOWERED.match(character):
            before = out[-1:]
            lowered = GREEK.get(normal := unicodedata.normalize("NFKC", character), normal)
            out += lowered if before == "_" or out.endswith("\0") else "_" + lowered
            out += "\0"
        else:
            out = out.removesuffix("\0") + GREEK.get(character, character)
    return out.replace("\0", "")


def key(text: str) -> str:
    """The letters and digits of a word."""
    return plain(text).replace("_", "")
