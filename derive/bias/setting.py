"""All numbers of a circuit's d.c. equations: resistances, sources, parameters of laws.

Enters: the circuit, the parameters of its devices. Leaves: a Setting, which can be changed and solved anew.
Must not know: equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from derive.bias.records import Parameter
from derive.circuit.records import Circuit

STATED = {
    "resistor": "resistance",
    "transconductance": "transconductance",
    "supply": "voltage",
    "signal": "offset",
    "opamp": "gain",
}
"""The stated value that a part brings into the d.c. equations."""


@dataclass(frozen=True)
class Setting:
    """``values``: by part, in SI units (an op amp: its gain, absent where it is infinite); ``laws``: by the name of
    the parameter (``Is_Q1``); ``vt``: the thermal voltage in volts."""

    values: Mapping[str, float]
    laws: Mapping[str, float]
    vt: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))
        object.__setattr__(self, "laws", MappingProxyType(dict(self.laws)))

    def scaled(self, factors: Mapping[str, float]) -> Setting:
        """The setting with these parts or parameters multiplied."""
        values = {name: value * factors.get(name, 1.0) for name, value in self.values.items()}
        return replace(self, values=values, laws={n: v * factors.get(n, 1.0) for n, v in self.laws.items()})


def setting_of(circuit: Circuit, parameters: tuple[Parameter, ...], vt: float) -> Setting:
    """The numbers as described."""
    values = {}
    for part in circuit.parts.values():
        key = STATED.get(part.kind)
        if key is not None:
            quantity = part.values.get(key)
            if quantity is not None:
                values[part.name] = float(quantity.value)
            elif part.kind == "signal":
                values[part.name] = 0.0
    return Setting(values, {p.name: float(p.value) for p in parameters}, vt)
