"""Which pins a part joins, for currents and for voltages.

Enters: parts. Leaves: the edges of the two graphs of a network, by the elements that each part stands for.
Must not know: values, equations.

An admittance has the same edge in both graphs; a controlled source has its output in the graph of currents
and what it senses in that of voltages. An ideal voltage is an edge of both that every tree must hold
(``rigid``); an ideal op amp holds its inputs together in the graph of voltages, and drives its output in
the graph of currents. The output of an op amp of finite gain is a voltage against ground that follows from
what it senses: an edge to ground that every tree of both graphs must hold.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from derive.circuit.parts import is_finite
from derive.circuit.records import GROUND, Part
from derive.circuit.symbols import symbols_of


class Edge(NamedTuple):
    part: str
    first: str
    second: str


@dataclass
class Graphs:
    """Edges of all elements; ``rigid_…`` are those among them that every common tree must hold."""

    rigid_current: list[Edge] = field(default_factory=list)
    rigid_voltage: list[Edge] = field(default_factory=list)
    current: list[Edge] = field(default_factory=list)
    voltage: list[Edge] = field(default_factory=list)


class Union:
    """Sets of nodes that are joined (union and find, halving the paths)."""

    def __init__(self) -> None:
        self._parent: dict[str, str] = {}

    def find(self, node: str) -> str:
        parent = self._parent
        while parent.setdefault(node, node) != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    def join(self, first: str, second: str) -> bool:
        """Join two nodes; False where they were joined already."""
        one, other = self.find(first), self.find(second)
        self._parent[one] = other
        return one != other


_FET_ADMITTANCES = (("ro", "drain", "source"), ("Cgs", "gate", "source"), ("Cgd", "gate", "drain"))
# Admittances of devices: the symbol's quantity and the pins between which it stands.
_ADMITTANCES = {
    "bjt": (
        ("rpi", "base", "emitter"),
        ("ro", "collector", "emitter"),
        ("Cpi", "base", "emitter"),
        ("Cmu", "base", "collector"),
    ),
    "jfet": _FET_ADMITTANCES,
    "mosfet": _FET_ADMITTANCES,
    "diode": (("rd", "anode", "cathode"), ("Cj", "anode", "cathode")),
}
# Controlled sources: the pins of the output, the pins that are sensed.
_SOURCES = {
    "bjt": (("collector", "emitter"), ("base", "emitter")),
    "jfet": (("drain", "source"), ("gate", "source")),
    "mosfet": (("drain", "source"), ("gate", "source")),
    "transconductance": (("first", "second"), ("sense_first", "sense_second")),
}


def graphs_of(parts: Iterable[Part]) -> Graphs:
    """The two graphs of a circuit with its signals at zero: voltages shorted, currents open."""
    graphs = Graphs()
    for part in parts:
        _add(graphs, part)
    graphs.current[:0] = graphs.rigid_current
    graphs.voltage[:0] = graphs.rigid_voltage
    return graphs


def supplied_nodes(parts: Iterable[Part]) -> dict[str, str]:
    """Ground and the nodes that supplies hold against it, each with the supply that does (ground: none).

    No signal moves them.
    """
    supplies = [part for part in parts if part.kind == "supply"]
    held = {GROUND: ""}
    grew = True
    while grew:
        grew = False
        for supply in supplies:
            first, second = supply.pins.values()
            for node, other in ((first, second), (second, first)):
                if other in held and node not in held:
                    held[node], grew = supply.name, True
    return held


def _add(graphs: Graphs, part: Part) -> None:
    pins = part.pins

    def edge(first: str, second: str) -> Edge:
        return Edge(part.name, pins[first], pins[second])

    if part.kind == "supply" or (part.kind == "signal" and part.variety == "voltage"):
        graphs.rigid_current.append(edge("first", "second"))
        graphs.rigid_voltage.append(edge("first", "second"))
    elif part.kind == "opamp":
        output = Edge(part.name, pins["out"], GROUND)
        graphs.rigid_current.append(output)
        graphs.rigid_voltage.append(output if is_finite(part) else edge("plus", "minus"))
    elif part.kind in ("resistor", "capacitor", "inductor"):
        graphs.current.append(edge("first", "second"))
        graphs.voltage.append(edge("first", "second"))
    if part.kind in _SOURCES:
        driven, sensed = _SOURCES[part.kind]
        graphs.current.append(edge(*driven))
        graphs.voltage.append(edge(*sensed))
    present = symbols_of(part)
    for quantity, first, second in _ADMITTANCES.get(part.kind, ()):
        if f"{quantity}_{part.name}" in present:
            graphs.current.append(edge(first, second))
            graphs.voltage.append(edge(first, second))
