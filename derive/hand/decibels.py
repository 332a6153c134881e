"""Decibels where a ratio was asked, and ten where twenty belongs before the logarithm.

Enters: a side that is wrong. Leaves: proposals. Must not know: other slips, LaTeX.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import log10

from derive.expression.tree import Call, Num, product, symbols, walk
from derive.hand.closeness import at_spot, error_of
from derive.hand.equality import expression_side, proof_of
from derive.hand.matter import Matter
from derive.hand.proposal import Proposal
from derive.hand.worth import Side
from derive.hand.verdicts import Finding

ROUNDED = 0.012
"""How far a number in decibels, rounded as one writes it, may be from that of the answer."""


def decibels(side: Side, matter: Matter) -> Iterator[Proposal]:
    """Proposals for answers that are ratios."""
    if matter.exact.inquiry.unit not in ("1", "V/V") or side.tree is None:
        return
    if not symbols(side.tree):
        yield from _number(side, matter)
        return
    if not any(isinstance(part, Call) and part.function == "log10" for part in walk(side.tree)):
        return
    for slip, factor in (("decibels", 1), ("log factor", 2)):
        scaled = expression_side(matter.right, product(Num(Fraction(factor)), side.tree))
        finding = _as_decibels(scaled, matter)
        if finding is not None:
            there = None if factor == 1 else scaled.tree
            yield Proposal(slip, 0.5, side.tree, there, None, (), finding)


def _as_decibels(side: Side, matter: Matter) -> Finding | None:
    proof = proof_of(side, matter.right, matter.network.symbols, "decibels")
    if proof is not None:
        return Finding("exact", proof, "decibels")
    error = error_of(side, matter.right, matter.ground, "decibels")
    return Finding("close", None, "decibels", error=error) if error.worst <= 0.05 else None


def _number(side: Side, matter: Matter) -> Iterator[Proposal]:
    """A bare number that is the answer at the spot in decibels."""
    value, right = at_spot(side, matter.ground), abs(at_spot(matter.right, matter.ground))
    if right and value.imag == 0 and right != 1 and abs(value.real / (20 * log10(right)) - 1) <= ROUNDED:
        error = error_of(side, side, matter.ground)
        yield Proposal("decibels", 0.5, side.tree, None, None, (), Finding("close", None, "decibels", error=error))
