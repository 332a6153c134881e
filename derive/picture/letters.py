"""Words of a drawing as SVG text: names with their subscripts, everything else escaped.

Enters: text of any origin, spelt symbols. Leaves: SVG. Must not know: drawings.
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape as escape_xml

from derive.typeset.glyphs import Glyphs, Spelt

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
    "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ",
    "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ",
    "Xi": "Ξ", "Pi": "Π", "Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω", "infty": "∞",
}  # fmt: skip
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""What XML cannot hold, and marks that turn the direction of writing."""


def safe(text: str) -> str:
    """Text that shows itself and does nothing else, in an element or an attribute.

    >>> safe('<b> & "x"')
    '&lt;b&gt; &amp; &quot;x&quot;'
    """
    return escape_xml(FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text), {'"': "&quot;", "'": "&#39;"})


def spelt(symbol: Spelt) -> str:
    """A symbol: its letter in italics, its subscript small and low."""
    base = "".join(_run(run) for run in symbol.base)
    if not symbol.sub:
        return base
    sub = "".join(_run(run) for run in symbol.sub)
    return f'{base}<tspan class="sub" dy="0.28em" font-size="72%">{sub}</tspan>'


def _run(run: Glyphs) -> str:
    if run.kind == "upright":
        return safe(run.text)
    letter = GREEK[run.text] if run.kind == "greek" else run.text
    return f'<tspan font-style="italic">{safe(letter)}</tspan>'
