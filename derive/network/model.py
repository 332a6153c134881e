"""What a part brings into the network, gathered while the function of its kind runs.

Enters: a part with resolved pins, the parameters of its law, its bias point where one was solved. Leaves: elements,
symbols, and the symbols that it could have and has not, each with the reason.
Must not know: other parts, questions, the kernel.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from derive.bias.records import DevicePoint, Parameter
from derive.circuit.records import Part, Path, Quantity
from derive.constants import PI, exact_exp, exact_sqrt, thermal_voltage
from derive.errors import DeriveError
from derive.expression.tree import Expr, Sym, evaluate, symbols
from derive.network.records import Edge, Element, Law, Symbol

FUNCTIONS: Mapping[str, Callable[[Any], Any]] = {"sqrt": exact_sqrt, "exp": exact_exp, "abs": abs}
SOLVED_DIGITS = 12
"""Digits to which solved numbers are taken over, so that machines that round otherwise give the same sheet."""


class Unfit(DeriveError):
    """A value that cannot be right beside what the bias point gives: what is wrong, what would be right, where."""

    def __init__(self, what: str, remedy: str, path: Path) -> None:
        self.what, self.remedy, self.path = what, remedy, path
        super().__init__(what)


@dataclass
class Model:
    """``laws`` by the name of the parameter; ``point`` None for a part that is no device or states its current."""

    part: Part
    temperature: Fraction
    laws: Mapping[str, Parameter] = field(default_factory=dict)
    point: DevicePoint | None = None
    elements: list[Element] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)
    missing: dict[str, str] = field(default_factory=dict)

    def pins(self, first: str, second: str) -> Edge:
        return (self.part.pins[first], self.part.pins[second])

    def has(self, key: str) -> bool:
        return key in self.part.values

    def known(self) -> dict[str, Fraction]:
        return {symbol.name: symbol.value for symbol in self.symbols}

    def stated(self, key: str, name: str, meaning: str, *, parameter: bool = False) -> Sym:
        """Enters a stated value of the description as a symbol."""
        quantity = self.part.values[key]
        self._enter(Symbol(name, self.part.name, meaning, quantity.unit, quantity.value, parameter=parameter))
        return Sym(name)

    def given(self, name: str, meaning: str, quantity: Quantity) -> Sym:
        """Enters a stated number that stands beside another (``… at 2 mA``), as a parameter."""
        self._enter(Symbol(name, self.part.name, meaning, quantity.unit, quantity.value, parameter=True))
        return Sym(name)

    def law(self, key: str) -> Sym | None:
        """Enters a parameter of the device's law, with what it was converted from; None where it has none."""
        found = self.laws.get(f"{key}_{self.part.name}")
        if found is None:
            return None
        for name in sorted(symbols(found.formula) - {"VT"}) if found.formula is not None else ():
            self._enter_parameter(self.laws[name])
        self._enter_parameter(found)
        return Sym(found.name)

    def solved(self, name: str, meaning: str, unit: str, value: float, *, parameter: bool = False) -> Sym:
        """Enters a number of the bias point."""
        exact = rounded(value)
        self._enter(Symbol(name, self.part.name, meaning, unit, exact, parameter=parameter, origin="solved"))
        return Sym(name)

    def computed(self, name: str, meaning: str, unit: str, formula: Expr, *, parameter: bool = False) -> Sym:
        """Enters a symbol whose number follows from a formula over symbols entered before."""
        value = Fraction(self.value(formula))
        self._enter(Symbol(name, self.part.name, meaning, unit, value, formula, parameter=parameter))
        return Sym(name)

    def value(self, formula: Expr) -> Any:
        return evaluate(formula, {**self.known(), "pi": PI}, FUNCTIONS)

    def slope(self, name: str, meaning: str, unit: str, siemens: float, formula: Expr | None) -> None:
        """Enters a slope of the law at the bias point: by the trade's formula where that is the slope itself.

        ``unit`` Ω for its inverse. Where the formula leaves out something that counts here (a junction that is
        nearly off, another region), the number of the slope stands alone.
        """
        if siemens < SMALLEST:
            self.missing[name] = f"{self.part.name} has no such slope at this bias point"
            return
        wanted = siemens if unit == "S" else 1 / siemens
        if formula is not None:
            value = float(self.value(formula))
            if abs(value - wanted) <= CLOSE * abs(wanted):
                self.computed(name, meaning, unit, formula)
                return
        self.solved(name, f"{meaning} (slope of the law at the bias point)", unit, wanted)

    def add(self, name: str, law: Law, current: Edge, voltage: Edge | None = None) -> None:
        self.elements.append(Element(name, self.part.name, law, current, voltage or current))

    def enter_thermal_voltage(self) -> Sym:
        value = thermal_voltage(self.temperature)
        self._enter(Symbol("VT", "", "thermal voltage kT/q", "V", value, parameter=True))
        return Sym("VT")

    def _enter_parameter(self, found: Parameter) -> None:
        self._enter(
            Symbol(
                found.name, found.owner, found.meaning, found.unit, found.value, found.formula,
                parameter=True, origin=found.origin,
            )
        )  # fmt: skip

    def _enter(self, symbol: Symbol) -> None:
        if symbol.name not in self.known():
            self.symbols.append(symbol)


SMALLEST = 1e-18
"""Siemens; a smaller slope is none: a million times less than what an electrometer's best insulation leaks."""
CLOSE = 1e-6
"""Relative difference up to which the trade's formula counts as the slope itself."""


def rounded(value: float) -> Fraction:
    """A solved number as the exact decimal of SOLVED_DIGITS digits.

    >>> rounded(0.1 + 0.2)
    Fraction(3, 10)
    """
    return Fraction(f"{value:.{SOLVED_DIGITS - 1}e}")
