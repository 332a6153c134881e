"""What each device does for the signal: where it is driven, where its current goes, and how much passes by it.

Enters: a circuit, its network, the field of a gain, the loop opened at its chief source. Leaves: duties.
Must not know: words, LaTeX.

With the chief source dead there are two excitations: the signal on its way to the chief's control (``signal``), and
what comes back to it from a current in the chief's place (``return``). A device is driven from outside: with the device
itself taken out its control pin moves by v_c, its reference pin by v_r. Its current, entering at r and leaving at the
output pin o, moves the target by z_r - z_o per ampere (transfer impedances, its own control dead); z_r/(z_r - z_o) and
-z_o/(z_r - z_o) are the shares of the two pins and add to one. ``passes`` is the part of the target's motion that is
missing without the source.
"""

from __future__ import annotations

import cmath
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from derive.circuit.records import Circuit, Part
from derive.explain.field import Field
from derive.explain.loop_opened import Opened
from derive.explain.thresholds import BESIDE, MAIN
from derive.network.records import Edge, Element, Network

Configuration = Literal[
    "common emitter", "common base", "emitter follower", "common source", "common gate", "source follower",
    "diode-connected", "load", "beside", "mixed",
]  # fmt: skip
CONTROL: Mapping[str, tuple[str, str, str]] = {
    "bjt": ("base", "emitter", "collector"),
    "jfet": ("gate", "source", "drain"),
    "mosfet": ("gate", "source", "drain"),
}
"""Control, reference and output pin."""
TAKEN: Mapping[tuple[str, str], Configuration] = {
    ("base", "collector"): "common emitter",
    ("base", "emitter"): "emitter follower",
    ("emitter", "collector"): "common base",
    ("gate", "drain"): "common source",
    ("gate", "source"): "source follower",
    ("source", "drain"): "common gate",
}


@dataclass(frozen=True)
class Pin:
    """A pin, the node that it joins, and its motion (driven) or its share (taken)."""

    pin: str
    node: str
    amount: complex


@dataclass(frozen=True)
class Duty:
    """What one device does on one way. ``driven``: motions of control and reference pin with the device out, larger
    first; ``taken``: shares of output and reference pin in what its current does to the target; () where undetermined.

    ``passes``: the part of the target's motion that goes without its source. ``target``: what is moved.
    ``partner``: a device of its kind at the same emitter or source.
    """

    part: str
    source: str
    way: Literal["signal", "return"]
    configuration: Configuration
    driven: tuple[Pin, ...]
    taken: tuple[Pin, ...]
    passes: complex
    target: Edge
    partner: str | None = None

    @property
    def is_stage(self) -> bool:
        return self.configuration not in ("beside", "load")

    @property
    def both_driven(self) -> bool:
        """Whether both pins drive it, from opposite sides."""
        first, second = (pin.amount for pin in self.driven) if self.driven else (1, 0)
        return MAIN * abs(second) > abs(first) and (second / first).real < 0


def duties(circuit: Circuit, network: Network, field: Field, output: str, loop: Opened | None) -> tuple[Duty, ...]:
    """The duties of every transistor whose source acts on something, in the order of the description."""
    found: list[Duty] = []
    for part in circuit.parts.values():
        source = next((e for e in network.elements if e.controlled and e.owner == part.name), None)
        if part.kind in CONTROL and source is not None:
            found += _of_device(_Case(part, source, network, _partner(part, circuit, network)), field, output, loop)
    return tuple(found)


@dataclass(frozen=True)
class _Case:
    part: Part
    source: Element
    network: Network
    partner: str | None


def _of_device(case: _Case, field: Field, output: str, loop: Opened | None) -> list[Duty]:
    target = (output, field.ground)
    if loop is None:
        return [d for d in [_duty(case, field, target, (), "signal")] if d is not None]
    if case.source.name == loop.chief.name:
        # The chief is driven by both ways; its current is followed to the output.
        duty = _duty(case, loop.forward, target, (), "signal", passes=1)
        return [duty] if duty is not None else []
    control = loop.chief.voltage
    back = [_duty(case, loop.back, aim, loop.dead, "return") for aim in (target, control)]
    # What a device does on its way back is told for the target that it moves most; one that only loads moves none.
    stages = [d for d in back if d is not None and d.is_stage]
    best = max(stages, key=lambda d: d.passes.real, default=None)
    ways = [_duty(case, loop.forward, control, loop.dead, "signal"), best]
    known = [d for d in ways if d is not None]
    return [d for d in known if d.is_stage] or known[:1]


