"""The small-signal model of each kind of part: a table, one function a row.

Enters: a part with resolved pins. Leaves: its elements and its symbols.
Must not know: other parts, questions, the kernel. To add a kind, write one function and add it to MODELS.

Laws and their handbook forms at a stated current: gm = Ic/VT, rpi = beta/gm, ro = VA/Ic for a bipolar
transistor; gm = 2 sqrt(Idss Id)/|Vp|, ro = 1/(lambda Id) for a junction FET (P. R. Gray et al., "Analysis and
Design of Analog Integrated Circuits", chapter 1; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from derive.circuit.records import Part
from derive.expression.tree import Call, Expr, Num, Product, Quotient, Sym, evaluate, product
from derive.network.constants import exact_sqrt, thermal_voltage
from derive.network.records import Edge, Element, Law, Symbol


@dataclass
class Model:
    """What a part brings into the network, gathered while its function runs."""

    part: Part
    temperature: Fraction
    elements: list[Element] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)

    def pins(self, first: str, second: str) -> Edge:
        return (self.part.pins[first], self.part.pins[second])

    def stated(self, key: str, name: str, meaning: str, *, parameter: bool = False) -> Sym:
        """Enters a stated value of the description as a symbol."""
        quantity = self.part.values[key]
        self.symbols.append(Symbol(name, self.part.name, meaning, quantity.unit, quantity.value, parameter=parameter))
        return Sym(name)

    def computed(self, name: str, meaning: str, unit: str, formula: Expr, *, parameter: bool = False) -> Sym:
        """Enters a symbol whose number follows from a formula over symbols entered before."""
        known = {symbol.name: symbol.value for symbol in self.symbols}
        value = evaluate(formula, known, {"sqrt": exact_sqrt, "abs": abs})
        self.symbols.append(Symbol(name, self.part.name, meaning, unit, Fraction(value), formula, parameter=parameter))
        return Sym(name)

    def add(self, name: str, law: Law, current: Edge, voltage: Edge | None = None) -> None:
        self.elements.append(Element(name, self.part.name, law, current, voltage or current))

    def has(self, key: str) -> bool:
        return key in self.part.values

    def enter_thermal_voltage(self) -> Sym:
        value = thermal_voltage(self.temperature)
        self.symbols.append(Symbol("VT", "", "thermal voltage kT/q", "V", value, parameter=True))
        return Sym("VT")


def _two_terminal(law: Law, meaning: str) -> Callable[[Model], None]:
    def build(model: Model) -> None:
        model.stated(law, model.part.name, meaning)
        model.add(model.part.name, law, model.pins("first", "second"))

    return build


def _bjt(model: Model) -> None:
    name, emitter, collector = model.part.name, model.part.pins["emitter"], model.part.pins["collector"]
    base = model.part.pins["base"]
    if model.has("rb"):
        outer, base = base, f"{name}.inner_base"
        model.stated("rb", f"rb_{name}", "base resistance")
        model.add(f"rb_{name}", "resistance", (outer, base))
    current = model.stated("ic", f"Ic_{name}", "collector current", parameter=True) if model.has("ic") else None
    if model.has("gm"):
        gm = model.stated("gm", f"gm_{name}", "transconductance")
    else:
        assert current is not None
        gm = model.computed(f"gm_{name}", "transconductance", "S", Quotient(current, model.enter_thermal_voltage()))
    model.add(f"gm_{name}", "conductance", (collector, emitter), (base, emitter))
    if model.has("rpi"):
        rpi = model.stated("rpi", f"rpi_{name}", "resistance from base to emitter")
        model.computed(f"beta_{name}", "current gain", "1", Product((gm, rpi)), parameter=True)
    else:
        beta = model.stated("beta", f"beta_{name}", "current gain", parameter=True)
        model.computed(f"rpi_{name}", "resistance from base to emitter", "Ω", Quotient(beta, gm))
    model.add(f"rpi_{name}", "resistance", (base, emitter))
    if model.has("ro"):
        model.stated("ro", f"ro_{name}", "output resistance")
    elif model.has("va") and current is not None:
        va = model.stated("va", f"VA_{name}", "Early voltage", parameter=True)
        model.computed(f"ro_{name}", "output resistance", "Ω", Quotient(va, current))
    if model.has("ro") or (model.has("va") and current is not None):
        model.add(f"ro_{name}", "resistance", (collector, emitter))
    if model.has("cpi"):
        model.stated("cpi", f"Cpi_{name}", "capacitance from base to emitter")
        model.add(f"Cpi_{name}", "capacitance", (base, emitter))
    if model.has("cmu"):
        model.stated("cmu", f"Cmu_{name}", "capacitance from base to collector")
        model.add(f"Cmu_{name}", "capacitance", (base, collector))


def _jfet(model: Model) -> None:
    name, gate = model.part.name, model.part.pins["gate"]
    drain, source = model.part.pins["drain"], model.part.pins["source"]
    current = model.stated("id", f"Id_{name}", "drain current", parameter=True) if model.has("id") else None
    if model.has("gm"):
        model.stated("gm", f"gm_{name}", "transconductance")
    else:
        assert current is not None
        idss = model.stated("idss", f"Idss_{name}", "drain current at zero gate voltage", parameter=True)
        vp = model.stated("vp", f"Vp_{name}", "pinch-off voltage", parameter=True)
        root = product(Num(Fraction(2)), Call("sqrt", Product((idss, current))))
        model.computed(f"gm_{name}", "transconductance", "S", Quotient(root, Call("abs", vp)))
    model.add(f"gm_{name}", "conductance", (drain, source), (gate, source))
    if model.has("ro"):
        model.stated("ro", f"ro_{name}", "output resistance")
        model.add(f"ro_{name}", "resistance", (drain, source))
    elif model.has("lambda") and current is not None:
        slope = model.stated("lambda", f"lambda_{name}", "channel-length modulation", parameter=True)
        formula = Quotient(Num(Fraction(1)), Product((slope, current)))
        model.computed(f"ro_{name}", "output resistance", "Ω", formula)
        model.add(f"ro_{name}", "resistance", (drain, source))
    if model.has("cgs"):
        model.stated("cgs", f"Cgs_{name}", "capacitance from gate to source")
        model.add(f"Cgs_{name}", "capacitance", (gate, source))
    if model.has("cgd"):
        model.stated("cgd", f"Cgd_{name}", "capacitance from gate to drain")
        model.add(f"Cgd_{name}", "capacitance", (gate, drain))


def _diode(model: Model) -> None:
    name, ends = model.part.name, model.pins("anode", "cathode")
    model.stated("rd", f"rd_{name}", "slope resistance")
    model.add(f"rd_{name}", "resistance", ends)
    if model.has("cj"):
        model.stated("cj", f"Cj_{name}", "junction capacitance")
        model.add(f"Cj_{name}", "capacitance", ends)


def _transconductance(model: Model) -> None:
    model.stated("transconductance", model.part.name, "transconductance")
    model.add(model.part.name, "conductance", model.pins("first", "second"), model.pins("sense_first", "sense_second"))


MODELS: dict[str, Callable[[Model], None]] = {
    "resistor": _two_terminal("resistance", "resistance"),
    "capacitor": _two_terminal("capacitance", "capacitance"),
    "inductor": _two_terminal("inductance", "inductance"),
    "bjt": _bjt,
    "jfet": _jfet,
    "diode": _diode,
    "transconductance": _transconductance,
}
