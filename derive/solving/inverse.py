"""A part as a formula of the answer that is wanted.

Enters: an answer as a ratio without s, the symbol of the part. Leaves: a tree, checked at random exact points.
Must not know: numbers beyond the order of terms, bias points.

Every answer is bilinear in each admittance, H = (a + b x)/(c + d x), so x = (H c - a)/(b - H d).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.errors import Defect
from derive.expression.tree import Expr, Name, evaluate, replace_symbols
from derive.forms.present import style_of, write
from derive.forms.trial import points

WANTED = "Hwanted_1"
"""The generator that stands for the wanted answer; no symbol of a circuit is called so."""


Reason = Literal["absent", "frequency", "long", "negative"]


def has_s(ratio: Ratio) -> bool:
    """Whether a ratio depends on the frequency."""
    return any(exponents[0] for side in (ratio.above, ratio.below) for exponents, _ in terms(side))


def invert(
    ratio: Ratio, symbol: str, name: str, laws: Mapping[str, str], numbers: Mapping[str, Fraction], wanted: Fraction
) -> tuple[Expr, Fraction] | Reason:
    """x as a formula of the answer called ``name``, and its number where that is ``wanted``; or a reason.

    Reasons: ``frequency`` (the ratio depends on s), ``absent`` (it does not hold the symbol, or is not linear in it),
    ``long`` (too long to read), ``negative`` (no finite value here).
    """
    ring = ratio.ring
    if symbol not in ring.index:
        return "absent"
    if has_s(ratio):
        return "frequency"
    place = ring.index[symbol]
    halves = [_halves(side, place) for side in (ratio.above, ratio.below)]
    if halves[0] is None or halves[1] is None:
        return "absent"
    wide = Ring((*ring.names, WANTED))
    (a, b), (c, d) = (tuple(_widened(part, wide) for part in half) for half in (halves[0], halves[1]))
    h = wide.generator(WANTED)
    if b.is_zero() and d.is_zero():
        return "absent"
    found = lowest_terms(wide, h * c - a, b - h * d)
    known = {**numbers, WANTED: wanted}
    tree = write(style_of(wide, {**laws, WANTED: "ratio"}, known), found)
    if tree is None:
        return "long"
    _require_inverse(tree, ratio, symbol)
    try:
        value = found.value(known)
    except ZeroDivisionError:
        return "negative"
    return replace_symbols(tree, {WANTED: Name(name)}), value


def _require_inverse(tree: Expr, ratio: Ratio, symbol: str) -> None:
    """Raises Defect unless the answer with the formula in place of the symbol is the one wanted, at random points."""
    for point in points((*ratio.ring.names, WANTED)):
        numbers = {**point, symbol: evaluate(tree, point)}
        if ratio.value(numbers, point["s"]) != point[WANTED]:
            raise Defect(f"the formula for {symbol} does not give the answer it was made for")


def _halves(polynomial: Polynomial, place: int) -> tuple[Polynomial, Polynomial] | None:
    """What stands without the symbol and what it multiplies; None where a higher power of it occurs."""
    parts: tuple[dict[Exponents, int], dict[Exponents, int]] = ({}, {})
    for exponents, coefficient in terms(polynomial):
        power = exponents[place]
        if power > 1:
            return None
        parts[power][(*exponents[:place], 0, *exponents[place + 1 :])] = coefficient
    context = polynomial.context()
    return context.from_dict(parts[0]), context.from_dict(parts[1])


def _widened(polynomial: Polynomial, wide: Ring) -> Polynomial:
    return wide.polynomial({(*exponents, 0): coefficient for exponents, coefficient in terms(polynomial)})
