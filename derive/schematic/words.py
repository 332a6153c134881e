"""The words beside a part: its value as its author would write it.

Enters: a part. Leaves: text. Must not know: drawings.
"""

from __future__ import annotations

from fractions import Fraction

from derive.circuit.records import Part
from derive.numbers import engineering, trimmed

VALUES = {
    "resistor": "resistance",
    "capacitor": "capacitance",
    "inductor": "inductance",
    "transconductance": "transconductance",
}
DIGITS = 4


def value_words(part: Part) -> str:
    """The value, or "" for devices, op amps and signals (their names say enough in a schematic)."""
    key = VALUES.get(part.kind)
    if key is None:
        return volts(part) if part.kind == "supply" else ""
    quantity = part.values[key]
    return amount(quantity.value, quantity.unit)


def amount(value: Fraction, unit: str) -> str:
    """A value with as many digits as it has, four at most.

    >>> amount(Fraction(2200), "Ω"), amount(Fraction(47, 10**6), "F")
    ('2.2 kΩ', '47 µF')
    """
    return str(trimmed(engineering(value, unit, DIGITS)))


def volts(part: Part) -> str:
    """A supply's voltage with its sign."""
    value = part.values["voltage"].value
    return ("+" if value > 0 else "") + amount(value, "V")
