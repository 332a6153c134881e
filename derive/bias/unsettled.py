"""Why there is no bias point, for a circuit in which no road found a bias point.

Enters: a circuit and its system. Leaves: Unsettled in words. Must not know: roads.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from derive.bias.equations import System
from derive.bias.layout import Unsettled
from derive.bias.roads import all_controls
from derive.bias.search import plain_start
from derive.circuit.records import GROUND, Circuit
from derive.description.hints import join_and
from derive.numbers import plain


def unsettled_words(circuit: Circuit, system: System) -> Unsettled:
    """The node at which the currents balance worst where they balance best over all (least squares)."""
    from scipy.optimize import least_squares

    start = plain_start(system)
    found = least_squares(
        lambda x: np.array(system.residual(x.tolist())),
        start.x,
        jac=lambda x: system.jacobian(all_controls(system, x.tolist())),
        x_scale="jac",
        max_nfev=200,
    )
    left = np.abs(found.fun[: len(system.layout.nodes)])
    matrix = system.jacobian(all_controls(system, found.x.tolist()))
    if not left.size:
        return Unsettled("no bias point was found", "state the currents of all devices", ("parts",))
    place = int(np.argmax(left))
    if left[place] < 1e-9 * max(1e-12, float(np.abs(found.x).max())):
        # All currents balance, so the trouble is that a voltage is not determined at all.
        _, _, rows = np.linalg.svd(matrix)
        place = int(np.argmax(np.abs(rows[-1][: len(system.layout.nodes)])))
        words = "is not determined: only current sources or devices that are off meet there"
    else:
        words = f"would not settle: its currents miss their balance by {plain(float(left[place]), 'A', 3)}"
    node = system.layout.nodes[place]
    part = next(p for p in circuit.parts.values() if node in p.pins.values())
    remedy = 'check the parts there, or say near which voltages to seek: [bias] near = { NODE = "5 V" }'
    return Unsettled(f"no bias point was found: node {node} {words}", remedy.replace("NODE", node), part.path)


def shorted(circuit: Circuit) -> Unsettled | None:
    """Forward junctions in series from a higher rail to a lower one, with nothing that limits their current."""
    levels = _levels(circuit)
    for start, high in levels.items():
        ways: dict[str, tuple[str, ...]] = {start: ()}
        waiting = [start]
        while waiting:
            here = waiting.pop(0)
            for name, there in _forward(circuit, here):
                if there in ways:
                    continue
                ways[there] = (*ways[here], name)
                if there in levels:
                    if high - levels[there] > sum(_most_drop(circuit, part) for part in ways[there]):
                        return _short_words(circuit, ways[there], start, there)
                else:
                    waiting.append(there)
    return None


MOST_DROP = 1.05
"""Volts that a silicon junction does not drop below a thousand amperes; a light-emitting diode drops more."""
LED_DROP = 4.0


def _most_drop(circuit: Circuit, name: str) -> float:
    part = circuit.parts[name]
    emission = part.values.get("n")
    return LED_DROP if part.variety == "led" else MOST_DROP * (float(emission.value) if emission else 1.0)


def _forward(circuit: Circuit, here: str) -> Iterator[tuple[str, str]]:
    for part in circuit.parts.values():
        pins = part.pins
        if part.kind == "diode" and pins["anode"] == here:
            yield part.name, pins["cathode"]
        elif part.kind == "bjt" and part.variety == "npn" and pins["base"] == here:
            yield part.name, pins["emitter"]
            yield part.name, pins["collector"]
        elif part.kind == "bjt" and part.variety == "pnp" and here in (pins["emitter"], pins["collector"]):
            yield part.name, pins["base"]


def _levels(circuit: Circuit) -> dict[str, float]:
    """The voltages of ground and of the nodes that sources hold against it."""
    levels = {GROUND: 0.0}
    sources = [p for p in circuit.parts.values() if p.kind == "supply" or p.variety == "voltage"]
    for _ in sources:
        for part in sources:
            first, second = part.pins["first"], part.pins["second"]
            quantity = part.values.get("voltage" if part.kind == "supply" else "offset")
            volts = 0.0 if quantity is None else float(quantity.value)
            if second in levels:
                levels.setdefault(first, levels[second] + volts)
            elif first in levels:
                levels.setdefault(second, levels[first] - volts)
    return levels


def _short_words(circuit: Circuit, names: tuple[str, ...], high: str, low: str) -> Unsettled:
    what = f"the junctions of {join_and(names)} conduct" if len(names) > 1 else f"a junction of {names[0]} conducts"
    return Unsettled(
        f"{what} straight from {high} to {low}, and nothing limits the current",
        "put a resistor into that path, or check the pins",
        circuit.parts[names[0]].path,
    )
