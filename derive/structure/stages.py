"""Both determinants of an answer in groups of coupled elements, and the polynomial of each group.

Enters: an inquiry, what is aimed at. Leaves: polynomials with their powers. Must not know: what is dropped of them.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from derive.algebra.ring import Polynomial
from derive.answers.exact import diagrams
from derive.answers.records import Inquiry
from derive.errors import TooLarge
from derive.kernel.diagram import Diagram
from derive.structure.aim import Aim
from derive.structure.clusters import exact_coupling, largest_term, polynomial_of
from derive.structure.records import Stage
from derive.structure.shares import Bordered, Shares, admittances, both_sides, shares

LARGEST = 20_000
"""Nodes of a diagram above which a network is not looked at before more of it is left out."""


@dataclass(frozen=True)
class Side:
    diagram: Diagram
    bordered: Bordered
    exactly: np.ndarray
    shares: Shares | None
    largest: frozenset[str]
    sign: int
    known: dict[tuple[str, ...], tuple[Polynomial, str]] = field(default_factory=dict, repr=False, compare=False)
    """The polynomials of groups with their text: the same group comes up at several thresholds."""


def sides_of(inquiry: Inquiry, aim: Aim) -> list[Side]:
    numbers = aim.ground.numbers
    spot = float(aim.ground.spot) or aim.frequencies[0]
    sizes = dict(
        zip(
            (e.name for e in inquiry.network.elements),
            np.abs(admittances(inquiry.network.elements, numbers, (spot,))[0]).tolist(),
            strict=True,
        )
    )
    found = []
    pair = diagrams(inquiry)
    if max(diagram.size for diagram in pair) > LARGEST:
        raise TooLarge("the diagram is too large to be looked at group by group")
    for diagram, bordered in zip(pair, both_sides(inquiry), strict=True):
        elements = [next(e for e in bordered.elements if e.name == name) for name in diagram.elements]
        ordered = Bordered(bordered.places, tuple(elements), bordered.borders)
        largest, sign = largest_term(diagram, sizes)
        shared = shares(ordered, admittances(elements, numbers, aim.frequencies))
        found.append(Side(diagram, ordered, exact_coupling(ordered, diagram.elements), shared, largest, sign))
    return found


Parts = list[tuple[Polynomial, int]]


def parts_of(
    inquiry: Inquiry, sides: list[Side], names: list[list[tuple[str, ...]]], aim: Aim
) -> tuple[Parts, tuple[Stage, ...]]:
    """The polynomials of all groups with their powers, those of both sides cancelled; and the groups that are left."""
    ring = aim.ground.ring
    elements = {e.name: e for e in inquiry.network.elements}
    table: dict[str, tuple[Polynomial, int]] = {}
    owners: dict[str, dict[int, tuple[str, ...]]] = {}
    for side, found, power in zip(sides, names, (1, -1), strict=True):
        for group in found:
            if group not in side.known:
                made = polynomial_of(side.diagram, group, side.largest, elements, ring) * side.sign
                side.known[group] = made, str(made)
            polynomial, key = side.known[group]
            table[key] = (polynomial, table.get(key, (polynomial, 0))[1] + power)
            owners.setdefault(key, {})[power] = group
        # Each group brings the sign of the largest term, and so does the whole.
        constant = ring.one * side.sign
        table[str(constant)] = (constant, table.get(str(constant), (constant, 0))[1] + power)
    if inquiry.factor:
        table[inquiry.factor] = (ring.generator(inquiry.factor), table.get(inquiry.factor, (ring.one, 0))[1] + 1)
    stages = []
    for key, (polynomial, power) in table.items():
        if power and len(polynomial) > 1:
            word = "numerator" if power > 0 else "denominator"
            stages.append(Stage(next(iter(owners[key].values())), word))  # type: ignore[arg-type]
    return [(polynomial, power) for polynomial, power in table.values() if power], tuple(stages)