def _duty(
    case: _Case,
    field: Field,
    target: Edge,
    dead: tuple[str, ...],
    way: Literal["signal", "return"],
    passes: complex | None = None,
) -> Duty | None:
    part, network = case.part, case.network
    control, reference, output = CONTROL[part.kind]
    if passes is None:
        whole, gone = field.at_spot(target, dead), field.at_spot(target, (*dead, case.source.name))
        if whole is None or gone is None or not whole or not cmath.isfinite(whole) or not cmath.isfinite(gone):
            return None
        passes = 1 - gone / whole
    own = tuple(e.name for e in network.elements if e.owner == part.name)
    driven = _motions(case, field, (control, reference), (*dead, *own))
    taken = _shares(case, field, (reference, output), target, (*dead, case.source.name))
    configuration = _configuration(case, driven, taken, passes)
    return Duty(part.name, case.source.name, way, configuration, driven, taken, passes, target, case.partner)


def _motions(case: _Case, field: Field, pins: tuple[str, str], dead: tuple[str, ...]) -> tuple[Pin, ...]:
    found = []
    for pin in pins:
        node = case.network.node(case.part.pins[pin])
        value = field.node(node, dead)
        if value is None or not cmath.isfinite(value):
            return ()
        found.append(Pin(pin, node, value))
    return tuple(sorted(found, key=lambda pin: -abs(pin.amount)))


def _shares(
    case: _Case, field: Field, pins: tuple[str, str], target: Edge, dead: tuple[str, ...]
) -> tuple[Pin, ...]:
    """The shares of reference and output pin in what the device's current does to the target, larger first."""
    nodes = [case.network.node(case.part.pins[pin]) for pin in pins]
    enters, leaves = (field.transfer_at_spot(target, (node, field.ground), dead) for node in nodes)
    if enters is None or leaves is None:
        return ()
    whole = enters - leaves
    if not cmath.isfinite(whole) or abs(whole) <= 1e-12 * max(abs(enters), abs(leaves), 1e-300):
        return ()
    found = [Pin(pins[0], nodes[0], enters / whole), Pin(pins[1], nodes[1], -leaves / whole)]
    return tuple(sorted(found, key=lambda pin: -abs(pin.amount)))


def _configuration(case: _Case, driven: tuple[Pin, ...], taken: tuple[Pin, ...], passes: complex) -> Configuration:
    part, network = case.part, case.network
    control, reference, output = CONTROL[part.kind]
    if network.node(part.pins[control]) == network.node(part.pins[output]):
        return "diode-connected"
    if abs(passes) < BESIDE or not driven or not taken or not driven[0].amount:
        return "beside"
    followed = driven[0] if driven[0].pin == control else driven[1]
    if taken[0].pin == reference and MAIN * abs(followed.amount) > abs(driven[0].amount) and _along(driven):
        # What else moves the output pin the same way (the other half of a push-pull stage) is no drive.
        return TAKEN[control, reference]
    against = MAIN * abs(driven[1].amount) > abs(driven[0].amount) and (driven[1].amount / driven[0].amount).real < 0
    if against or abs(taken[0].amount) < MAIN * abs(taken[1].amount):
        return "mixed"
    if driven[0].pin == taken[0].pin:
        return "load"
    return TAKEN.get((driven[0].pin, taken[0].pin), "mixed")


def _along(driven: tuple[Pin, ...]) -> bool:
    """Whether both pins move in one direction, or one of them hardly."""
    first, second = (pin.amount for pin in driven)
    return (second / first).real >= 0 or abs(first) > MAIN * abs(second)


def _partner(part: Part, circuit: Circuit, network: Network) -> str | None:
    """Another device of the same kind and variety whose emitter or source is the same node, which is no rail."""
    control, reference, _ = CONTROL[part.kind]
    node = network.node(part.pins[reference])
    if node == network.ground:
        return None
    for other in circuit.parts.values():
        if other.name != part.name and (other.kind, other.variety) == (part.kind, part.variety):
            apart = network.node(other.pins[control]) != network.node(part.pins[control])
            if apart and network.node(other.pins[reference]) == node:
                return other.name
    return None
