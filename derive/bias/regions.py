"""In which region a device works, by its voltages, and the slopes of its law there.

Enters: a device with its controls (voltages of an n-type). Leaves: region and slopes in siemens.
Must not know: circuits, how the point was found.

What decides is what the law does at these voltages, not how much current flows: a channel without a voltage along
it is a resistor, and a follower at a nanoampere is a follower.
"""

from __future__ import annotations

from math import exp

from derive.bias.devices import Device, Vector
from derive.bias.laws import bipolar
from derive.bias.records import Region
from derive.bias.setting import Setting

SATURATED = 0.01
"""A bipolar is saturated when its collector junction drives back this part of the transport current."""
LEAKS = 100.0
"""A junction that carries less than so many times Is, and less than LEAST, only leaks."""
LEAST = 1e-9
"""Amperes."""

Found = tuple[Region, dict[str, float]]


def region_of(device: Device, controls: Vector, setting: Setting) -> Found:
    """Region and slopes: gm, gpi, go, gmu; gm, gds; or gd. In a reversed device collector and emitter, or drain and
    source, stand in each other's place."""
    if device.kind == "bjt":
        return _bipolar(device, controls, setting)
    if device.kind == "diode":
        return _diode(device, controls, setting)
    return _channel(device, controls)


def _bipolar(device: Device, controls: Vector, setting: Setting) -> Found:
    vbe, vbc = (float(u) for u in controls)
    laws, vt = setting.laws, setting.vt
    early, saturation = laws.get(f"VA_{device.part}"), laws[f"Is_{device.part}"]
    lean = 1 / early if early else 0.0
    found = bipolar(vbe, vbc, saturation, laws[f"betaF_{device.part}"], lean, vt)
    gm, go = found.transport_be + found.transport_bc, -found.transport_bc
    slopes = {"gm": gm, "gpi": found.ib_be, "go": go, "gmu": found.ib_bc}
    if _leaks(max(vbe, vbc), saturation, vt):
        return "off", slopes
    if vbc > vbe:
        return "reversed", {"gm": -gm, "gpi": found.ib_bc, "go": found.transport_be, "gmu": found.ib_be}
    # The collector junction counts against the emitter junction as exp(Vbc/VT) against exp(Vbe/VT).
    back = exp(max(min(vbc - vbe, 0.0) / vt, -700.0))
    return ("saturated" if back > SATURATED and vbc > 0 else "active"), slopes


def _diode(device: Device, controls: Vector, setting: Setting) -> Found:
    _, slopes = device.evaluate(controls)
    scale, saturation = setting.laws[f"n_{device.part}"] * setting.vt, setting.laws[f"Is_{device.part}"]
    return ("blocking" if _leaks(float(controls[0]), saturation, scale) else "conducting"), {"gd": float(slopes[0][0])}


def _leaks(volts: float, saturation: float, scale: float) -> bool:
    """Whether a junction at this voltage only leaks."""
    times = exp(max(min(volts / scale, 60.0), -700.0))
    return volts <= 0 or (times < LEAKS and saturation * times < LEAST)


def _channel(device: Device, controls: Vector) -> Found:
    vgs, vds = (float(u) for u in controls)
    region: Region = "active"
    if vds < 0:
        vgs, vds, region = vgs - vds, -vds, "reversed"
    _, slopes = device.evaluate((vgs, vds))
    gm, gds = (float(g) for g in slopes[0])
    if vgs <= device.threshold:
        region = "off"
    elif region == "active" and vds < vgs - device.threshold:
        region = "ohmic"
    return region, {"gm": gm, "gds": gds}
