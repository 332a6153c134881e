"""From the circuit and its bias point to its small-signal network.

Enters: a checked circuit, the bias point where one was solved. Leaves: the network with its table of symbols.
Must not know: questions, statements, LaTeX.
"""

from __future__ import annotations

from derive.bias.parameters import parameters_of
from derive.bias.records import Point
from derive.circuit.parts import is_stated
from derive.circuit.records import GROUND, Circuit, Part
from derive.network.devices import MODELS
from derive.network.model import Model
from derive.network.opamp import opamp
from derive.network.records import Drive, Edge, Element, Network, Symbol


def build(circuit: Circuit, point: Point | None = None) -> Network:
    """The linear network of a circuit around its bias point: rails are ground, devices are their models.

    ``point`` is needed where a device states neither a current nor its slopes; devices that do keep them.
    Elements that act on nothing (both ends at one node) are left out; their symbols stay.
    """
    alias = _merge_supplies(circuit)
    elements: list[Element] = []
    forced: list[Element] = []
    drives: list[Drive] = []
    symbols: dict[str, Symbol] = {}
    missing: dict[str, str] = {}
    for part in circuit.parts.values():
        if part.kind == "supply":
            continue
        if part.kind == "signal":
            plus, minus = (alias.get(part.pins[pin], part.pins[pin]) for pin in ("first", "second"))
            drives.append(Drive(part.name, "voltage" if part.variety == "voltage" else "current", plus, minus))
        elif part.kind == "opamp":
            amplifier = opamp(part)
            elements += [_renamed(element, alias) for element in amplifier.elements]
            forced += [_renamed(element, alias) for element in amplifier.forced]
            symbols.update((symbol.name, symbol) for symbol in amplifier.symbols)
        else:
            model = _model(part, circuit, point)
            missing |= model.missing
            elements += [_renamed(element, alias) for element in model.elements]
            symbols.update((symbol.name, symbol) for symbol in model.symbols)
    live = tuple(element for element in elements if not element.is_loop)
    return Network(live, tuple(forced), tuple(drives), symbols, alias, missing)


def _model(part: Part, circuit: Circuit, point: Point | None) -> Model:
    temperature = circuit.about.temperature
    laws = {p.name: p for p in parameters_of(part, temperature)}
    solved = None if point is None or is_stated(part) else point.devices.get(part.name)
    model = Model(part, temperature, laws, solved)
    MODELS[part.kind](model)
    return model


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
