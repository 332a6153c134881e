"""Changes that bring a formula near what it should be, where none makes it equal to anything known.

Enters: a side that is wrong. Leaves: proposals near enough at the spot and at the ends of the band, to be measured.
Must not know: verdicts, LaTeX.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from derive.expression.tree import ONE, Expr, Num, Quotient, Sym, product, symbols
from derive.hand.arrays import array_of
from derive.hand.matter import Matter
from derive.hand.proposal import Proposal, fits, unit_table
from derive.hand.slips import changes
from derive.hand.substitute import Place, places, put_in, replaced
from derive.hand.worth import Side

ONLY_NEAR = 0.7
"""What it costs in plausibility that a change only comes near."""


def near(side: Side, before: Side, matter: Matter, tolerance: float) -> Iterator[Proposal]:
    """Proposals that pass a first look; each is dimensionally sound."""
    assert side.tree is not None
    units = {**unit_table(matter, side.tree)}
    known = {**{name: s.unit for name, s in matter.network.symbols.items()}, **units}
    low, high, spot = (float(f) for f in (*matter.ground.band, matter.ground.spot))
    frequencies = np.array([low, spot, high])
    right = before.sample(frequencies)
    if side.is_real and not before.is_real:
        right = np.abs(right)
    bare = isinstance(side.tree, Num)
    for slip, price, here, there, whole, place in _candidates(side.tree, units):
        if bare and slip not in ("sign", "reciprocal"):
            continue
        if not fits(whole, known):
            continue
        try:
            values = array_of(whole, matter.ground.numbers, frequencies)
        except (KeyError, ZeroDivisionError):
            continue
        with np.errstate(all="ignore"):
            errors = np.abs(values - right) / np.abs(right)
        if np.all(errors <= tolerance):
            yield Proposal(slip, price + ONLY_NEAR + float(np.max(errors)), here, there, whole, place=place)


def _candidates(
    tree: Expr, units: dict[str, str]
) -> Iterator[tuple[str, float, Expr | None, Expr | None, Expr, Place]]:
    for change in changes(tree, units):
        here, there = change.told or (change.here, change.there)
        yield change.slip, change.price, here, there, replaced(tree, change.place, change.there), change.place
    for place, part in places(tree):
        for name in units:
            for there in (product(Sym(name), part), Quotient(part, Sym(name))):
                piece = Sym(name) if not isinstance(there, Quotient) else Quotient(ONE, Sym(name))
                yield "missing factor", 2.2, part, piece, replaced(tree, place, there), place
    held = symbols(tree)
    for one, other in combinations(units, 2):
        if units[one] == units[other] and {one, other} <= held:
            whole = put_in(tree, {one: Sym(other), other: Sym(one)})
            yield "swap", 1.5, Sym(one), Sym(other), whole, ()
