"""How far the currents move within the stated tolerances.

Enters: the bias point, the circuit. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.bias.records import Bias, Moved, Spread
from derive.circuit.records import Circuit
from derive.document.compose.phrases import NOTHING, change, joined, several, signed
from derive.document.compose.points import CURRENT, carries
from derive.document.compose.regions import REGIONS
from derive.document.records import Block, Column, Heading, Paragraph, Table, direct
from derive.expression.tree import Sym
from derive.words import Formula, Node, Reading, Strong, Words

CAUSES = 3
"""Causes told for each current."""
LEAST = 5e-4
"""A cause that moves a current by less than this part of it is not told."""


def blocks(bias: Bias, circuit: Circuit) -> list[Block]:
    """The part of the section; nothing where no tolerance is stated."""
    found = bias.spread
    if found is None or not found.moved:
        return []
    columns = (
        Column(("Current",)),
        Column(("Here",), "right"),
        Column(("Lowest",), "right"),
        Column(("",), "right"),
        Column(("Highest",), "right"),
        Column(("",), "right"),
        Column(("Largest causes",), width=0.38),
    )
    rows = tuple(_row(moved, circuit) for moved in found.moved if carries((moved.highest,), bias.point))
    if not rows:
        return []
    heading = Heading(2, ("Within the tolerances",))
    return [heading, Paragraph(_explained(found)), Table(columns, rows), *_nodes(found), *_changes(found)]


def _nodes(found: Spread) -> list[Block]:
    """The nodes that questions name, where they move at all."""
    rows = tuple(
        (
            (Formula(direct(node.node)),),
            (Reading(node.volts, "V"),),
            (Reading(node.lowest, "V"),),
            (Reading(node.highest, "V"),),
        )
        for node in found.nodes
        if node.highest - node.lowest > STILL
    )
    columns = (Column(("Node",)), *(Column((head,), "right") for head in ("Here", "Lowest", "Highest")))
    return [Table(columns, rows)] if rows else []


STILL = 1e-4
"""Volts; a node that moves by less is at rest."""


def _changes(found: Spread) -> list[Block]:
    """Devices that leave their region somewhere within the tolerances."""
    if not found.changed:
        return []
    told = [
        (Node(name), f" is {REGIONS[region]} in {several(count, 'circuit')}") for name, region, count in found.changed
    ]
    words = (" of these. What is said of its gain does not hold there.",)
    return [Paragraph((Strong("Leaves its region. "), *joined(told), *words))]


def _row(moved: Moved, circuit: Circuit) -> tuple[Words, ...]:
    here, low, high = abs(moved.current), abs(moved.lowest), abs(moved.highest)
    causes = [(f"{name} ", *signed(100 * part, "%")) for name, part in moved.by[:CAUSES] if abs(part) >= LEAST]
    return (
        (Formula(Sym(f"{CURRENT[circuit.parts[moved.part].kind]}_{moved.part}")),),
        (Reading(here, "A"),),
        (Reading(low, "A"),),
        change(low, here),
        (Reading(high, "A"),),
        change(high, here),
        joined(causes, ", ") if causes else NOTHING,
    )


def _explained(found: Spread) -> Words:
    lost = f" (of which {found.unsolved} found no point)" if found.unsolved else ""
    which = (
        "every combination"
        if found.all_corners
        else ("the combinations that the slopes point to, and others by chance from a fixed seed")
    )
    words: Words = (
        f"Lowest and highest among {several(found.samples, 'circuit')} with values at the ends of their "
        f"tolerances{lost}, each solved anew: {which}. The causes are to "
        "first order, each alone and at its full tolerance upwards: the derivative of the whole bias point, in which "
        "everything follows and nothing is held fixed.",
    )
    if found.together:
        names = joined([(Node(part),) for part in found.together])
        words = (*words, " ", Formula(Sym("Idss")), " and ", Formula(Sym("Vp")), " of ", *names,
                 " move together, since both grow with the channel: Idss as the power 1.5 of Vp where only one is "
                 "said to vary.")  # fmt: skip
    return words
