"""A circuit with some stated values changed.

Enters: a circuit, new values or factors by part and key. Leaves: a new circuit.
Must not know: what the change is for, bias points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from derive.circuit.kinds import Kind
from derive.circuit.parts import KINDS
from derive.circuit.records import Circuit, Quantity

Place = tuple[str, str]
"""A part and the key of one of its values (derive.circuit.records.Part.values)."""


def with_values(circuit: Circuit, values: Mapping[Place, Fraction]) -> Circuit:
    """The circuit with these values, in SI base units."""
    parts = dict(circuit.parts)
    for (name, key), value in values.items():
        part = parts[name]
        quantity = replace(part.values[key], value=value, text="")
        parts[name] = replace(part, values={**part.values, key: quantity})
    return replace(circuit, parts=parts)


def scaled(circuit: Circuit, factors: Mapping[Place, float]) -> Circuit:
    """The circuit with these values multiplied."""
    return with_values(
        circuit,
        {(name, key): circuit.parts[name].values[key].value * Fraction(factor)
         for (name, key), factor in factors.items()},
    )  # fmt: skip


def main_key(circuit: Circuit, part: str) -> str | None:
    """The key of the value that a part's own line begins with (``resistance``), or None for a device."""
    kind: Kind = KINDS[circuit.parts[part].kind]
    return kind.head.record_name if kind.head else None


def stated(value: Fraction, unit: str) -> Quantity:
    """A quantity that no author wrote."""
    return Quantity(value, unit, "")
