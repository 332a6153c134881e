"""An operating point in the circuit's own terms: nodes, currents, devices with their regions, powers.

Enters: a system and its polished solution. Leaves: a Point. Must not know: how it was found.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from derive.bias.devices import Device
from derive.bias.equations import System
from derive.bias.polish import Polished
from derive.bias.records import DevicePoint, Point
from derive.bias.regions import region_of
from derive.bias.setting import Setting
from derive.bias.stability import is_stable
from derive.circuit.records import GROUND, Circuit, Part

DEVICES = ("bjt", "jfet", "mosfet", "diode")


def point_of(circuit: Circuit, system: System, setting: Setting, solved: Polished) -> Point:
    """The point with everything that follows from its voltages."""
    x = _without_dust([float(v) for v in solved.x], len(system.layout.nodes))
    inner = {node: x[system.index[node]] if node in system.index else 0.0 for node in circuit.nodes}
    reader = _Reader(system, setting, x, {**inner, GROUND: 0.0})
    nodes: dict[str, float | None] = {GROUND: 0.0}
    nodes |= {node: None if node in system.layout.floating else volts for node, volts in inner.items()}
    currents = {p.name: reader.current(p) for p in circuit.parts.values()}
    scale = sum(abs(currents[p.name]) for p in circuit.parts.values() if p.kind in ("supply", "signal"))
    placed = {device.part: place for place, device in enumerate(system.devices)}
    devices = {
        part.name: _device(part, system.devices[placed[part.name]], reader, setting)
        for part in circuit.parts.values()
        if part.kind in DEVICES
    }
    currents |= {name: _main_current(found) for name, found in devices.items()}
    powers = {p.name: reader.power(p, currents[p.name]) for p in circuit.parts.values() if p.kind != "opamp"}
    powers |= {name: found.power for name, found in devices.items()}
    return Point(nodes, currents, devices, powers, solved.residual, scale, is_stable(system, x))


DUST = 1e-15
"""A voltage below this part of the largest is what rounding left of zero, as is a current below a yoctoampere."""


def _without_dust(x: list[float], nodes: int) -> list[float]:
    largest = max((abs(v) for v in x[:nodes]), default=0.0)
    return [0.0 if abs(v) < (DUST * largest if place < nodes else 1e-24) else v for place, v in enumerate(x)]


class _Reader:
    """Voltages and currents of parts at one solution; an island's voltages are against a node of its own."""

    def __init__(self, system: System, setting: Setting, x: list[float], nodes: Mapping[str, float]) -> None:
        self.system, self.setting, self.x, self.nodes = system, setting, x, nodes

    def volts(self, first: str, second: str) -> float:
        return self.nodes[first] - self.nodes[second]

    def current(self, part: Part) -> float:
        """Through the part from its first node; out of a source's first node, out of an op amp's output."""
        branch = self.system.index.get(f"branch {part.name}")
        if branch is not None:
            return self.x[branch] if part.kind in ("opamp", "inductor") else -self.x[branch]
        value = self.setting.values.get(part.name, 0.0)
        if part.kind == "signal":
            return value if part.variety == "current" else 0.0
        if part.kind in ("resistor", "transconductance"):
            ends = ("first", "second") if part.kind == "resistor" else ("sense_first", "sense_second")
            across = self.volts(part.pins[ends[0]], part.pins[ends[1]])
            return across / value if part.kind == "resistor" else across * value
        return 0.0

    def power(self, part: Part, current: float) -> float:
        """What the part takes up, in watts; what a source gives is negative."""
        pins = tuple(part.pins.values())
        across = self.volts(pins[0], pins[1])
        return -across * current if part.kind in ("supply", "signal") else across * current


def _device(part: Part, device: Device, reader: _Reader, setting: Setting) -> DevicePoint:
    pins = [reader.nodes[pin] for pin in device.pins]
    controls = tuple(float(u) for u in device.sign * (device.read @ np.array(pins)))
    values, _ = device.evaluate(controls)
    exact = device.sign * (device.write @ np.array(values))
    currents = [0.0 if abs(i) < 1e-24 else float(i) for i in exact]
    power = sum(v * i for v, i in zip(pins, currents, strict=True))
    region, slopes = region_of(device, controls, setting)
    if part.kind == "bjt":
        base, collector, emitter = pins
        volts = {"Vbe": base - emitter, "Vce": collector - emitter, "Vbc": base - collector}
        names: tuple[str, ...] = ("base", "collector", "emitter")
    elif part.kind == "diode":
        volts, names = {"V": pins[0] - pins[1]}, ("anode", "cathode")
    else:
        volts, names = {"Vgs": pins[0] - pins[2], "Vds": pins[1] - pins[2]}, ("gate", "drain", "source")
    return DevicePoint(part.name, part.kind, region, volts, dict(zip(names, currents, strict=True)), slopes, power)


def _main_current(found: DevicePoint) -> float:
    return found.currents["collector" if found.kind == "bjt" else "anode" if found.kind == "diode" else "drain"]

