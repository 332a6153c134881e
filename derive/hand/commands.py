"""The commands of LaTeX that are read in a formula.

Enters: nothing. Leaves: tables. Must not know: anything else.
"""

from __future__ import annotations

from collections.abc import Mapping

OPERATORS: Mapping[str, tuple[str, str]] = {
    "cdot": ("STAR", ""), "times": ("STAR", ""), "ast": ("STAR", ""), "div": ("SLASH", ""),
    "parallel": ("BESIDE", "||"), "|": ("BESIDE", "||"), "Vert": ("BESIDE", "||"),
    "approx": ("SIGN", "≈"), "simeq": ("SIGN", "≈"), "cong": ("SIGN", "≈"), "approxeq": ("SIGN", "≈"),
    "equiv": ("SIGN", "="), "triangleq": ("SIGN", "="), "coloneqq": ("SIGN", "="),
    "cr": ("NEWLINE", ""), "newline": ("NEWLINE", ""),
}  # fmt: skip
NAMED: Mapping[str, str] = {
    "varepsilon": "epsilon", "vartheta": "theta", "varphi": "phi", "varrho": "rho", "ell": "l", "jmath": "j",
}  # fmt: skip
TEXTS = frozenset(
    {"mathrm", "text", "textrm", "mathit", "textit", "mathsf", "textsf", "mathbf", "operatorname", "mathnormal", "rm"}
)
FUNCTIONS = frozenset({"frac", "dfrac", "tfrac", "cfrac", "sqrt", "log", "lg"})
SIZES: Mapping[str, str] = {
    "left": "LBAR", "right": "RBAR", "middle": "",
    **{f"{size}{side}": bar for size in ("big", "Big", "bigg", "Bigg")
       for side, bar in (("l", "LBAR"), ("r", "RBAR"), ("m", ""), ("", ""))},
}  # fmt: skip
BRACKETS: Mapping[str, str] = {
    "{": "OPEN", "lbrace": "OPEN", "lbrack": "OPEN", "lparen": "OPEN",
    "}": "CLOSE", "rbrace": "CLOSE", "rbrack": "CLOSE", "rparen": "CLOSE",
}  # fmt: skip
BARS: Mapping[str, str] = {"lvert": "LBAR", "rvert": "RBAR"}
SKIPPED = frozenset(
    {",", ";", ":", "!", ">", " ", "", "(", ")", "[", "]", "quad", "qquad", "enspace", "thinspace", "medspace",
     "thickspace", "negthinspace", "displaystyle", "textstyle", "limits", "nonumber", "notag",
     "hfill", "ensuremath", "null", "continued"}
)  # fmt: skip
ENVIRONMENTS = frozenset(
    {"algebra", "align", "aligned", "alignat", "equation", "eqnarray", "gather", "gathered", "split", "multline",
     "array", "math", "displaymath", "flalign"}
)  # fmt: skip
_INEQUALITY = ("an inequality is no result", "state what is large or small under [[assume]]")
REFUSED: Mapping[str, tuple[str, str]] = {
    "gg": _INEQUALITY, "ll": _INEQUALITY, "gtrsim": _INEQUALITY, "lesssim": _INEQUALITY,
    "infty": ("a result by hand holds no ∞", "write what it tends to"),
    "ln": ("\\ln is not read here", "there are \\log_{10}, \\sqrt and \\lvert … \\rvert"),
    "over": ("\\over is not read here", "write \\frac{…}{…}"),
    "pm": ("\\pm is not read here", "write one sign"),
    "Rightarrow": ("\\Rightarrow is not read here", "begin a new line, or write ="),
    "propto": ("\\propto is no result", "write = or \\approx"),
    "sum": ("\\sum is not read here", "write the terms out"),
    "prod": ("\\prod is not read here", "write the factors out"),
}  # fmt: skip
