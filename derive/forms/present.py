"""The form in which an answer is printed: short, or as a leading value with named coefficients of s, or not at all.

Enters: a ratio, the numbers of its symbols. Leaves: a form, verified equal to the ratio at random exact points.
Must not know: questions, steps, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import prod
from typing import TypeAlias

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring
from derive.expression.tree import ONE, Expr, Name, Parallel, Power, S, Sum, product, quotient, total
from derive.forms.laurent import Style
from derive.forms.quotients import write_ratio
from derive.forms.substitution import in_one_piece
from derive.forms.trial import require_equal

READABLE = 26.0
"""Cost above which an expression is not printed; about two dozen symbols, two lines of a page."""
NESTED_POWERS = 3.0
"""Price of powers of s nested in each other, beside a polynomial in s written out."""
ONE_PIECE = 17.0
"""Cost up to which an answer with s is written in one piece rather than with named coefficients."""
LEADING = 5.5
"""What a leading value times first-order factors (1 ± s τ) may cost more than another form."""

Letters: TypeAlias = tuple[str, str, str]
APPROXIMATE: Letters = ("K", "d", "c")
EXACT: Letters = ("H", "b", "a")
"""The letters of an exact answer; those of an approximate one are told apart by whoever asks for it."""

_RANK = {"ratio": 0, "conductance": 1, "resistance": 2, "inductance": 3, "delay": 4, "capacitance": 5, "": 6}


@dataclass(frozen=True)
class Coefficient:
    """A named coefficient: ``tree`` None where it is too long to read (``terms`` above and below)."""

    name: Name
    tree: Expr | None
    terms: tuple[int, int]
    power: int
    ratio: Ratio


@dataclass(frozen=True)
class Form:
    """``tree``: the whole answer, in symbols or in the names of ``coefficients``; None when not printable.

    ``named`` tells whether the tree stands on named coefficients.
    """

    tree: Expr | None
    coefficients: tuple[Coefficient, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether all of it can be printed."""
        return self.tree is not None and all(c.tree is not None for c in self.coefficients)

    @property
    def named(self) -> bool:
        return bool(self.coefficients)


def style_of(ring: Ring, laws: Mapping[str, str], numbers: Mapping[str, Fraction]) -> Style:
    """The order in which symbols of a ring are written: conductances, resistances, inductances, capacitances."""
    known = tuple("" if name == "s" else laws.get(name, "resistance") for name in ring.names)
    order = sorted(range(len(ring.names)), key=lambda i: (i == 0, _RANK[known[i]], i))
    if "s" in ring.names:
        # s stands in front of the capacitance or inductance it belongs to, behind pure numbers.
        order.insert(0, order.pop(order.index(0)))
    place = [0] * len(order)
    for rank, i in enumerate(order):
        place[i] = rank
    values = [1.0, *(float(numbers[name]) for name in ring.names[1:])]

    def size(exponents: Exponents) -> float:
        return prod(v**e for v, e in zip(values, exponents, strict=True) if e) * 10.0 ** (-30 * exponents[0])

    owners = [name.removeprefix("gm_") for name in ring.names if name.startswith("gm_")]
    betas = tuple(
        (ring.index[f"gm_{owner}"], ring.index[f"rpi_{owner}"], f"beta_{owner}")
        for owner in owners
        if f"rpi_{owner}" in ring.index
    )
    return Style(ring, tuple(place), known, size, betas)


def write(style: Style, ratio: Ratio, limit: float = READABLE) -> Expr | None:
    """The ratio as one readable tree, verified; None when it is too long to read."""
    key = ("tree", str(ratio.above), str(ratio.below), repr(limit))
    if key not in style.forms:
        tree = write_ratio(style, ratio, limit)
        if tree is not None and style.cost(tree) > limit:
            tree = None
        if tree is not None:
            require_equal(tree, ratio)
        style.forms[key] = tree
    known: Expr | None = style.forms[key]  # type: ignore[assignment]
    return known


def present(style: Style, ratio: Ratio, letters: Letters = EXACT) -> Form:
    """The form of an answer; the same ratio is worked out once.

    ``letters`` name the leading value and the coefficients above and below.
    """
    key = (str(ratio.above), str(ratio.below), *letters)
    known = style.forms.get(key)
    if known is None:
        known = style.forms[key] = _present(style, ratio, letters)
    assert isinstance(known, Form)
    return known


def present_whole(style: Style, ratio: Ratio) -> Expr | None:
    """The tree of ``present`` where that is in one piece, else None: coefficients that nobody asks for are not written.
    """
    above, below = (style.ring.by_powers_of_s(side) for side in (ratio.above, ratio.below))
    if (str(ratio.above), str(ratio.below), *EXACT) not in style.forms and (len(above) > 1 or len(below) > 1):
        if _least(style, ratio) > ONE_PIECE:
            return None
        if write(style, ratio, ONE_PIECE) is None and not _all_readable(style, above, below):
            return None
    form = present(style, ratio)
    return None if form.named else form.tree


