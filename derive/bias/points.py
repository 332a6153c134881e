"""An operating point in the circuit's own terms: nodes, currents, devices with their regions, powers.

Enters: a system and its polished solution. Leaves: a Point. Must not know: how it was found.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp

import numpy as np

from derive.bias.devices import Device
from derive.bias.equations import System
from derive.bias.laws import bipolar
from derive.bias.polish import Polished
from derive.bias.records import DevicePoint, Point, Region
from derive.bias.roads import all_controls
from derive.bias.setting import Setting
from derive.circuit.records import GROUND, Circuit, Part

OFF = 1e-9
"""A device that carries less than this part of all supply current is off, as is a junction at 0.1 nA."""
LEAST = 1e-10
SATURATED = 0.01
"""A bipolar is saturated when its collector junction drives back this part of the transport current."""
DEVICES = ("bjt", "jfet", "mosfet", "diode")


def point_of(circuit: Circuit, system: System, setting: Setting, solved: Polished) -> Point:
    """The point with everything that follows from its voltages."""
    x = [float(v) for v in solved.x]
    nodes: dict[str, float | None] = {GROUND: 0.0}
    for node in circuit.nodes:
        nodes.setdefault(node, x[system.index[node]] if node in system.index else None)
    reader = _Reader(system, setting, x, nodes)
    currents = {p.name: reader.current(p) for p in circuit.parts.values()}
    scale = sum(abs(currents[p.name]) for p in circuit.parts.values() if p.kind in ("supply", "signal"))
    placed = {device.part: place for place, device in enumerate(system.devices)}
    devices = {
        part.name: _device(part, system.devices[placed[part.name]], reader, setting, scale)
        for part in circuit.parts.values()
        if part.kind in DEVICES
    }
    currents |= {name: _main_current(found) for name, found in devices.items()}
    powers = {p.name: reader.power(p, currents[p.name]) for p in circuit.parts.values() if p.kind != "opamp"}
    powers |= {name: found.power for name, found in devices.items()}
    return Point(nodes, currents, devices, powers, solved.residual, scale, is_stable(system, x))


class _Reader:
    """Voltages and currents of parts at one solution."""

    def __init__(self, system: System, setting: Setting, x: list[float], nodes: Mapping[str, float | None]) -> None:
        self.system, self.setting, self.x, self.nodes = system, setting, x, nodes

    def volts(self, first: str, second: str) -> float | None:
        one, other = self.nodes[first], self.nodes[second]
        return None if one is None or other is None else one - other

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
            return 0.0 if across is None else across / value if part.kind == "resistor" else across * value
        return 0.0

    def power(self, part: Part, current: float) -> float:
        """What the part takes up, in watts; what a source gives is negative."""
        pins = tuple(part.pins.values())
        across = self.volts(pins[0], pins[1]) or 0.0
        return -across * current if part.kind in ("supply", "signal") else across * current


def _device(part: Part, device: Device, reader: _Reader, setting: Setting, scale: float) -> DevicePoint:
    pins = [reader.nodes[pin] or 0.0 for pin in device.pins]
    controls = tuple(float(u) for u in device.sign * (device.read @ np.array(pins)))
    values, _ = device.evaluate(controls)
    currents = [float(i) for i in device.sign * (device.write @ np.array(values))]
    power = sum(v * i for v, i in zip(pins, currents, strict=True))
    quiet = max(abs(i) for i in currents) < max(OFF * scale, LEAST)
    if part.kind == "bjt":
        region, slopes = _bipolar(part, controls, setting, quiet)
        base, collector, emitter = pins
        volts = {"Vbe": base - emitter, "Vce": collector - emitter, "Vbc": base - collector}
        names: tuple[str, ...] = ("base", "collector", "emitter")
    elif part.kind == "diode":
        region = "blocking" if quiet or controls[0] < 0 else "conducting"
        slopes = {"gd": float(device.evaluate(controls)[1][0][0])}
        volts, names = {"V": pins[0] - pins[1]}, ("anode", "cathode")
    else:
        region, slopes = _channel(device, controls, quiet)
        volts = {"Vgs": pins[0] - pins[2], "Vds": pins[1] - pins[2]}
        names = ("gate", "drain", "source")
    return DevicePoint(part.name, part.kind, region, volts, dict(zip(names, currents, strict=True)), slopes, power)


def _bipolar(part: Part, controls: tuple[float, ...], setting: Setting, quiet: bool) -> tuple[Region, dict[str, float]]:
    """Region and slopes; of a reversed transistor with collector and emitter in each other's place."""
    vbe, vbc = controls
    laws, vt = setting.laws, setting.vt
    early = laws.get(f"VA_{part.name}")
    lean = 1 / early if early else 0.0
    found = bipolar(vbe, vbc, laws[f"Is_{part.name}"], laws[f"betaF_{part.name}"], lean, vt)
    gm, go = found.transport_be + found.transport_bc, -found.transport_bc
    slopes = {"gm": gm, "gpi": found.ib_be, "go": go, "gmu": found.ib_bc}
    if quiet:
        return "off", slopes
    if vbc > vbe:
        return "reversed", {"gm": -gm, "gpi": found.ib_bc, "go": found.transport_be, "gmu": found.ib_be}
    # The collector junction counts against the emitter junction as exp(Vbc/VT) against exp(Vbe/VT).
    back = exp(min(vbc - vbe, 0.0) / vt)
    return ("saturated" if back > SATURATED and vbc > 0 else "active"), slopes


def _channel(device: Device, controls: tuple[float, ...], quiet: bool) -> tuple[Region, dict[str, float]]:
    """Region and slopes; of a reversed FET with drain and source in each other's place."""
    vgs, vds = controls
    region: Region = "active"
    if vds < 0:
        vgs, vds, region = vgs - vds, -vds, "reversed"
    _, slopes = device.evaluate((vgs, vds))
    gm, gds = (float(g) for g in slopes[0])
    if quiet:
        return "off", {"gm": gm, "gds": gds}
    if region == "active" and vds < vgs - device.threshold:
        region = "ohmic"
    return region, {"gm": gm, "gds": gds}


def _main_current(found: DevicePoint) -> float:
    return found.currents["collector" if found.kind == "bjt" else "anode" if found.kind == "diode" else "drain"]


def is_stable(system: System, x: list[float]) -> bool | None:
    """False where a disturbance grows whatever the capacitances are.

    With a capacitance at every node and a time constant in every op amp the determinant of the linearised
    equations is positive for large s, up to a sign that only the sources decide; if it has the other sign at
    s = 0, it vanishes at some positive s between: the circuit runs away there.
    """
    matrix = system.jacobian(all_controls(system, x))
    nodes = len(system.layout.nodes)
    if not nodes:
        return True
    loaded = matrix.copy()
    most = 1e6 * max(float(np.abs(matrix[:nodes, :nodes]).max()), 1e-3)
    loaded[range(nodes), range(nodes)] += most
    for row, column in system.lags:
        if column >= 0:
            loaded[row, column] -= most
    here, far = np.linalg.slogdet(matrix)[0], np.linalg.slogdet(loaded)[0]
    return None if not here or not far else bool(here == far)
