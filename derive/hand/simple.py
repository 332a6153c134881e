"""Slips so simple that they are told also where what is put right is near the answer at the spot only.

Enters: a side that is wrong, what it should be. Leaves: proposals, to be measured. Must not know: verdicts, LaTeX.

A sign, a fraction upside down, a 1 left out of a sum; and, where the unit is not the one asked, whatever at one place
brings it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

import numpy as np

from derive.expression.tree import ONE, Expr, Num, Quotient, Sum, Sym, product, total
from derive.hand.arrays import array_of
from derive.hand.dimensions import unfit, units_of
from derive.hand.equality import expression_side
from derive.hand.matter import Matter
from derive.hand.proposal import Proposal, fits, unit_table
from derive.hand.slips import changes
from derive.hand.substitute import Place, places, replaced
from derive.hand.worth import Side

SIMPLE = frozenset({"sign", "inverted", "reciprocal"})
SPOT_ONLY = 0.8
"""What it costs in plausibility that a change is known to come near at the spot only."""
NEARER = 0.25
"""The part of the error at the spot that may be left."""
FIRST_LOOK = 1 / 3
"""The error at the spot up to which a formula put right is looked at: it may be a limit of the answer."""
Candidate = tuple[str, float, Expr | None, Expr | None, Expr, Place]


def simple(side: Side, before: Side, matter: Matter) -> Iterator[Proposal]:
    """Proposals that are in the unit asked, and much nearer at the spot than what was written."""
    if side.tree is None or side.is_real or isinstance(side.tree, Num):
        return
    units, known = unit_table(matter, side.tree), units_of(matter)
    spot = np.array([float(matter.ground.spot)])
    right = before.sample(spot)[0]
    misfit = unfit(side, matter) is not None
    found = list(_candidates(side.tree, units, misfit))
    written = abs(side.sample(spot)[0] - right) / abs(right) if right else 0.0
    for slip, price, here, there, whole, place in found:
        if not fits(whole, known):
            continue
        try:
            with np.errstate(all="ignore"):
                error = float(abs(array_of(whole, matter.ground.numbers, spot)[0] - right) / abs(right))
        except (KeyError, ZeroDivisionError):
            continue
        if not error <= (FIRST_LOOK if misfit else min(FIRST_LOOK, NEARER * written)):
            continue
        if unfit(expression_side(matter.right, whole), matter) is None:
            yield Proposal(slip, price + SPOT_ONLY + error, here, there, whole, place=place, simple=True)


def _candidates(tree: Expr, units: dict[str, str], misfit: bool) -> Iterator[Candidate]:
    for change in changes(tree, units):
        if change.slip in SIMPLE or (misfit and change.slip != "symbol"):
            here, there = change.told or (change.here, change.there)
            yield change.slip, change.price, here, there, replaced(tree, change.place, change.there), change.place
    for place, part in places(tree):
        if isinstance(part, Num):
            continue
        yield "missing term", 1.3, part, ONE, replaced(tree, place, total(ONE, part)), place
        for name in units if misfit else ():
            yield "missing factor", 1.4, part, Sym(name), replaced(tree, place, product(Sym(name), part)), place
            below = Quotient(ONE, Sym(name))
            yield "missing factor", 1.5, part, below, replaced(tree, place, Quotient(part, Sym(name))), place
    for piece in _feedback(units):
        yield "missing factor", 1.6, tree, Quotient(ONE, piece), Quotient(tree, piece), ()


def _feedback(units: dict[str, str]) -> Iterator[Expr]:
    """1 + gm Z and 1 + Z1/Z2, by which a formula is divided where there is feedback."""
    for one, other in permutations(units, 2):
        if units[one] == "S" and units[other] == "Ω":
            yield Sum((ONE, product(Sym(one), Sym(other))))
        elif units[one] == units[other] == "Ω":
            yield Sum((ONE, Quotient(Sym(one), Sym(other))))