def _least(style: Style, ratio: Ratio) -> float:
    """What any form of the ratio costs at least."""
    degrees = zip(ratio.above.degrees(), ratio.below.degrees(), strict=True)
    return style.least(i for i, (a, b) in enumerate(degrees) if a or b)


def _all_readable(style: Style, above: list[Polynomial], below: list[Polynomial]) -> bool:
    """Whether every coefficient that would be named can be read, the longest looked at first."""
    parts = _parts(style, above, below)
    if any(_least(style, part) > READABLE for part in parts):
        return False
    return all(write(style, part) is not None for part in sorted(parts, key=lambda p: -sum(p.counts)))


def _parts(style: Style, above: list[Polynomial], below: list[Polynomial]) -> list[Ratio]:
    """The ratios that ``_by_powers`` names."""
    firsts = [next(c for c in side if not c.is_zero()) for side in (above, below)]
    made = [lowest_terms(style.ring, *firsts)]
    for side, first in zip((above, below), firsts, strict=True):
        rest = [c for c in side if not c.is_zero()][1:]
        made += [lowest_terms(style.ring, c, first) for c in rest]
    return made


def _present(style: Style, ratio: Ratio, letters: Letters) -> Form:
    above, below = (style.ring.by_powers_of_s(side) for side in (ratio.above, ratio.below))
    if len(above) <= 1 and len(below) == 1:
        tree = write(style, ratio)
        return Form(tree) if tree is not None else _single(ratio, letters)
    split = _by_powers(style, ratio, above, below, letters)
    candidates = [write(style, ratio, ONE_PIECE), _in_one_piece(split)]
    degree = max(len(above), len(below)) - 1
    extra = [NESTED_POWERS, 0.0] if degree > 1 else [LEADING if _leads(below, candidates[0]) else 0.0, 0.0]
    found = [(tree, more) for tree, more in zip(candidates, extra, strict=True) if tree is not None]
    prices = [style.cost(tree) + more for tree, more in found]
    # A limit that only the preference exceeds is no reason to name coefficients.
    if found and min(style.cost(tree) for tree, _ in found) <= ONE_PIECE:
        chosen = found[prices.index(min(prices))][0]
        require_equal(chosen, ratio)
        return Form(chosen)
    return split


def _leads(below: list[Polynomial], direct: Expr | None) -> bool:
    """Whether the answer has a value at s = 0, from which it falls or rises with a time constant.

    Not where it reads as parts in series or in parallel: then the parts say more.
    """
    return len(below) == 2 and not below[0].is_zero() and not isinstance(direct, Sum | Parallel)


def _in_one_piece(split: Form) -> Expr | None:
    """The form with its coefficients put in; None where one of them cannot be read."""
    trees: dict[Expr, Expr] = {c.name: c.tree for c in split.coefficients if c.tree is not None}
    if split.tree is None or len(trees) < len(split.coefficients):
        return None
    return in_one_piece(split.tree, trees)


def _single(ratio: Ratio, letters: Letters) -> Form:
    return Form(None, (Coefficient(Name(f"{letters[0]}_0"), None, ratio.counts, 0, ratio),))


def _by_powers(style: Style, ratio: Ratio, above: list[Polynomial], below: list[Polynomial], letters: Letters) -> Form:
    """H_0 s^k (1 + b_1 s + …)/(1 + a_1 s + …), with each coefficient a ratio of its own."""
    first_above = next(i for i, c in enumerate(above) if not c.is_zero())
    first_below = next(i for i, c in enumerate(below) if not c.is_zero())
    found: list[Coefficient] = []

    def name(text: str, over: Polynomial, under: Polynomial, power: int) -> Name:
        part = lowest_terms(style.ring, over, under)
        found.append(Coefficient(Name(text), write(style, part), part.counts, power, part))
        return Name(text)

    def series(letter: str, side: list[Polynomial], first: int) -> Expr:
        parts: list[Expr] = [ONE]
        for place in range(first + 1, len(side)):
            if not side[place].is_zero():
                power = place - first
                coefficient = name(f"{letter}_{power}", side[place], side[first], power)
                parts.append(product(coefficient, S if power == 1 else Power(S, power)))
        return total(*parts)

    lead = name(f"{letters[0]}_0", above[first_above], below[first_below], first_above - first_below)
    shift = first_above - first_below
    step: Expr = ONE if shift == 0 else S if abs(shift) == 1 else Power(S, abs(shift))
    upper = product(lead, step if shift > 0 else ONE, series(letters[1], above, first_above))
    lower = product(step if shift < 0 else ONE, series(letters[2], below, first_below))
    tree = quotient(upper, lower)
    require_equal(tree, ratio, {c.name: c.ratio for c in found})
    return Form(tree, tuple(found))
