"""The inner nodes of devices: a base resistance is a resistor between the pin and the transistor itself.

Enters: a circuit. Leaves: the circuit as its d.c. equations see it; a point without what was added.
Must not know: equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from derive.bias.records import Point
from derive.circuit.records import Circuit, Part, Quantity


def with_inner_nodes(circuit: Circuit) -> Circuit:
    """The circuit with each base resistance as a part of its own, named ``rb_Q1``."""
    parts: dict[str, Part] = {}
    nodes = list(circuit.nodes)
    for name, part in circuit.parts.items():
        resistance = part.values.get("rb")
        if part.kind != "bjt" or resistance is None:
            parts[name] = part
            continue
        inner = f"{name}.inner_base"
        nodes.append(inner)
        parts[f"rb_{name}"] = _resistor(f"rb_{name}", part.pins["base"], inner, resistance, part)
        parts[name] = replace(part, pins={**part.pins, "base": inner})
    return circuit if len(parts) == len(circuit.parts) else replace(circuit, parts=parts, nodes=tuple(nodes))


def _resistor(name: str, first: str, second: str, value: Quantity, owner: Part) -> Part:
    return Part(name, "resistor", "", {"first": first, "second": second}, {"resistance": value}, owner.path)


def without_inner_nodes(point: Point, circuit: Circuit) -> Point:
    """The point in the nodes and parts of the description; what a base resistance takes up is its transistor's."""
    added = {name: name.removeprefix("rb_") for name in point.currents if name not in circuit.parts}
    if not added:
        return point
    powers = dict(point.powers)
    devices = dict(point.devices)
    for name, owner in added.items():
        powers[owner] += powers[name]
        devices[owner] = replace(devices[owner], power=powers[owner])
    nodes = {node: volts for node, volts in point.nodes.items() if node in (*circuit.nodes, "gnd")}
    return replace(
        point, nodes=nodes, currents=_known(point.currents, circuit), powers=_known(powers, circuit), devices=devices
    )


def _known(values: Mapping[str, float], circuit: Circuit) -> dict[str, float]:
    return {name: value for name, value in values.items() if name in circuit.parts}
