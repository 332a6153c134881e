"""Decibels where a ratio was asked, and ten where twenty belongs before the logarithm.

Enters: a side that is wrong. Leaves: proposals. Must not know: other slips, LaTeX.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import log10

from derive.expression.tree import Call, Expr, Num, Product, negate, symbols
from derive.hand.closeness import at_spot, error_of
from derive.hand.compare import compare
from derive.hand.equality import expression_side
from derive.hand.matter import Matter
from derive.hand.proposal import Proposal
from derive.hand.verdicts import Finding
from derive.hand.worth import Side

ROUNDED = 0.012
"""How far a number in decibels, rounded as one writes it, may be from that of the answer."""
TWENTY, TEN = Fraction(20), Fraction(10)
PRICE = 0.5


def decibels(side: Side, matter: Matter, tolerance: float) -> Iterator[Proposal]:
    """Proposals for answers that are ratios."""
    if matter.exact.inquiry.unit not in ("1", "V/V") or side.tree is None:
        return
    if not symbols(side.tree):
        yield from _number(side, matter)
    match side.tree:
        case Product((Num(factor), Call("log10", inner))) if factor in (TWENTY, TEN):
            finding = _inside(inner, matter, tolerance)
            if finding is not None:
                slip = "decibels" if factor == TWENTY else "log factor"
                yield Proposal(slip, PRICE, side.tree, None, None, (), finding)


def _inside(inner: Expr, matter: Matter, tolerance: float) -> Finding | None:
    """How the ratio in the logarithm compares with the answer, its sign apart."""
    if isinstance(inner, Call) and inner.function == "abs":
        inner = inner.argument
    for tree in (inner, negate(inner)):
        finding = compare(expression_side(matter.right, tree), matter.right, matter, tolerance, answer=True)
        if finding.kind != "wrong":
            return finding
    return None


def _number(side: Side, matter: Matter) -> Iterator[Proposal]:
    """A bare number that is the answer at the spot in decibels."""
    value, right = at_spot(side, matter.ground), abs(at_spot(matter.right, matter.ground))
    if right and value.imag == 0 and right != 1 and abs(value.real / (20 * log10(right)) - 1) <= ROUNDED:
        error = error_of(side, side, matter.ground)
        yield Proposal("decibels", PRICE, side.tree, None, None, (), Finding("close", None, "decibels", error=error))
