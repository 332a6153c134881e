"""The circuit with a meter on it.

Enters: a circuit, a meter. Leaves: a circuit with one or two parts more. Must not know: what is measured.
"""

from __future__ import annotations

from dataclasses import replace

from derive.circuit.changes import stated
from derive.circuit.records import Circuit, Part
from derive.circuit.wanted import Meter


def metered(circuit: Circuit, meter: Meter | None, path: tuple[str | int, ...]) -> Circuit:
    """The meter's resistance and capacitance across the nodes that it measures; at d.c. the resistance counts too."""
    if meter is None:
        return circuit
    parts = dict(circuit.parts)
    pins = {"first": meter.plus, "second": meter.minus}
    for kind, key, unit, value in (
        ("resistor", "resistance", "Ω", meter.resistance),
        ("capacitor", "capacitance", "F", meter.capacitance),
    ):
        if value is not None:
            name = _free(kind[0].upper() + "meter", parts)
            parts[name] = Part(name, kind, "", pins, {key: stated(value, unit)}, path)
    return replace(circuit, parts=parts)


def _free(name: str, parts: dict[str, Part]) -> str:
    """The name, or the first with a number behind it, that no part has."""
    found, number = name, 1
    while found in parts:
        number += 1
        found = f"{name}{number}"
    return found
