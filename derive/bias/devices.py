"""Each device as the equations see it: what it reads, its law, what flows into its pins, how far a step may go.

Enters: a part, the parameters of its law. Leaves: a Device. Must not know: other parts, how equations are solved.

A device reads controls u (junction voltages, or Vgs and Vds) from its pins, sign reversed for p-types; its law
gives currents and their derivatives by u. What a step of u may be is decided here, because only the device knows
how steep its law is: a junction's exponential grows by e in each VT, so a step upwards is taken in the logarithm.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import log, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from derive.bias.laws import Exp, bipolar, bounded_exp, channel, diode
from derive.circuit.records import Part

Vector = tuple[Any, ...]
Law = Callable[[Vector, Exp], tuple[Vector, tuple[Vector, ...]]]
"""From controls to currents and, a row a current, their derivatives."""
Matrix = NDArray[np.float64]
ON = 1e-3
"""Current in amperes at which a conducting junction is first tried."""


@dataclass(frozen=True)
class Device:
    """``read`` (controls × pins) gives u from pin voltages, ``write`` (pins × currents) the currents into the pins.

    ``hold(new, old)`` shortens a step of u. ``on``, ``off`` and ``deep`` (saturated, ohmic) are
    controls to start from.
    ``threshold``: the Vgs of an n-channel FET above which its channel conducts.
    """

    part: str
    kind: str
    pins: tuple[str, ...]
    sign: int
    read: Matrix
    write: Matrix
    law: Law
    hold: Callable[[Vector, Vector], Vector]
    on: Vector
    off: Vector
    deep: Vector
    threshold: float = 0.0

    def evaluate(self, controls: Vector, exponential: Exp = bounded_exp) -> tuple[Vector, tuple[Vector, ...]]:
        return self.law(controls, exponential)


def device_of(part: Part, laws: Mapping[str, float], vt: float) -> Device | None:
    """The device of a part; None for a part that is none."""
    match part.kind:
        case "bjt":
            return _bipolar(part, laws, vt)
        case "jfet" | "mosfet":
            return _channel(part, laws)
        case "diode":
            return _diode(part, laws, vt)
        case _:
            return None


def _bipolar(part: Part, laws: Mapping[str, float], vt: float) -> Device:
    saturation, beta = laws[f"Is_{part.name}"], laws[f"betaF_{part.name}"]
    early = laws.get(f"VA_{part.name}")
    lean = 1 / early if early else 0.0

    def law(u: Vector, exponential: Exp) -> tuple[Vector, tuple[Vector, ...]]:
        found = bipolar(u[0], u[1], saturation, beta, lean, vt, exponential)
        return (found.ic, found.ib), ((found.ic_be, found.ic_bc), (found.ib_be, found.ib_bc))

    hold = _junction_hold(saturation, vt)
    return Device(
        part.name,
        part.kind,
        tuple(part.pins[pin] for pin in ("base", "collector", "emitter")),
        1 if part.variety == "npn" else -1,
        np.array([[1.0, 0.0, -1.0], [1.0, -1.0, 0.0]]),
        np.array([[0.0, 1.0], [1.0, 0.0], [-1.0, -1.0]]),
        law,
        lambda new, old: (hold(new[0], old[0]), hold(new[1], old[1])),
        (_forward(saturation, vt), -1.0),
        (0.0, -1.0),
        (_forward(saturation, vt), _forward(saturation, vt) - 0.05),
    )


def _diode(part: Part, laws: Mapping[str, float], vt: float) -> Device:
    saturation, scale = laws[f"Is_{part.name}"], laws[f"n_{part.name}"] * vt

    def law(u: Vector, exponential: Exp) -> tuple[Vector, tuple[Vector, ...]]:
        found = diode(u[0], saturation, scale, exponential)
        return (found.current,), ((found.slope,),)

    hold = _junction_hold(saturation, scale)
    return Device(
        part.name,
        part.kind,
        (part.pins["anode"], part.pins["cathode"]),
        1,
        np.array([[1.0, -1.0]]),
        np.array([[1.0], [-1.0]]),
        law,
        lambda new, old: (hold(new[0], old[0]),),
        (_forward(saturation, scale),),
        (0.0,),
        (_forward(saturation, scale),),
    )


def _channel(part: Part, laws: Mapping[str, float]) -> Device:
    sign = 1 if part.variety == "n-channel" else -1
    if part.kind == "jfet":
        threshold = sign * laws[f"Vp_{part.name}"]
        scale = laws[f"Idss_{part.name}"] / threshold**2
        usual = -threshold
    else:
        threshold = sign * laws[f"Vth_{part.name}"]
        scale = laws[f"k_{part.name}"] / 2
        usual = sqrt(ON / scale)
    slope = laws.get(f"lambda_{part.name}", 0.0)

    def law(u: Vector, _: Exp) -> tuple[Vector, tuple[Vector, ...]]:
        found = channel(u[0], u[1], scale, threshold, slope)
        return (found.current,), ((found.gm, found.gds),)

    return Device(
        part.name,
        part.kind,
        tuple(part.pins[pin] for pin in ("gate", "drain", "source")),
        sign,
        np.array([[1.0, 0.0, -1.0], [0.0, 1.0, -1.0]]),
        np.array([[0.0], [1.0], [-1.0]]),
        law,
        _channel_hold(threshold, usual),
        (threshold + usual / 2, 1.0),
        (threshold - 1.0, 1.0),
        (threshold + usual, 0.05),
        threshold,
    )


def _forward(saturation: float, scale: float) -> float:
    """The junction voltage at ON."""
    return scale * log(ON / saturation + 1)


def _junction_hold(saturation: float, scale: float) -> Callable[[Any, Any], Any]:
    """Above the voltage where the curve bends most, steps upwards go with the logarithm of the current."""
    bend = scale * log(max(scale / (sqrt(2) * saturation), 1.0) + 1)

    def hold(new: Any, old: Any) -> Any:
        if new > bend and abs(new - old) > 2 * scale:
            if old > 0:
                step = 1 + (new - old) / scale
                return old + scale * log(step) if step > 0 else bend
            return max(scale * log(max(new / scale, 2.0)), 0.0) if new > 0 else new
        return new

    return hold


def _channel_hold(threshold: float, usual: float) -> Callable[[Vector, Vector], Vector]:
    """A parabola is mild: steps of the gate are kept to a few times its usual drive."""
    most = 4 * usual + 5.0

    def hold(new: Vector, old: Vector) -> Vector:
        gate = min(max(new[0], old[0] - most), old[0] + most)
        if old[0] < threshold < gate:
            # Coming out of cut-off, where the law has no slope, it is entered by a short step.
            gate = min(gate, threshold + usual)
        return (gate, new[1])

    return hold
