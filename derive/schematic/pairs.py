"""Devices that belong side by side: long-tailed pairs and mirrors.

Enters: a circuit. Leaves: pairs of names, their hanging parts too. Must not know: drawings.
"""

from __future__ import annotations

from itertools import combinations

from derive.circuit.records import GROUND, Circuit, Part

HANGING = ("resistor", "inductor", "diode")
PINS = {"bjt": ("base", "emitter"), "jfet": ("gate", "source"), "mosfet": ("gate", "source")}


def pairs(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Two devices of one kind and polarity that share the emitter's or source's node and not the control's (a
    long-tailed pair), or the control's, one of them with it at its collector or drain (a mirror). Each is in one pair.
    """
    held = {GROUND} | {node for part in circuit.parts.values() if part.kind == "supply" for node in part.pins.values()}
    devices = [part for part in circuit.parts.values() if part.kind in PINS]
    taken: set[str] = set()
    found = []
    for rule in (_tail, _mirror):
        for a, b in combinations(devices, 2):
            if (a.kind, a.variety) == (b.kind, b.variety) and not taken & {a.name, b.name} and rule(a, b, held):
                taken |= {a.name, b.name}
                found.append((a.name, b.name))
    return tuple(found) + tuple(
        pair for a, b in found for pair in _companions(circuit, circuit.parts[a], circuit.parts[b])
    )


def _companions(circuit: Circuit, a: Part, b: Part) -> list[tuple[str, str]]:
    """Two-terminal parts of one kind that hang at like pins of a pair, each alone there of its kind."""
    found = []
    for one, other in zip(_nodes(a)[1:], _nodes(b)[1:], strict=True):
        hanging = [
            [p for p in circuit.parts.values() if p.kind in HANGING and node in p.pins.values()]
            for node in (one, other)
        ]
        if one != other and len(hanging[0]) == len(hanging[1]) == 1:
            first, second = hanging[0][0], hanging[1][0]
            if first.kind == second.kind and first is not second:
                found.append((first.name, second.name))
    return found


def _nodes(part: Part) -> tuple[str, str, str]:
    """Control, emitter or source, collector or drain."""
    control, near = PINS[part.kind]
    far = next(pin for pin in part.pins if pin not in (control, near))
    return part.pins[control], part.pins[near], part.pins[far]


def _tail(a: Part, b: Part, held: set[str]) -> bool:
    (base_a, tail_a, _), (base_b, tail_b, _) = _nodes(a), _nodes(b)
    return tail_a == tail_b and tail_a not in held and base_a != base_b


def _mirror(a: Part, b: Part, held: set[str]) -> bool:
    (base_a, _, far_a), (base_b, _, far_b) = _nodes(a), _nodes(b)
    return base_a == base_b and base_a not in held and base_a in (far_a, far_b)
