"""What may move a bias point: each stated tolerance as a cause between -1 and +1.

Enters: the parts with their tolerances. Leaves: causes. Must not know: solvers.

The pinch-off voltage and Idss of a FET come from one channel: of a given doping, |Vp| grows as the square of its
height and Idss as the cube (W. Shockley 1952; from memory), so that Idss goes as |Vp| to the power 3/2. They move
together unless the author says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import exp

from derive.bias.saturation import REFERENCE
from derive.circuit.records import Part
from derive.constants import thermal_voltage

TOGETHER_POWER = 1.5
"""Idss goes as |Vp| to this power."""
Factors = dict[str, float]

_LAWS = {"beta": "betaF", "hfe": "betaF", "va": "VA", "is": "Is", "idss": "Idss", "vp": "Vp", "lambda": "lambda",
         "k": "k", "vth": "Vth", "n": "n"}  # fmt: skip


@dataclass(frozen=True)
class Cause:
    """``factors(d)``: by what parts and parameters are multiplied where the cause stands at d, from -1 to 1."""

    name: str
    factors: Callable[[float], Factors]
    together: str = ""


def causes_of(parts: Iterable[Part], laws: Mapping[str, float]) -> tuple[Cause, ...]:
    """Every stated tolerance that the d.c. circuit depends on, in the order of the parts."""
    found: list[Cause] = []
    for part in parts:
        own = part.values.get("tolerance")
        if own is not None and own.value and part.kind in ("resistor", "supply"):
            found.append(_single(part.name, part.name, float(own.value)))
        tolerances = {key: float(q.value) for key, q in part.tolerances.items() if q.value}
        if part.kind == "jfet" and part.together and tolerances.keys() & {"idss", "vp", "yfs"}:
            found.append(_channel(part, tolerances))
            tolerances = {key: t for key, t in tolerances.items() if key not in ("idss", "vp", "yfs")}
        found += [_parameter(part, key, tolerance, laws) for key, tolerance in tolerances.items()]
    return tuple(found)


def _single(name: str, key: str, tolerance: float) -> Cause:
    return Cause(name, lambda d: {key: 1 + d * tolerance})


def _parameter(part: Part, key: str, tolerance: float, laws: Mapping[str, float]) -> Cause:
    name = f"{key} of {part.name}"
    if key in ("vbe", "vf"):
        # The entry of the data sheet holds at 25 °C, whatever the temperature of the sheet.
        scale = laws.get(f"n_{part.name}", 1.0) * float(thermal_voltage(REFERENCE))
        volts = float(part.values[key].value)
        return Cause(name, lambda d: {f"Is_{part.name}": exp(-d * tolerance * volts / scale)})
    if key == "yfs":
        target, power = (f"Vp_{part.name}", -1) if part.kind == "jfet" else (f"k_{part.name}", 2)
        return Cause(name, lambda d: {target: (1 + d * tolerance) ** power})
    if key == "idss" and "yfs" in part.values:
        # Vp was converted from both: 2 Idss/yfs, or 2 sqrt(Idss Id)/yfs.
        exponent = 1.0 if part.values["yfs"].at is None else 0.5
        idss, vp = f"Idss_{part.name}", f"Vp_{part.name}"
        return Cause(name, lambda d: {idss: 1 + d * tolerance, vp: (1 + d * tolerance) ** exponent})
    return _single(name, f"{_LAWS[key]}_{part.name}", tolerance)


def _channel(part: Part, tolerances: Mapping[str, float]) -> Cause:
    """Idss and Vp by one cause; where only one has a tolerance, the other follows by the power of the channel."""
    width = {key: tolerances[key] for key in ("idss", "vp", "yfs") if key in tolerances}

    def factors(d: float) -> Factors:
        pinch = 1 + d * width["vp"] if "vp" in width else None
        if "yfs" in width:
            # yfs = 2 Idss/|Vp| goes as the square root of |Vp|.
            pinch = (1 + d * width["yfs"]) ** (1 / (TOGETHER_POWER - 1))
        current = 1 + d * width["idss"] if "idss" in width else None
        if pinch is None:
            assert current is not None
            pinch = current ** (1 / TOGETHER_POWER)
        if current is None:
            current = pinch**TOGETHER_POWER
        return {f"Idss_{part.name}": current, f"Vp_{part.name}": pinch}

    return Cause(f"Idss and Vp of {part.name}", factors, part.name)
