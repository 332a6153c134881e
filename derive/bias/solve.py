"""The bias point of a circuit, or in words why there is none.

Enters: a circuit. Leaves: a Bias, Unsolved, or None where there is nothing to bias.
Must not know: LaTeX, the small-signal network.
"""

from __future__ import annotations

import numpy as np

from derive.bias.equations import system_of
from derive.bias.estimate.estimate import estimate
from derive.bias.inner import with_inner_nodes, without_inner_nodes
from derive.bias.layout import Layout, Unsettled, layout_of
from derive.bias.opamps import check_opamps
from derive.bias.parameters import has_law, parameters_of
from derive.bias.points import DEVICES, point_of
from derive.bias.records import Bias, Contradiction, Point, Unsolved
from derive.bias.search import search
from derive.bias.setting import setting_of
from derive.bias.spread import spread_of
from derive.bias.unsettled import shorted, unsettled_words
from derive.bias.warming import warmed_of
from derive.circuit.parts import is_stated
from derive.circuit.records import Circuit
from derive.constants import thermal_voltage

APART = 0.1
"""Relative difference from which a stated current contradicts the circuit."""


def solve(circuit: Circuit) -> Bias | Unsolved | None:
    """All operating points of a circuit, with their certificate. Pure: the same circuit gives the same numbers."""
    parts = circuit.parts.values()
    devices = [part for part in parts if part.kind in DEVICES]
    offsets = [p for p in parts if p.kind == "signal" and "offset" in p.values and p.values["offset"].value]
    if not devices and not offsets and not any(p.kind == "supply" for p in parts):
        return None
    needed = any(not is_stated(part) for part in devices)
    try:
        for part in devices:
            if not has_law(part):
                what = f"{part.name} states its slopes but no law, so its direct current is not known"
                raise Unsettled(what, _remedy(part.kind), part.path)
        inner = with_inner_nodes(circuit)
        layout = layout_of(inner)
        check_opamps(inner)
        short = shorted(inner)
        if short is not None:
            raise short
        return _solve(circuit, inner, layout)
    except Unsettled as reason:
        return Unsolved(reason.what, reason.remedy, reason.path, needed)


def _remedy(kind: str) -> str:
    return {
        "jfet": "give it idss and vp as well, or state the currents of all devices",
        "mosfet": "give it k and vth as well, or state the currents of all devices",
        "diode": "state the currents of all devices: the breakdown of a zener is not built yet",
    }.get(kind, "state the currents of all devices")


def _solve(stated: Circuit, circuit: Circuit, layout: Layout) -> Bias:
    """``stated``: the circuit of the description; ``circuit``: the same with inner nodes."""
    temperature = circuit.about.temperature
    parameters = tuple(p for part in circuit.parts.values() for p in parameters_of(part, temperature))
    setting = setting_of(circuit, parameters, float(thermal_voltage(temperature)))
    system = system_of(circuit, layout, setting)
    near = {node: float(quantity.value) for node, quantity in circuit.near.items()}
    found = search(system, near)
    if found is None:
        raise unsettled_words(circuit, system)
    points = tuple(
        without_inner_nodes(point_of(circuit, system, setting, polished), stated) for polished in found.points
    )
    chosen = choose(points, near)
    x = np.array([float(v) for v in found.points[chosen].x])
    return Bias(
        parameters, points, chosen, found.road, found.starts, found.met, found.apart, found.lacking,
        contradictions=_contradictions(stated, points[chosen]),
        estimate=estimate(stated, setting.laws),
        spread=spread_of(circuit, layout, setting, x),
        warmed=warmed_of(circuit, layout, x, dict(points[chosen].devices)),
    )  # fmt: skip


def choose(points: tuple[Point, ...], near: dict[str, float]) -> int:
    """The place of the point nearest to the stated voltages, or of the first that is not known to run away."""
    if near:
        return min(range(len(points)), key=lambda place: _miss(points[place], near))
    return next((place for place, point in enumerate(points) if point.stable is not False), 0)


def _miss(point: Point, near: dict[str, float]) -> float:
    return sum((volts - (point.nodes.get(node) or 0.0)) ** 2 for node, volts in near.items())


def _contradictions(circuit: Circuit, point: Point) -> tuple[Contradiction, ...]:
    found = []
    for part in circuit.parts.values():
        for key in ("ic", "id"):
            quantity = part.values.get(key)
            if quantity is not None and part.name in point.devices:
                stated, solved = float(quantity.value), abs(point.currents[part.name])
                if abs(solved - stated) > APART * stated:
                    found.append(Contradiction(part.name, key, stated, solved))
    return tuple(found)
