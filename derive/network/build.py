"""From the circuit to its small-signal network.

Enters: a checked circuit. Leaves: the network with its table of symbols.
Must not know: questions, statements, LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.circuit.records import GROUND, Circuit, Part
from derive.network.devices import MODELS, Model
from derive.network.records import Drive, Edge, Element, Network, Symbol


def build(circuit: Circuit) -> Network:
    """The linear network of a circuit around its bias point: rails are ground, devices are their models.

    An ideal op amp is one forced element: its output supplies whatever current makes the voltage between
    its inputs zero. Elements that act on nothing (both ends at one node) are left out; their symbols stay.
    """
    alias = _merge_supplies(circuit)
    elements: list[Element] = []
    forced: list[Element] = []
    drives: list[Drive] = []
    symbols: dict[str, Symbol] = {}
    for part in circuit.parts.values():
        if part.kind == "supply":
            continue
        if part.kind == "signal":
            plus, minus = (alias.get(part.pins[pin], part.pins[pin]) for pin in ("first", "second"))
            drives.append(Drive(part.name, "voltage" if part.variety == "voltage" else "current", plus, minus))
        elif part.kind == "opamp":
            forced.append(_renamed(_ideal_opamp(part), alias))
        else:
            model = _model(part, circuit.about.temperature)
            elements += [_renamed(element, alias) for element in model.elements]
            symbols.update((symbol.name, symbol) for symbol in model.symbols)
    live = tuple(element for element in elements if not element.is_loop)
    return Network(live, tuple(forced), tuple(drives), symbols, alias)


def _model(part: Part, temperature: Fraction) -> Model:
    model = Model(part, temperature)
    MODELS[part.kind](model)
    return model


def _ideal_opamp(part: Part) -> Element:
    pins = part.pins
    return Element(part.name, part.name, "unity", (pins["out"], GROUND), (pins["plus"], pins["minus"]))


def _merge_supplies(circuit: Circuit) -> dict[str, str]:
    """A supply has zero signal across it, so its two nodes are one; ground gives the name where it is met."""
    alias: dict[str, str] = {}

    def find(node: str) -> str:
        while node in alias:
            node = alias[node]
        return node

    for part in circuit.parts.values():
        if part.kind == "supply":
            first, second = find(part.pins["first"]), find(part.pins["second"])
            if first == GROUND:
                first, second = second, first
            if first != second:
                alias[first] = second
    return {node: find(node) for node in alias}


def _renamed(element: Element, alias: dict[str, str]) -> Element:
    def move(edge: Edge) -> Edge:
        return (alias.get(edge[0], edge[0]), alias.get(edge[1], edge[1]))

    return Element(element.name, element.owner, element.law, move(element.current), move(element.voltage))
