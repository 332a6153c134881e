"""Repairs that are proposed, and the first of them that stands the test.

Enters: proposals with their prices. Leaves: the cheapest whose formula compares as right. Must not know: how they
were found.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from derive.errors import ExpressionError
from derive.expression.dimension import dimension
from derive.expression.tree import Expr, symbols
from derive.hand.compare import compare
from derive.hand.equality import expression_side
from derive.hand.limits import symbols_of
from derive.hand.matter import Matter
from derive.hand.verdicts import Finding, Repair
from derive.hand.worth import Side

MOST_TRIED = 40
OF_FORM = frozenset({"sign", "inverted", "reciprocal", "series", "parallel", "gm", "decibels", "log factor"})
"""Slips of which it is enough that the numbers come near: they bring in nothing that was not written."""
DEAREST = 2.75
"""The price above which a slip is so little plausible that nothing is said."""


@dataclass(frozen=True)
class Proposal:
    """``finding`` is there where the formula itself is right, and the question was another. ``simple``: so simple a
    slip that to come near at the spot is enough."""

    slip: str
    price: float
    here: Expr | None
    there: Expr | None
    repaired: Expr | None
    names: tuple[str, ...] = ()
    finding: Finding | None = None
    place: tuple[int, ...] = ()
    simple: bool = False


def first_that_holds(proposals: Iterable[Proposal], before: Side, matter: Matter, tolerance: float) -> Repair | None:
    """The cheapest proposal whose formula is equal to what it should be, equal under statements, or near it.

    An exact repair is preferred to one that only comes near; among these the price decides.
    """
    tried = sorted((p for p in proposals if p.price <= DEAREST), key=lambda p: p.price)[:MOST_TRIED]
    for proposal in tried:
        finding = proposal.finding or _finding(proposal, before, matter, tolerance)
        if finding is not None and _is_told(proposal, finding, tolerance):
            return Repair(
                proposal.slip, proposal.here, proposal.there, proposal.repaired, proposal.names, finding,
                proposal.place,
            )  # fmt: skip
    return None


def _is_told(proposal: Proposal, finding: Finding, tolerance: float) -> bool:
    """Whether a repair helps enough. What brings in another symbol or number needs more
    reason than that the numbers come near."""
    if finding.kind == "wrong":
        assert finding.error is not None
        near = finding.error.spot <= 2 * tolerance and proposal.slip in OF_FORM
        return proposal.simple and (near or bool(finding.silent))
    by_numbers = finding.kind == "close" and not finding.silent and proposal.repaired is not None
    return not by_numbers or proposal.slip in OF_FORM


def _finding(proposal: Proposal, before: Side, matter: Matter, tolerance: float) -> Finding | None:
    if proposal.repaired is None:
        return None
    side = expression_side(matter.right, proposal.repaired)
    found = compare(side, before, matter, tolerance, answer=before is matter.right)
    if found.kind == "wrong" and before is not matter.right:
        found = compare(side, matter.right, matter, tolerance, answer=True)
    return found


def unit_table(matter: Matter, tree: Expr) -> dict[str, str]:
    """The units of the symbols of the answer and of the formula, betas included, the answer's first."""
    ring = matter.ground.ring
    ratio = matter.right.ratio
    names = list(symbols_of(ratio)) if ratio is not None else list(ring.names[1:])
    names += sorted(symbols(tree) & set(ring.names) - set(names) - {"s"})
    units = {name: matter.network.symbols[name].unit for name in names}
    for name in names:
        owner = name.removeprefix("gm_")
        if owner != name and f"rpi_{owner}" in ring.index:
            units[f"beta_{owner}"] = "1"
    return units


def fits(tree: Expr, units: dict[str, str]) -> bool:
    """Whether all terms of the formula have units that can be added."""
    try:
        dimension(tree, units)
    except (ExpressionError, KeyError):
        return False
    return True
