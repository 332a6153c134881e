"""Faults of the wiring as a whole.

Enters: the parts with their nodes; a Circuit. Leaves: nothing, or a DescriptionError for the first fault.
Must not know: TOML, equations beyond which pins a part joins (derive.circuit.graphs).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.circuit.graphs import Edge, Union, graphs_of
from derive.circuit.parts import KINDS
from derive.circuit.records import GROUND, Bootstrap, Circuit, Gain, Impedance, Noise, Part
from derive.description.hints import join_and, nearest

if TYPE_CHECKING:
    from derive.description.source import Source


def check_parts(parts: Mapping[str, Part], source: Source) -> None:
    """Refuse parts that are without effect or form a loop of ideal sources. Raises DescriptionError."""
    if not any(GROUND in part.pins.values() for part in parts.values()):
        raise source.error(("parts",), "no part touches ground", "name one node gnd")
    for part in parts.values():
        _check_own_pins(source, part)
    _check_loops(source, parts)


def check_nodes(circuit: Circuit) -> None:
    """Refuse nodes that lead nowhere or are held by nothing. Raises DescriptionError."""
    _check_touched(circuit)
    _check_held(circuit)


def _check_own_pins(source: Source, part: Part) -> None:
    """Refuse a part whose pins leave it without effect."""
    pins = part.pins
    pairs = [ends.pins for ends in KINDS[part.kind].ends if len(ends.pins) == 2]
    if part.kind in ("diode", "opamp"):
        pairs = [("anode", "cathode")] if part.kind == "diode" else [("plus", "minus")]
    for one, other in pairs:
        if pins[one] == pins[other]:
            senses = part.kind == "opamp" or one == "sense_first"
            verb, preposition = ("senses", "against") if senses else ("joins", "to")
            what = f"{part.name} {verb} node {pins[one]} {preposition} itself"
            raise source.error(part.path, what, "name two different nodes, or leave the part out")
    if len(pins) > 1 and len(set(pins.values())) == 1:
        what = f"all pins of {part.name} are on node {next(iter(pins.values()))}"
        raise source.error(part.path, what, "name its nodes, or leave the part out")
    if part.kind == "opamp" and pins["out"] == GROUND:
        raise source.error(
            (*part.path, "out"), f"the output of {part.name} is on ground", "name the node that it drives"
        )


def _asked_nodes(circuit: Circuit) -> set[str]:
    """The nodes that questions name."""
    asked: set[str] = set()
    for question in circuit.questions:
        match question.ask:
            case Gain(source, to, _):
                asked |= {to} | ({source} if source is not None else set())
            case Impedance(plus, minus, _):
                asked |= {plus, minus}
            case Bootstrap(_, near, far, _):
                asked |= {near, far}
    return asked | {study.ask.at if isinstance(study.ask, Noise) else study.ask.to for study in circuit.studies}


def _check_touched(circuit: Circuit) -> None:
    """Refuse a node that only one part touches, unless a question names it."""
    asked = _asked_nodes(circuit)
    touching: dict[str, list[str]] = {}
    for part in circuit.parts.values():
        for node in dict.fromkeys(part.pins.values()):
            touching.setdefault(node, []).append(part.name)
    for node, names in touching.items():
        if len(names) > 1 or node == GROUND or node in asked:
            continue
        part = circuit.parts[names[0]]
        owner, dot, pin = node.partition(".")
        if dot:
            what = f"{owner} says no node for its {pin}, and nothing else names {node}"
            raise circuit.source.error(part.path, what, f'write {pin} = "…" with the node that it joins')
        other = nearest(node, [name for name in circuit.nodes if name != node and name != GROUND])
        remedy = "join it to another part, or ask a question about it"
        if other is not None:
            remedy = f"did you mean {other}? Otherwise {remedy}"
        raise circuit.source.error(_pin_path(part, node), f"only {part.name} touches node {node}", remedy)


def _pin_path(part: Part, node: str) -> tuple[str | int, ...]:
    pin = next(pin for pin, name in part.pins.items() if name == node)
    keys = [ends.key for ends in KINDS[part.kind].ends if pin in ends.pins]
    return (*part.path, *keys[:1])


def _check_loops(source: Source, parts: Mapping[str, Part]) -> None:
    """Refuse a loop of parts that each fix a voltage, or of op amps that share what they hold."""
    graphs = graphs_of(parts.values())
    for edges in (graphs.rigid_current, graphs.rigid_voltage):
        union = Union()
        tree: list[Edge] = []
        for edge in edges:
            if union.join(edge.first, edge.second):
                tree.append(edge)
                continue
            names = [*dict.fromkeys(one.part for one in _way(tree, edge.first, edge.second))]
            if edge.part not in names:
                names.append(edge.part)
            part = parts[edge.part]
            raise source.error(
                part.path,
                f"{join_and(names)} form a loop without impedance",
                "put a resistance into the loop, or leave one of them out",
            )


def _way(tree: list[Edge], start: str, end: str) -> list[Edge]:
    """The edges of a forest on the way from one node to another."""
    at: dict[str, list[Edge]] = {}
    for edge in tree:
        at.setdefault(edge.first, []).append(edge)
        at.setdefault(edge.second, []).append(edge)
    came_by: dict[str, tuple[Edge, str] | None] = {start: None}
    waiting = [start]
    while waiting:
        here = waiting.pop()
        for edge in at.get(here, ()):
            there = edge.second if edge.first == here else edge.first
            if there not in came_by:
                came_by[there] = (edge, here)
                waiting.append(there)
    way = []
    step = came_by.get(end)
    while step is not None:
        way.append(step[0])
        step = came_by[step[1]]
    return way[::-1]


def _check_held(circuit: Circuit) -> None:
    """Refuse a node that no current can leave, or whose voltage nothing fixes.

    Each node must be joined to ground in the graph of currents and in that of voltages, or the nodal
    determinant is zero (two-graph form of the matrix-tree theorem: W. K. Chen, Applied Graph Theory).
    """
    graphs = graphs_of(circuit.parts.values())
    for edges, what, remedy in (
        (graphs.current, "has no path to ground", "join it to ground through a part that carries current"),
        (graphs.voltage, "is held by nothing: only current sources meet there",
         "give a device there its ro (va, lambda), or add a load"),
    ):  # fmt: skip
        union = Union()
        for edge in edges:
            union.join(edge.first, edge.second)
        for node in circuit.nodes:
            if union.find(node) == union.find(GROUND):
                continue
            part = next(part for part in circuit.parts.values() if node in part.pins.values())
            raise circuit.source.error(_pin_path(part, node), f"node {node} {what}", remedy)
