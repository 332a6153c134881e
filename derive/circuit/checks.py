"""Faults of the wiring as a whole.

Enters: a Circuit whose tables fit together. Leaves: nothing, or a DescriptionError for the first fault.
Must not know: TOML, equations beyond which pins a part joins (derive.circuit.graphs).
"""

from __future__ import annotations

from derive.circuit.graphs import Edge, Graphs, Union, graphs_of
from derive.circuit.parts import KINDS
from derive.circuit.records import GROUND, Bootstrap, Circuit, Gain, Impedance, Part
from derive.description.hints import join_and, nearest
from derive.errors import DescriptionError


def check_circuit(circuit: Circuit) -> None:
    """Refuse a circuit that is wired wrongly. Raises DescriptionError."""
    if GROUND not in circuit.nodes:
        raise DescriptionError(
            circuit.source.name,
            circuit.source.line_of(("parts",)),
            "no part touches ground",
            "name one node gnd",
        )
    for part in circuit.parts.values():
        _check_own_pins(circuit, part)
    _check_touched(circuit)
    graphs = graphs_of(circuit.parts.values())
    _check_loops(circuit, graphs)
    _check_held(circuit, graphs)


def _check_own_pins(circuit: Circuit, part: Part) -> None:
    """Refuse a part whose pins leave it without effect."""
    pins = part.pins
    pairs = [ends.pins for ends in KINDS[part.kind].ends if len(ends.pins) == 2]
    if part.kind in ("diode", "opamp"):
        pairs = [("anode", "cathode")] if part.kind == "diode" else [("plus", "minus")]
    for one, other in pairs:
        if pins[one] == pins[other]:
            what = f"{part.name} joins node {pins[one]} to itself"
            raise circuit.source.error(part.path, what, "name two different nodes, or leave the part out")
    if len(pins) > 1 and len(set(pins.values())) == 1:
        what = f"all pins of {part.name} are on node {next(iter(pins.values()))}"
        raise circuit.source.error(part.path, what, "name its nodes, or leave the part out")
    if part.kind == "opamp" and pins["out"] == GROUND:
        raise circuit.source.error(
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
    return asked


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
            what = f"{owner} has no {pin}, and nothing else names {node}"
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


def _check_loops(circuit: Circuit, graphs: Graphs) -> None:
    """Refuse a loop of parts that each fix a voltage, or of op amps that share what they hold."""
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
            part = circuit.parts[edge.part]
            raise circuit.source.error(
                part.path,
                f"{join_and(names)} form a loop without impedance",
                "put a resistance into the loop, or leave one of them out",
            )


def _way(tree: list[Edge], start: str, end: str) -> list[Edge]:
    """The edges of a forest on the way from one node to another."""
    reached: dict[str, list[Edge]] = {start: []}
    waiting = [start]
    while waiting:
        node = waiting.pop()
        for edge in tree:
            for here, there in ((edge.first, edge.second), (edge.second, edge.first)):
                if here == node and there not in reached:
                    reached[there] = [*reached[node], edge]
                    waiting.append(there)
    return reached.get(end, [])


def _check_held(circuit: Circuit, graphs: Graphs) -> None:
    """Refuse a node that no current can leave, or whose voltage nothing fixes.

    Each node must be joined to ground in the graph of currents and in that of voltages, or the nodal
    determinant is zero (two-graph form of the matrix-tree theorem: W. K. Chen, Applied Graph Theory).
    """
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
