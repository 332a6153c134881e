"""The small-signal network: elements on nodes, and the table of every symbol.

Enters: nothing. Leaves: the records that the kernel and all later stages read.
Must not know: TOML, LaTeX, questions.

An element carries a current edge and a voltage edge. Its current leaves the first node of the current edge
and enters the second; it equals the element's admittance times the voltage of the first node of the voltage
edge against the second. For a resistor or a capacitor the two edges are the same; for a controlled source
they are the output pair and the sensing pair. *Forced* elements have an infinite admittance (contracted in
both graphs): an ideal op amp, a capacitor taken as a short, a device taken as ideal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from derive.circuit.records import GROUND
from derive.expression.tree import Expr

Edge = tuple[str, str]
Law = Literal["resistance", "conductance", "capacitance", "inductance", "unity", "ratio", "delay"]


@dataclass(frozen=True, slots=True)
class Element:
    """One admittance: 1/R, g, sC, 1/(sL); for an op amp the pure number one, 1/a (ratio) or s tau (delay).

    Those of an op amp have no dimension: in its equation voltages add, not currents.
    """

    name: str
    owner: str
    law: Law
    current: Edge
    voltage: Edge

    @property
    def symbol(self) -> str | None:
        """The symbol of its value (the element's own name), None for a pure number."""
        return None if self.law == "unity" else self.name

    @property
    def controlled(self) -> bool:
        return self.current != self.voltage

    @property
    def is_loop(self) -> bool:
        """Whether an edge begins and ends at one node, so that the element acts on nothing."""
        return self.current[0] == self.current[1] or self.voltage[0] == self.voltage[1]


@dataclass(frozen=True, slots=True)
class Drive:
    """A signal source. A signal current flows through it from ``minus`` to ``plus``: it enters ``plus``."""

    name: str
    kind: Literal["voltage", "current"]
    plus: str
    minus: str


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol with its number, in SI base units, and where the number comes from.

    ``formula`` is None for a value that follows from no other; ``origin`` then says whether it was stated by the
    author, assumed because the description is silent, or solved: found at the bias point. ``parameters`` are symbols
    that appear in formulas of others but not in the network (``Ic_Q2``, ``VT``).
    """

    name: str
    owner: str
    meaning: str
    unit: str
    value: Fraction
    formula: Expr | None = None
    parameter: bool = False
    origin: Literal["stated", "converted", "assumed", "solved"] = "stated"


@dataclass(frozen=True)
class Network:
    """Elements, forced elements and signal sources on nodes; rails and ground are one node, ``gnd``."""

    elements: tuple[Element, ...]
    forced: tuple[Element, ...]
    drives: tuple[Drive, ...]
    symbols: Mapping[str, Symbol]
    alias: Mapping[str, str]
    """The node that stands for each node that was merged (rails into ground)."""
    missing: Mapping[str, str] = field(default_factory=dict)
    """Symbols that a device has in other regions and not at this bias point, each with the reason."""
    ground: str = GROUND

    def __post_init__(self) -> None:
        object.__setattr__(self, "symbols", MappingProxyType(dict(self.symbols)))
        object.__setattr__(self, "alias", MappingProxyType(dict(self.alias)))
        object.__setattr__(self, "missing", MappingProxyType(dict(self.missing)))

    def node(self, name: str) -> str:
        """The node that stands for ``name`` in this network."""
        return self.alias.get(name, name)

    @property
    def nodes(self) -> tuple[str, ...]:
        """All nodes but ground, in the order in which they first appear."""
        seen: dict[str, None] = {}
        pairs: list[Edge] = [(drive.plus, drive.minus) for drive in self.drives]
        for element in (*self.elements, *self.forced):
            pairs += [element.current, element.voltage]
        for pair in pairs:
            seen.update(dict.fromkeys(pair))
        seen.pop(self.ground, None)
        return tuple(seen)

    def element(self, name: str) -> Element:
        """The element of that name. Raises KeyError when it is not there, or no longer there."""
        for element in self.elements:
            if element.name == name:
                return element
        raise KeyError(name)

    def values(self) -> dict[str, Fraction]:
        """The number of every symbol, parameters included."""
        return {name: symbol.value for name, symbol in self.symbols.items()}

    def delete(self, *names: str) -> Network:
        """The network with these elements' admittances zero."""
        return replace(self, elements=tuple(e for e in self.elements if e.name not in names))

    def contract(self, *names: str) -> Network:
        """The network with these elements' admittances infinite."""
        chosen = tuple(e for e in self.elements if e.name in names)
        return replace(self.delete(*names), forced=self.forced + chosen)
