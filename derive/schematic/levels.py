"""How high each node lies: by the bias point, or by a rule of thumb where there is none.

Enters: a circuit, its bias point or none. Leaves: volts by node. Must not know: drawings.

The rule of thumb (no source; it only sorts nodes): every resistor, inductor, diode and channel conducts alike,
supplies hold their nodes, capacitors are open.
"""

from __future__ import annotations

import numpy as np

from derive.bias.records import Bias, Unsolved
from derive.circuit.records import GROUND, Circuit

CONDUCTING = {
    "resistor": ("first", "second"), "inductor": ("first", "second"), "diode": ("anode", "cathode"),
    "bjt": ("collector", "emitter"), "jfet": ("drain", "source"), "mosfet": ("drain", "source"),
}  # fmt: skip
LEAK = 1e-9
ENDLESS = 1e9


def levels(circuit: Circuit, bias: Bias | Unsolved | None) -> dict[str, float]:
    """Volts by node, as far as they are known."""
    if isinstance(bias, Bias):
        return {node: volts for node, volts in bias.point.nodes.items() if volts is not None}
    if not any(part.kind == "supply" for part in circuit.parts.values()):
        return {}
    return by_thumb(circuit)


def by_thumb(circuit: Circuit) -> dict[str, float]:
    """Potentials of equal conductances between supplies."""
    nodes = [node for node in circuit.nodes if node != GROUND]
    index = {node: n for n, node in enumerate(nodes)}
    matrix, right = np.eye(len(nodes)) * LEAK, np.zeros(len(nodes))
    for part in circuit.parts.values():
        volts = 0.0
        if part.kind == "supply":
            pair, weight, volts = (
                (part.pins["first"], part.pins["second"]),
                ENDLESS,
                float(part.values["voltage"].value),
            )
        elif part.kind in CONDUCTING:
            one, other = CONDUCTING[part.kind]
            pair, weight = (part.pins[one], part.pins[other]), 1.0
        else:
            continue
        for a, b, sign in ((pair[0], pair[1], 1), (pair[1], pair[0], -1)):
            if a in index:
                matrix[index[a], index[a]] += weight
                right[index[a]] += sign * weight * volts
                if b in index:
                    matrix[index[a], index[b]] -= weight
    found = np.linalg.solve(matrix, right)
    return {node: round(float(found[n]), 6) for node, n in index.items()}
