"""Whether each ideal op amp has feedback at d.c.

Enters: a circuit. Leaves: nothing, or Unsettled in words. Must not know: numbers, laws.
"""

from __future__ import annotations

from derive.bias.layout import CONDUCTS, LISTENS, Unsettled
from derive.circuit.graphs import supplied_nodes
from derive.circuit.records import Circuit, Part


def check_opamps(circuit: Circuit) -> None:
    """Refuse an ideal op amp whose output cannot move its inputs: its output voltage would be anything at all."""
    parts = tuple(circuit.parts.values())
    still = set(supplied_nodes(parts))
    still |= {
        node
        for part in parts
        if part.kind == "signal" and part.variety == "voltage"
        for node in part.pins.values()
        if set(part.pins.values()) & still
    }
    for part in parts:
        if part.kind == "opamp" and "gain" not in part.values:
            reached = _reach(part.pins["out"], parts, still)
            if not {part.pins["plus"], part.pins["minus"]} & reached:
                raise Unsettled(
                    f"{part.name} is an ideal op amp without feedback at d.c., so nothing fixes its output",
                    "close a path for direct current from its output to its inverting input, or give it a gain",
                    part.path,
                )


def _reach(start: str, parts: tuple[Part, ...], still: set[str]) -> set[str]:
    """The nodes that a node's voltage can move, through parts and not through nodes that sources hold."""
    reached, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for part in parts:
            for node in _moved(part, here):
                if node not in reached and node not in still:
                    reached.add(node)
                    waiting.append(node)
    return reached


def _moved(part: Part, here: str) -> set[str]:
    pins = part.pins
    if part.kind == "opamp":
        return {pins["out"]} if here in (pins["plus"], pins["minus"]) else set()
    carries = {pins[pin] for pair in CONDUCTS.get(part.kind, ()) for pin in pair}
    listens = {pins[pin] for pin in LISTENS.get(part.kind, ())}
    if part.kind == "signal" and part.variety == "voltage":
        carries = set(pins.values())
    return carries if here in carries | listens else set()
