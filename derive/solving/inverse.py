"""A part as a formula of the answer that is wanted.

Enters: an answer as a ratio without s, the symbol of the part. Leaves: a tree, checked at random exact points.
Must not know: numbers beyond the order of terms, bias points.

Every answer is bilinear in each admittance, H = (a + b x)/(c + d x), so x = (H c - a)/(b - H d).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.expression.tree import Expr, Name, replace_symbols
from derive.forms.present import style_of, write

WANTED = "Hwanted_1"
"""The generator that stands for the wanted answer; no symbol of a circuit is called so."""


def has_s(ratio: Ratio) -> bool:
    """Whether a ratio depends on the frequency."""
    return any(exponents[0] for side in (ratio.above, ratio.below) for exponents, _ in terms(side))


def invert(
    ratio: Ratio, symbol: str, name: str, laws: Mapping[str, str], numbers: Mapping[str, Fraction], wanted: Fraction
) -> tuple[Expr, Fraction] | None:
    """x as a formula of the answer called ``name``, and its number where the answer is ``wanted``.

    None where the ratio depends on s, does not hold the symbol, is not linear in it, or is too long to read.
    """
    ring = ratio.ring
    if has_s(ratio) or symbol not in ring.index:
        return None
    place = ring.index[symbol]
    halves = [_halves(side, place) for side in (ratio.above, ratio.below)]
    if None in halves:
        return None
    (a, b), (c, d) = halves  # type: ignore[misc]
    if b.is_zero() and d.is_zero():
        return None
    wide = Ring((*ring.names, WANTED))
    a, b, c, d = (_widened(part, wide) for part in (a, b, c, d))
    h = wide.generator(WANTED)
    if (b - h * d).is_zero():
        return None
    found = lowest_terms(wide, h * c - a, b - h * d)
    known = {**numbers, WANTED: wanted}
    style = style_of(wide, {**laws, WANTED: "ratio"}, known)
    tree = write(style, found)
    if tree is None:
        return None
    try:
        value = found.value(known)
    except ZeroDivisionError:
        return None
    return replace_symbols(tree, {WANTED: Name(name)}), value


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
