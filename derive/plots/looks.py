"""How plots look: colours, lines and letters, and text in the fonts that come with the drawing library.

Enters: text. Leaves: text in which the signs that its font lacks are mathematics. Must not know: responses.

The approximate answer is a thin dark dashed line on a wide light one, the exact answer: where the two agree
both are seen, and on a grey printer too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

INK, ACCENT, GREY, HAIR = "0.1", "#8c2f12", "0.35", "0.82"
OUTSIDE, AGREEMENT = "0.95", "#f0d9cf"
STYLES: dict[str, dict[str, Any]] = {
    "exact": {"color": "0.58", "linewidth": 2.5, "linestyle": "-", "solid_capstyle": "butt", "zorder": 3},
    "approximate": {"color": ACCENT, "linewidth": 1.0, "linestyle": (0, (5.0, 2.6)), "zorder": 4},
}
FONTS: Any = {
    "font.family": "cmr10", "mathtext.fontset": "cm", "font.size": 8.0, "axes.unicode_minus": False,
    "axes.formatter.use_mathtext": True, "pdf.fonttype": 42, "axes.linewidth": 0.5, "path.simplify": True,
}  # fmt: skip
"""Fonttype 42 embeds TrueType outlines, which viewers show sharply and search; type 3 would be drawings."""
MARKS = {"−": "$-$", "Ω": r"$\Omega$", "µ": r"$\mu$", "°": r"$^\circ$", "\u2009": " ", "√": r"$\surd$",
         "×": r"$\times$", "∞": r"$\infty$"}  # fmt: skip
"""Characters that the text font lacks, as mathematics."""
_RAISED = re.compile("[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+")
_LEVEL = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")

_SIGN: ContextVar[str] = ContextVar("decimal sign", default="point")
_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")


@contextmanager
def decimal_sign(name: str) -> Iterator[None]:
    """Numbers of plots have a point or a comma within this context."""
    before = _SIGN.set(name)
    try:
        yield
    finally:
        _SIGN.reset(before)


def typeset(text: str) -> str:
    """Text with the signs that the text font lacks set as mathematics, and with the decimal sign in place."""
    if _SIGN.get() == "comma":
        text = _POINT.sub("{,}" if text.endswith("°") else ",", text)
    if text.endswith("°"):
        return "$" + text[:-1].replace("−", "-").replace("\u2009", "") + r"^\circ$"
    text = "".join(MARKS.get(char, char) for char in text)
    return _RAISED.sub(lambda found: f"$^{{{found.group().translate(_LEVEL)}}}$", text)
