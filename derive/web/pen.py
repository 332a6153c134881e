"""Algebra in MathML Core: the pen that writes for browsers.

Enters: fragments, spelt symbols. Leaves: MathML, escaped. Must not know: expressions, lines, pages.

A fragment is a run of elements without an enclosing row, so that runs join by writing one after the other.
"""

from __future__ import annotations

from html import escape

from derive.typeset.glyphs import Glyphs, Spelt

LETTERS = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ϵ", "zeta": "ζ", "eta": "η", "theta": "θ",
    "iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "upsilon": "υ", "phi": "ϕ", "chi": "χ", "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ",
    "Theta": "Θ", "Lambda": "Λ", "Xi": "Ξ", "Pi": "Π", "Sigma": "Σ", "Upsilon": "Υ", "Phi": "Φ", "Psi": "Ψ",
    "Omega": "Ω", "infty": "∞",
}  # fmt: skip
RELATIONS = {">>": "≫", "<<": "≪", "->": "→", "=": "="}
TEXTS = {"-": "−", ":=": "≔"}
HEIGHTS = ("", "2.1em", "2.9em")
"""Heights of brackets that a line may break between; others stretch by themselves."""
INVISIBLE_TIMES = "<mo>\u2062</mo>"


class MathmlPen:
    """Writes the elements that every present browser lays out."""

    minus = '<mo form="prefix">−</mo>'
    thin = f'{INVISIBLE_TIMES}<mspace width="0.167em"></mspace>'
    beside = INVISIBLE_TIMES
    infinity = "<mi>∞</mi>"

    def symbol(self, spelt: Spelt, power: int | None = None) -> str:
        base = _row("".join(map(_run, spelt.base)))
        sub = _row("".join(map(_run, _merged(spelt.sub)))) if spelt.sub else ""
        match sub, power:
            case "", None:
                return base
            case _, None:
                return f"<msub>{base}{sub}</msub>"
            case "", _:
                return f"<msup>{base}<mn>{power}</mn></msup>"
            case _:
                return f"<msubsup>{base}{sub}<mn>{power}</mn></msubsup>"

    def digits(self, text: str) -> str:
        return f"<mn>{escape(text)}</mn>"

    def ten(self, mantissa: str, power: int) -> str:
        script = f"<mn>{power}</mn>" if power >= 0 else f"<mrow>{self.minus}<mn>{-power}</mn></mrow>"
        return f"{mantissa}<mo>×</mo><msup><mn>10</mn>{script}</msup>"

    def small_fraction(self, above: int, below: int) -> str:
        return f'<mfrac displaystyle="false"><mn>{above}</mn><mn>{below}</mn></mfrac>'

    def fraction(self, above: str, below: str, *, outer: bool) -> str:  # noqa: ARG002
        # What stands in a fraction within a fraction is not set smaller.
        return f'<mfrac displaystyle="true">{_row(above)}{_row(below)}</mfrac>'

    def slash(self, above: str, below: str) -> str:
        return f'{above}<mo lspace="0" rspace="0" stretchy="false">/</mo>{below}'

    def raised(self, base: str, power: int) -> str:
        return f"<msup>{_row(base)}<mn>{power}</mn></msup>"

    def root(self, inner: str) -> str:
        return f"<msqrt>{inner}</msqrt>"

    def fence(self, inner: str, level: int, *, bars: bool = False) -> str:
        left, right = ("|", "|") if bars else ("(", ")")
        fixed = 'fence="true"' if level else 'fence="true" stretchy="false"'
        return f'<mrow><mo form="prefix" {fixed}>{left}</mo>{inner}<mo form="postfix" {fixed}>{right}</mo></mrow>'

    def opening(self, level: int, *, bars: bool = False) -> str:
        return _bracket("|" if bars else "(", "prefix", level)

    def closing(self, level: int, *, bars: bool = False, power: int | None = None) -> str:
        bracket = _bracket("|" if bars else ")", "postfix", level)
        return bracket if power is None else f"<msup>{bracket}<mn>{power}</mn></msup>"

    def sign(self, sign: str) -> str:
        return f'<mo form="infix">{TEXTS.get(sign, sign)}</mo>'

    def lead(self, sign: str) -> str:
        return self.sign(sign)

    def relation(self, op: str) -> str:
        return f"<mo>{RELATIONS[op]}</mo>"

    def function(self, name: str) -> str:
        return "<mi>exp</mi>" if name == "exp" else "<msub><mi>log</mi><mn>10</mn></msub>"

    def helper(self, letter: str, number: int, *, script: bool, of_s: bool) -> str:
        base = f"<mi>{chr(0x1D49C + ord(letter) - ord('A'))}</mi>" if script else f"<mi>{letter}</mi>"
        argument = '<mo stretchy="false">(</mo><mi>s</mi><mo stretchy="false">)</mo>' if of_s else ""
        return f"<msub>{base}<mn>{number}</mn></msub>{argument}"


def _bracket(text: str, form: str, level: int) -> str:
    height = HEIGHTS[min(level, 2)]
    size = f'minsize="{height}" maxsize="{height}"' if height else 'stretchy="false"'
    return f'<mo form="{form}" fence="true" {size}>{text}</mo>'


def _run(run: Glyphs) -> str:
    """A run of glyphs: single letters are italic by themselves unless they are marked as upright."""
    if run.kind == "greek":
        letter = LETTERS[run.text]
        upright = run.text == "infty" or run.text[0].isupper()
        return f'<mi mathvariant="normal">{letter}</mi>' if upright else f"<mi>{letter}</mi>"
    if run.kind == "italic":
        return f"<mi>{escape(run.text)}</mi>"
    if run.text.isdigit():
        return f"<mn>{run.text}</mn>"
    text = escape(run.text.replace("-", "−"))
    return f'<mi mathvariant="normal">{text}</mi>' if len(run.text) == 1 else f"<mi>{text}</mi>"


def _merged(runs: tuple[Glyphs, ...]) -> list[Glyphs]:
    merged: list[Glyphs] = []
    for run in runs:
        if merged and merged[-1].kind == run.kind == "upright":
            merged[-1] = Glyphs("upright", merged[-1].text + run.text)
        else:
            merged.append(run)
    return merged


def _row(run: str) -> str:
    return f"<mrow>{run}</mrow>"


MATHML = MathmlPen()
