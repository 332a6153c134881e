"""The bias point at the ends of a range of temperature.

Enters: a circuit and its solved point. Leaves: one Warmed a device. Must not know: LaTeX.

Only VT and the saturation currents move (derive.bias.saturation); current gain, Idss, Vp, k and resistances are held.
"""

from __future__ import annotations

from fractions import Fraction
from math import log

from derive.bias.equations import Array, system_of
from derive.bias.layout import Layout
from derive.bias.parameters import parameters_of
from derive.bias.records import DevicePoint, Warmed
from derive.bias.saturation import warmed_saturation
from derive.bias.search import settle
from derive.bias.setting import Setting, setting_of
from derive.bias.spread import currents
from derive.circuit.records import Circuit, Part
from derive.constants import thermal_voltage

BESIDE = Fraction(1, 2)
"""Kelvin to either side, for the drift."""


def warmed_of(circuit: Circuit, layout: Layout, x: Array, devices: dict[str, DevicePoint]) -> tuple[Warmed, ...]:
    """Devices in the order of the parts; () where one temperature is asked, or some temperature finds no point."""
    if circuit.about.temperatures is None:
        return ()
    low, high = circuit.about.temperatures
    steps = sorted({low, circuit.about.temperature, high})
    # Each temperature starts from the one before it, so that a current which moves by decades is followed.
    rows: list[tuple[Array, list[float]]] = []
    for temperature in steps:
        system = system_of(circuit, layout, warmed_setting(circuit, temperature))
        found = settle(system, x)
        if found is None:
            return ()
        x = found
        # The first control is Vbe, Vgs or the diode's voltage; its sign is that of an n-type.
        first = [d.sign * float(system.controls(i, x.tolist())[0]) for i, d in enumerate(system.devices)]
        rows.append((currents(system, x), first))
    names = [device.part for device in system.devices]
    return tuple(
        Warmed(
            name,
            tuple(float(t) for t in steps),
            tuple(float(row[0][i]) for row in rows),
            tuple(float(row[1][i]) for row in rows),
            drift(circuit.parts[name], devices[name], circuit.about.temperature, _emission(circuit, name)),
        )
        for i, name in enumerate(names)
    )


def warmed_setting(circuit: Circuit, temperature: Fraction) -> Setting:
    """The numbers of the circuit at a temperature in kelvin."""
    parameters = tuple(p for part in circuit.parts.values() for p in parameters_of(part, temperature))
    return setting_of(circuit, parameters, float(thermal_voltage(temperature)))


def drift(part: Part, point: DevicePoint, temperature: Fraction, emission: float) -> float | None:
    """dV/dT of a forward junction in V/K, at the current that it carries; None for other devices.

    From V = n VT ln(I/Is(T)): the current's own size enters through V only.
    """
    if part.kind not in ("bjt", "diode") or point.region not in ("active", "conducting"):
        return None
    volts = abs(point.voltages["Vbe" if part.kind == "bjt" else "V"])

    def at(kelvin: Fraction) -> float:
        n = Fraction(emission)
        grown = warmed_saturation(part.variety, kelvin, n) / warmed_saturation(part.variety, temperature, n)
        here, there = (emission * float(thermal_voltage(t)) for t in (temperature, kelvin))
        return there * (volts / here - log(float(grown)))

    return (at(temperature + BESIDE) - at(temperature - BESIDE)) / float(2 * BESIDE)


def _emission(circuit: Circuit, name: str) -> float:
    quantity = circuit.parts[name].values.get("n")
    if quantity is not None:
        return float(quantity.value)
    return 2.0 if circuit.parts[name].variety == "led" else 1.0
