"""The schematic of a circuit: which symbols, which rails, which way the signal goes.

Enters: a circuit, its bias point, the path of its first gain. Leaves: a wish. Must not know: coordinates, LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from derive.bias.records import Bias, Unsolved
from derive.circuit.records import GROUND, Circuit, Gain, Impedance, Part
from derive.drawing.records import Kind, Wanted, Wish
from derive.schematic.levels import levels
from derive.schematic.pairs import pairs
from derive.schematic.path import walk
from derive.schematic.words import value_words, volts

KINDS: dict[tuple[str, str], Kind] = {
    ("bjt", "npn"): "npn", ("bjt", "pnp"): "pnp", ("jfet", "n-channel"): "n-jfet", ("jfet", "p-channel"): "p-jfet",
    ("mosfet", "n-channel"): "n-mosfet", ("mosfet", "p-channel"): "p-mosfet",
    ("signal", "voltage"): "voltage source", ("signal", "current"): "current source",
}  # fmt: skip
OTHERS: dict[str, Kind] = {
    "resistor": "resistor", "capacitor": "capacitor", "inductor": "inductor", "diode": "diode", "opamp": "op amp",
    "transconductance": "controlled current source", "supply": "battery",
}  # fmt: skip
PINS: dict[str, tuple[str, ...]] = {
    "npn": ("base", "collector", "emitter"), "pnp": ("base", "emitter", "collector"),
    "n-jfet": ("gate", "drain", "source"), "p-jfet": ("gate", "source", "drain"),
    "n-mosfet": ("gate", "drain", "source"), "p-mosfet": ("gate", "source", "drain"),
    "diode": ("anode", "cathode"), "op amp": ("plus", "minus", "out"),
}  # fmt: skip


def schematic(circuit: Circuit, bias: Bias | Unsolved | None = None, path: Sequence[str] = ()) -> Wish:
    """The wish for a circuit's schematic. ``path``: nodes of the signal path; () to find one by the wiring alone."""
    rails = _rails(circuit)
    parts = tuple(_wanted(part) for part in circuit.parts.values() if _rail(part) is None)
    found = tuple(path) or walk(circuit)
    return Wish(
        parts=parts,
        ground=GROUND,
        rails=rails,
        level=tuple(sorted(levels(circuit, bias).items())),
        path=found,
        pairs=pairs(circuit),
        named=_named(circuit, found),
    )


def _rail(part: Part) -> tuple[str, bool] | None:
    """The node that a supply holds against ground, and whether it is the supply's first; None for other parts."""
    if part.kind != "supply":
        return None
    first, second = part.pins["first"], part.pins["second"]
    if second == GROUND and first != GROUND:
        return first, True
    return (second, False) if first == GROUND and second != GROUND else None


def _rails(circuit: Circuit) -> tuple[tuple[str, str, Literal["above", "below"]], ...]:
    found: dict[str, tuple[str, str, Literal["above", "below"]]] = {}
    for part in circuit.parts.values():
        held = _rail(part)
        if held is not None:
            above = (part.values["voltage"].value > 0) == held[1]
            label = volts(part) if held[1] else volts(part).replace("+", "−")
            found.setdefault(held[0], (held[0], label, "above" if above else "below"))
    return tuple(found.values())


def _wanted(part: Part) -> Wanted:
    kind = KINDS.get((part.kind, part.variety)) or OTHERS[part.kind]
    if kind == "current source":
        # A signal current enters its first node: the arrow points to it.
        pins = (("first", part.pins["second"]), ("second", part.pins["first"]))
        return Wanted(part.name, kind, pins)
    names = PINS.get(kind, ("first", "second"))
    return Wanted(part.name, kind, tuple((pin, part.pins[pin]) for pin in names), value_words(part))


def _named(circuit: Circuit, path: Sequence[str]) -> tuple[str, ...]:
    """Nodes that the text speaks of: of the signal path, and of questions; names that are pins speak for themselves."""
    found = list(path)
    for question in circuit.questions:
        ask = question.ask
        if isinstance(ask, Gain):
            found += [node for node in (ask.source, ask.to) if node is not None]
        elif isinstance(ask, Impedance):
            found += [ask.plus, ask.minus]
    held = {node for node, _, _ in _rails(circuit)} | {GROUND}
    return tuple(dict.fromkeys(node for node in found if node not in held and "." not in node))
