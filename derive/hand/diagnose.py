"""Where a wrong formula went wrong: the likeliest slip whose undoing makes it right.

Enters: a side that is wrong, what it should be, the matter. Leaves: a diagnosis; each repair was compared like any
other result before it is told. Must not know: how the text was read, LaTeX.

Slips at one place are found by value: for each place of the formula the value is known that would make the whole right,
and what would be written there is looked up. Then other questions that may have been answered, symbols that changed
places, and, for formulas that were never exact, changes that bring them near.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from derive.errors import ExpressionError
from derive.expression.dimension import UNITS, dimension
from derive.expression.tree import Expr, Parallel, Product, Quotient, Sum, Sym, children, product, symbols, total, walk
from derive.hand.asked_else import asked_else
from derive.hand.decibels import decibels
from derive.hand.dimensions import unfit
from derive.hand.equality import field_point
from derive.hand.matter import Matter
from derive.hand.near import near
from derive.hand.parting import parting
from derive.hand.pieces import Piece, pieces, values_of
from derive.hand.proposal import Proposal, first_that_holds, unit_table
from derive.hand.required import Needs, Values
from derive.hand.simple import simple
from derive.hand.slips import Change, changes
from derive.hand.structure import structure
from derive.hand.substitute import Place, put_in, replaced
from derive.hand.targets import Target, targets
from derive.hand.verdicts import Diagnosis
from derive.hand.worth import Field, Side

MISSING_TERM, MISSING_BRANCH, MISSING_FACTOR = 1.75, 1.75, 1.8
SWAP, RENAMED = 1.5, 1.65
FAR_FETCHED = 2.0
"""The price from which a change that only comes near may be likelier than the cheapest that makes it equal."""
NOT_HELD = 0.35
"""How much likelier a piece is missing when it brings a symbol that the formula does not hold at all."""
LARGEST = 60
"""Parts of a formula up to which each place is looked at."""


def diagnose(side: Side, before: Side, matter: Matter, tolerance: float, *, explained: bool = False) -> Diagnosis:
    """The likeliest slip, verified; or the limits that disagree.

    ``explained``: the side is known to be a limit that costs too much, so that only what is missing in it is looked
    for.
    """
    assert side.tree is not None
    found: list[Proposal] = [*decibels(side, matter, tolerance), *simple(side, before, matter)]
    misfit = unfit(side, matter)
    if side.is_rational and len(list(walk(side.tree))) <= LARGEST:
        found += _by_value(side, before, matter, tolerance)
    if explained:
        return Diagnosis(first_that_holds(found, before, matter, tolerance), units=misfit)
    found += asked_else(side, matter, tolerance)
    if min((proposal.price for proposal in found), default=FAR_FETCHED) >= FAR_FETCHED:
        found += near(side, before, matter, tolerance)
    repair = first_that_holds(found, before, matter, tolerance)
    if misfit is not None or (repair is not None and repair.finding.kind in ("exact", "stated")):
        return Diagnosis(repair, units=misfit)
    if repair is not None and repair.finding.silent:
        return Diagnosis(repair)
    parted = parting(side, before, matter)
    return parted if repair is None or parted.limits else Diagnosis(repair)


@dataclass(frozen=True)
class _Formula:
    """A formula with all that is looked up in the search."""

    tree: Expr
    points: tuple[Field, ...]
    values: tuple[Values, ...]
    changes: dict[Place, list[tuple[Change, list[Any]]]]
    table: dict[int, Piece]
    held: frozenset[str]
    units: Mapping[str, str]

    def is_impedance(self, part: Expr) -> bool:
        """Whether a part can have a branch in parallel."""
        try:
            return dimension(part, self.units) == UNITS["Ω"]
        except (ExpressionError, KeyError):
            return False


def _by_value(side: Side, before: Side, matter: Matter, tolerance: float) -> Iterator[Proposal]:
    """Proposals whose formula has the value of a target at two random points of the field."""
    assert side.tree is not None
    points = tuple(field_point(matter.ground.ring.names, trial) for trial in (7, 8))
    units = unit_table(matter, side.tree)
    try:
        values = tuple(Values(side.tree, point) for point in points)
    except (ZeroDivisionError, KeyError):
        return
    known: dict[Place, list[tuple[Change, list[Any]]]] = {}
    for change in changes(side.tree, units):
        try:
            known.setdefault(change.place, []).append((change, values_of(change.there, points)))
        except (ZeroDivisionError, KeyError):
            continue
    held = _inner(side.tree)
    formula = _Formula(side.tree, points, values, known, pieces(units, structure(matter), points[0]), held, units)
    aims = targets(before, matter, points, tolerance)
    for aim in aims:
        try:
            needs = [v.required(t) for v, t in zip(values, aim.values, strict=True)]
        except ZeroDivisionError:
            continue
        yield from _changed(formula, needs, aim)
        yield from _missing(formula, needs, aim)
    yield from _renamed(formula, side.tree, aims, units)


def _changed(formula: _Formula, needs: list[Needs], aim: Target) -> Iterator[Proposal]:
    for place, (_, wanted) in needs[0].items():
        for change, worth in formula.changes.get(place, ()):
            if worth[0] == wanted and place in needs[1] and worth[1] == needs[1][place][1]:
                here, there = change.told or (change.here, change.there)
                whole = replaced(formula.tree, place, change.there)
                yield Proposal(change.slip, change.price + aim.penalty, here, there, whole, place=place)


def _missing(formula: _Formula, needs: list[Needs], aim: Target) -> Iterator[Proposal]:
    """A term, a branch in parallel or a factor that is not there."""
    for place, (value, wanted) in needs[0].items():
        part = _at(formula.tree, place)
        for slip, base, worth in _lacks(value, wanted):
            if slip == "missing branch" and not formula.is_impedance(part):
                continue
            found = formula.table.get(int(worth))
            if found is None:
                continue
            price, piece = found
            there: Expr = product(piece, part)
            if slip == "missing term":
                there = total(part, piece)
            elif slip == "missing branch":
                there = Parallel((*(part.branches if isinstance(part, Parallel) else (part,)), piece))
            elif isinstance(piece, Quotient) and not symbols(piece.above):
                there = Quotient(part, piece.below)
            bare = slip == "missing factor" and all(n.startswith("beta_") for n in symbols(piece))
            kind = "factor" if bare else slip
            cost = (1.5 if bare else base) + price + aim.penalty + _awkward(slip, part)
            if _inner(piece) - formula.held:
                cost -= NOT_HELD
            yield Proposal(kind, cost, None if bare else part, piece, replaced(formula.tree, place, there))


def _inner(expr: Expr) -> frozenset[str]:
    """The symbols of an expression, beta taken as the gm and the rpi that it is made of."""
    found = set(symbols(expr))
    for name in symbols(expr):
        if name.startswith("beta_"):
            owner = name.removeprefix("beta_")
            found |= {f"gm_{owner}", f"rpi_{owner}"}
    return frozenset(found - {"s"})


def _awkward(slip: str, part: Expr) -> float:
    """A term joins a sum, a branch a parallel, a factor a product, more readily than something that stands alone."""
    if slip == "missing term":
        return 0.0 if isinstance(part, Sum) else 0.02
    if slip == "missing branch":
        return 0.0 if isinstance(part, Parallel) else 0.01
    return 0.0 if isinstance(part, Product | Quotient) else 0.02


def _lacks(value: Any, wanted: Any) -> Iterable[tuple[str, float, Any]]:
    yield "missing term", MISSING_TERM, wanted - value
    if value != 0 and wanted != 0:
        yield "missing factor", MISSING_FACTOR, wanted / value
        admittance = 1 / wanted - 1 / value
        if admittance != 0:
            yield "missing branch", MISSING_BRANCH, 1 / admittance


def _renamed(formula: _Formula, tree: Expr, aims: list[Target], units: dict[str, str]) -> Iterator[Proposal]:
    """Two symbols that changed places, and one that stands for another everywhere."""
    wanted = {int(aim.values[0]): aim for aim in reversed(aims)}
    held = symbols(tree)
    for one, other in combinations(units, 2):
        if units[one] != units[other] or not {one, other} & held:
            continue
        both = {one, other} <= held
        exchanged = put_in(tree, {one: Sym(other), other: Sym(one)})
        try:
            aim = wanted.get(int(values_of(exchanged, formula.points[:1])[0]))
        except (ZeroDivisionError, KeyError):
            continue
        if aim is not None:
            here, there = (one, other) if one in held else (other, one)
            yield Proposal(
                "swap" if both else "symbol",
                (SWAP if both else RENAMED) + aim.penalty,
                Sym(here),
                Sym(there),
                exchanged,
            )


def _at(tree: Expr, place: Place) -> Expr:
    for number in place:
        tree = children(tree)[number]
    return tree
