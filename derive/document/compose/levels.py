"""Voltages of nodes, currents of supplies, outputs of op amps at the bias point.

Enters: a point, the circuit. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from math import copysign

from derive.bias.records import Point
from derive.circuit.records import GROUND, Circuit, Part
from derive.document.compose.phrases import joined
from derive.document.records import Block, Column, Notice, Paragraph, Table
from derive.words import Node, Reading, Words

ABREAST = ((10, 4), (16, 3))
"""Letters of the longest node's name, and how many nodes then stand on one line of the table; else two."""
FEW = 3
"""Nodes up to which a sentence tells them."""
BEYOND = 1e-6
"""Volts by which an output must leave the range of the supplies to be told of."""


def blocks(point: Point, circuit: Circuit) -> list[Block]:
    """Nodes, then supplies and op amps."""
    return [*_nodes(point), *_supplies(point, circuit), *_outputs(point, circuit)]


def _nodes(point: Point) -> list[Block]:
    held = [(node, volts) for node, volts in point.nodes.items() if node != GROUND and volts is not None]
    loose = [node for node, volts in point.nodes.items() if volts is None]
    found: list[Block] = []
    if 0 < len(held) <= FEW:
        told = joined([(Node(node), " stands at ", Reading(volts, "V")) for node, volts in held])
        found.append(Paragraph((*told, " against ground.")))
    elif held:
        found += [Paragraph(("The nodes against ground:",)), _table(held)]
    if loose:
        names = joined([(Node(node),) for node in loose])
        verb = "is" if len(loose) == 1 else "are"
        found.append(Paragraph((*names, f" {verb} held by nothing at d.c.: only capacitors lead there.")))
    return found


def _table(held: list[tuple[str, float]]) -> Table:
    """The nodes line by line, several abreast."""
    longest = max(len(node) for node, _ in held)
    abreast = next((count for letters, count in ABREAST if longest <= letters), 2)
    # An empty column keeps a voltage apart from the next node.
    columns = ((Column(("Node",)), Column(("Voltage",), "right"), Column(("",))) * abreast)[:-1]
    cells: list[Words] = [cell for node, volts in held for cell in ((Node(node),), (Reading(volts, "V"),), ("",))]
    line = 3 * abreast
    cells += [("",)] * (-len(cells) % line)
    rows = tuple(tuple(cells[start : start + line - 1]) for start in range(0, len(cells), line))
    return Table(columns, rows)


def _supplies(point: Point, circuit: Circuit) -> list[Block]:
    supplies = [part for part in circuit.parts.values() if part.kind == "supply"]
    if not supplies:
        return []
    # A negative supply delivers a current, too: one that flows into its first node.
    told = joined(
        [
            (Node(part.name), *_delivered(copysign(point.currents[part.name], -point.powers[part.name])))
            for part in supplies
        ]
    )
    given = -sum(point.powers[part.name] for part in supplies)
    whole: Words = ("which is " if len(supplies) == 1 else "together ", Reading(given, "W"))
    return [Paragraph((*told, ", ", *whole, "."))]


def _delivered(current: float) -> Words:
    if current < 0:
        return (" takes up ", Reading(-current, "A"))
    return (" delivers ", Reading(current, "A"))


def _outputs(point: Point, circuit: Circuit) -> list[Block]:
    told: list[Words] = []
    for part in circuit.parts.values():
        volts = point.nodes.get(part.pins["out"]) if part.kind == "opamp" else None
        if volts is not None:
            out: Words = ("the output of ", Node(part.name), " stands at ", Reading(volts, "V"))
            told.append((*out, " and", *_delivered(point.currents[part.name])))
    if not told:
        return []
    first, *rest = told
    return [Paragraph((*joined([("The output of ", *first[1:]), *rest], "; "), "."))]


def notices(point: Point, circuit: Circuit) -> list[Block]:
    """Op amps whose output would have to leave the range of the supplies."""
    reach = _reach(point, circuit)
    found: list[Block] = []
    for part in circuit.parts.values():
        volts = point.nodes.get(part.pins["out"]) if part.kind == "opamp" else None
        if reach is None or volts is None or reach[0] - BEYOND <= volts <= reach[1] + BEYOND:
            continue
        low, high = (Reading(edge, "V", 6, "stated") for edge in reach)
        words: Words = (
            "The output of ", Node(part.name), " would have to stand at ", Reading(volts, "V"), ", outside the "
            "supplies of this circuit (", low, " to ", high, "). Its model has no limits; a real one would stand at a "
            "limit, and what follows from this bias point would not hold.",
        )  # fmt: skip
        found.append(Notice("warning", words))
    return found


def _reach(point: Point, circuit: Circuit) -> tuple[float, float] | None:
    """Lowest and highest voltage of any pin of a supply, ground included; None without supplies."""
    supplies: list[Part] = [part for part in circuit.parts.values() if part.kind == "supply"]
    if not supplies:
        return None
    volts = [point.nodes[node] or 0.0 for part in supplies for node in part.pins.values()]
    return min(0.0, *volts), max(0.0, *volts)
