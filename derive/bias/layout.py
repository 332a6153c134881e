"""What is unknown at d.c.: the nodes that something holds, the parts whose current is not given by their voltage.

Enters: a circuit. Leaves: a Layout, or Unsettled in words. Must not know: numbers, laws.

At d.c. a capacitor is open, an inductor a wire; a FET's gate, an op amp's input and what a transconductance senses
draw no current.
"""

from __future__ import annotations

from dataclasses import dataclass

from derive.circuit.graphs import Union
from derive.circuit.records import GROUND, Circuit, Part, Path

CONDUCTS: dict[str, tuple[tuple[str, str], ...]] = {
    "resistor": (("first", "second"),),
    "inductor": (("first", "second"),),
    "supply": (("first", "second"),),
    "transconductance": (("first", "second"),),
    "bjt": (("base", "emitter"), ("collector", "emitter")),
    "jfet": (("drain", "source"),),
    "mosfet": (("drain", "source"),),
    "diode": (("anode", "cathode"),),
}
"""The pairs of pins between which a part carries current."""
LISTENS: dict[str, tuple[str, ...]] = {
    "jfet": ("gate",),
    "mosfet": ("gate",),
    "opamp": ("plus", "minus"),
    "transconductance": ("sense_first", "sense_second"),
    "bjt": ("base", "emitter", "collector"),
}
"""The pins whose voltage decides what a part does."""


class Unsettled(Exception):
    """There is no bias point: what is wrong, what would be right, where in the description."""

    def __init__(self, what: str, remedy: str, path: Path) -> None:
        self.what, self.remedy, self.path = what, remedy, path
        super().__init__(what)


@dataclass(frozen=True)
class Layout:
    """``nodes``: those whose voltage is unknown, without ground and the first of each island. ``branches``: parts
    whose own current is unknown (sources of voltage, inductors, op amps). ``floating``: nodes of islands, which
    nothing holds against ground; one node of each island stands for zero there, so that what flows within it is
    found. ``idle``: inductors that only close a loop of wires, whose share of its current is not defined and taken
    as zero."""

    nodes: tuple[str, ...]
    branches: tuple[str, ...]
    floating: tuple[str, ...]
    idle: tuple[str, ...]


def layout_of(circuit: Circuit) -> Layout:
    """Raises Unsettled where a pin that matters hangs in the air, or wires close a loop around a source."""
    parts = tuple(circuit.parts.values())
    held = Union()
    for part in parts:
        for first, second in _edges(part):
            held.join(first, second)
    for part in parts:
        _check_pins(part, held)
        _check_base(part, parts)
    floating = tuple(n for n in circuit.nodes if held.find(n) != held.find(GROUND))
    references = {held.find(node): node for node in reversed(floating)}
    zeros = {GROUND, *references.values()}
    nodes = tuple(node for node in circuit.nodes if node not in zeros)
    idle = _idle(parts)
    branches = tuple(part.name for part in parts if part.name not in idle and _is_branch(part))
    return Layout(nodes, branches, floating, idle)


def _edges(part: Part) -> list[tuple[str, str]]:
    if part.kind == "opamp":
        return [(part.pins["out"], GROUND)]
    if part.kind == "signal":
        return [(part.pins["first"], part.pins["second"])] if part.variety == "voltage" else []
    return [(part.pins[a], part.pins[b]) for a, b in CONDUCTS.get(part.kind, ())]


def _is_branch(part: Part) -> bool:
    return part.kind in ("supply", "inductor", "opamp") or (part.kind == "signal" and part.variety == "voltage")


def _check_pins(part: Part, held: Union) -> None:
    """Refuse a pin that decides what a part does and hangs on nothing that the part itself stands on."""
    carries = [pin for pair in CONDUCTS.get(part.kind, ()) for pin in pair]
    home = held.find(part.pins[carries[0]]) if carries and part.kind != "transconductance" else held.find(GROUND)
    if part.kind == "transconductance":
        home = held.find(part.pins["sense_first"])
    for pin in LISTENS.get(part.kind, ()):
        if held.find(part.pins[pin]) != home:
            if held.find(part.pins[pin]) == held.find(GROUND):
                pin = next(other for other in carries if held.find(part.pins[other]) == home)
            word = pin.replace("sense_first", "sensed node").replace("sense_second", "sensed node")
            raise Unsettled(
                f"the {word} of {part.name} (node {part.pins[pin]}) has no path for direct current",
                "add the resistor that carries its bias",
                (*part.path, pin),
            )
    if part.kind == "signal" and part.variety == "current":
        offset = part.values.get("offset")
        loose = [n for n in part.pins.values() if held.find(n) != held.find(GROUND)]
        if loose and offset is not None and offset.value:
            raise Unsettled(
                f"the direct current of {part.name} has no path at node {loose[0]}",
                "add one, or leave its offset out",
                part.path,
            )


def _check_base(part: Part, parts: tuple[Part, ...]) -> None:
    """Refuse a bipolar whose base nothing else feeds: its own junctions alone cannot turn it on."""
    if part.kind != "bjt":
        return
    base = part.pins["base"]
    own = base in (part.pins["collector"], part.pins["emitter"])
    fed = base == GROUND or any(base in edge for other in parts if other is not part for edge in _edges(other))
    driven = any(p.kind == "signal" and base in p.pins.values() for p in parts)
    if not (own or fed or driven):
        raise Unsettled(
            f"the base of {part.name} (node {base}) has no path for direct current",
            "add the resistor that carries its bias",
            (*part.path, "base"),
        )


def _idle(parts: tuple[Part, ...]) -> tuple[str, ...]:
    """Inductors that close loops of inductors and sources without voltage."""
    wires = Union()
    idle = []
    sources = [p for p in parts if _is_branch(p) and p.kind not in ("inductor", "opamp")]
    for part in sources:
        wires.join(part.pins["first"], part.pins["second"])
    for part in (p for p in parts if p.kind == "inductor"):
        if not wires.join(part.pins["first"], part.pins["second"]):
            if _around_voltage(part, sources, parts):
                raise Unsettled(
                    f"{part.name} is a wire at d.c. and shorts a source of voltage",
                    "add the resistance of its winding as a resistor in series",
                    part.path,
                )
            idle.append(part.name)
    return tuple(idle)


def _around_voltage(inductor: Part, sources: list[Part], parts: tuple[Part, ...]) -> bool:
    """Whether the loop that an inductor closes holds a source of voltage that is not zero."""
    quiet = Union()
    for part in (*sources, *(p for p in parts if p.kind == "inductor" and p is not inductor)):
        key = "voltage" if part.kind == "supply" else "offset"
        quantity = part.values.get(key) if part.kind != "inductor" else None
        if quantity is None or not quantity.value:
            quiet.join(part.pins["first"], part.pins["second"])
    return quiet.find(inductor.pins["first"]) != quiet.find(inductor.pins["second"])
