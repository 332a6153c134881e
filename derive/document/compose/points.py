"""Stated currents that the circuit contradicts, and circuits with several operating points.

Enters: the bias point, the circuit. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from derive.bias.records import Bias, Contradiction, Point
from derive.circuit.records import GROUND, Circuit
from derive.document.compose.phrases import NOTHING
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table, direct
from derive.expression.tree import Sym
from derive.numbers import engineering, trimmed
from derive.words import Code, Formula, Inline, Node, Reading, Strong, Words

MOST_NODES, MOST_CURRENTS = 4, 4
"""Columns of the table of operating points."""
UNBROKEN = 40
"""Letters of an example up to which it stays on one line."""
BARE = re.compile(r"[A-Za-z0-9_-]+\Z")
"""A key that TOML takes without quotes."""
CURRENT = {"bjt": "Ic", "jfet": "Id", "mosfet": "Id", "diode": "Id"}


QUIET, LEAST = 1e-9, 1e-10
"""A current under this part of all supply current, or under so many amperes, is a leakage and has no row."""


def carries(currents: Iterable[float], point: Point) -> bool:
    """Whether some of the currents, in amperes, is more than a leakage."""
    return max(map(abs, currents)) > max(QUIET * point.scale, LEAST)


def contradicted(bias: Bias) -> list[Block]:
    """The contradictions, in the section."""
    if not bias.contradictions:
        return []
    words: list[Inline] = [Strong("What is stated does not agree with the circuit. ")]
    for found in bias.contradictions:
        words += [*_difference(found), ". "]
    words.append("The small-signal values follow from what is stated; without it they would follow from the circuit.")
    return [Paragraph(tuple(words))]


def _difference(found: Contradiction) -> Words:
    percent = 100 * abs(found.found / found.stated - 1)
    than = "more" if found.found > found.stated else "less"
    return (
        Node(found.part), ": stated ", Reading(found.stated, "A", 6, "stated"), ", the circuit gives ",
        Reading(found.found, "A", 3), ": ", Reading(percent, "%", 2), f" {than}",
    )  # fmt: skip


def notices(bias: Bias) -> list[Block]:
    """Contradictions, several points, a point that runs away."""
    found: list[Block] = [Notice("warning", (*_difference(c), ".")) for c in bias.contradictions]
    if len(bias.points) > 1:
        words: list[Inline] = [Strong(f"{len(bias.points)} operating points were found. ")]
        words.append("The sheet is made at ")
        words += [*_told_by(bias), "; the section on the bias point lists them all. ", *_how_to_choose(bias)]
        found.append(Notice("warning", tuple(words)))
    if bias.point.stable is False:
        words = [Strong("The bias point runs away. "), "By the laws of the devices a small disturbance grows there, "]
        words.append(
            "and no circuit stays at it. No start found one that stays."
            if bias.lacking
            else "and no circuit stays at it."
        )
        found.append(Notice("warning", tuple(words)))
    return found


def blocks(bias: Bias, circuit: Circuit) -> list[Block]:
    """The table of all operating points, where there are several."""
    if len(bias.points) < 2:
        return []
    nodes = _apart(bias)[:MOST_NODES]
    names = _moving(bias, circuit)[:MOST_CURRENTS]
    columns = (
        Column(("Point",)),
        *(Column((Formula(direct(node)),), "right") for node in nodes),
        *(Column((Formula(Sym(f"{CURRENT[circuit.parts[name].kind]}_{name}")),), "right") for name in names),
        Column(("Left to itself",)),
    )
    rows = tuple(_row(place, point, bias, nodes, names) for place, point in enumerate(bias.points))
    words: Words = (
        f"The starts ended in {len(bias.points)} operating points. Shown are the nodes and the currents of devices "
        "that differ most between them. The sheet uses the one marked. ", *_how_to_choose(bias),
    )  # fmt: skip
    return [Heading(2, ("Operating points",)), Paragraph(words), Table(columns, rows)]


def _row(place: int, point: Point, bias: Bias, nodes: list[str], names: list[str]) -> tuple[Words, ...]:
    label: Words = (Strong(f"{place + 1}, used"),) if place == bias.chosen else (str(place + 1),)
    return (
        label,
        *(_volts(point.nodes[node]) for node in nodes),
        *((Reading(abs(point.currents[name]), "A"),) for name in names),
        ("runs away",) if point.stable is False else ("may stay",) if point.stable else ("not known",),
    )


def _volts(volts: float | None) -> Words:
    return NOTHING if volts is None else (Reading(volts, "V"),)


def _apart(bias: Bias) -> list[str]:
    """The nodes that are held, those that differ most between the points first."""
    held = [node for node, volts in bias.point.nodes.items() if volts is not None and node != GROUND]
    span = {node: _span([point.nodes[node] or 0.0 for point in bias.points]) for node in held}
    return sorted((node for node in held if span[node] > 0), key=lambda node: -span[node])


def _moving(bias: Bias, circuit: Circuit) -> list[str]:
    names = [name for name in bias.point.devices if circuit.parts[name].kind in CURRENT]
    return sorted(names, key=lambda name: -_span([point.currents[name] for point in bias.points]))


def _span(values: list[float]) -> float:
    return max(values) - min(values)


def _told_by(bias: Bias) -> Words:
    """The chosen point by the node that tells the points apart."""
    node = _apart(bias)[0]
    return ("that with ", Formula(direct(node)), " = ", Reading(bias.point.nodes[node] or 0.0, "V"))


def _how_to_choose(bias: Bias) -> Words:
    """What to write for another point, with the voltage of one of the others as the example."""
    node = _apart(bias)[0]
    others = [point for place, point in enumerate(bias.points) if place != bias.chosen]
    # The example is a point that a circuit may stay at, where there is one.
    other = next((point for point in others if point.stable is not False), others[0])
    volts = str(trimmed(engineering(other.nodes[node] or 0.0, "V", 2))).replace("\u2212", "-")
    key = node if BARE.match(node) else f'"{node}"'
    text = f'near = {{ {key} = "{volts}" }}'
    bound = text.replace(" ", "\u00a0") if len(text) <= UNBROKEN else text
    return ("To choose another, write ", Code("[bias]"), " and below it ", Code(bound), ".")
