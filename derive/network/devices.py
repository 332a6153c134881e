"""The small-signal model of each kind of part: a table, one function a row.

Enters: a part with resolved pins. Leaves: its elements and its symbols.
Must not know: other parts, questions, the kernel. To add a kind, write one function and add it to MODELS.
"""

from __future__ import annotations

from collections.abc import Callable

from derive.expression.tree import Expr, Product, Quotient, total
from derive.network.bipolar import bipolar
from derive.network.fet import fet
from derive.network.model import Model
from derive.network.records import Law


def _two_terminal(law: Law, meaning: str) -> Callable[[Model], None]:
    def build(model: Model) -> None:
        model.stated(law, model.part.name, meaning)
        model.add(model.part.name, law, model.pins("first", "second"))

    return build


def _diode(model: Model) -> None:
    """Its slope resistance rd: stated, n VT/Id at a stated current, n VT/(Id + Is) at a solved one."""
    name, ends = model.part.name, model.pins("anode", "cathode")
    _slope_resistance(model)
    if f"rd_{name}" in model.known():
        model.add(f"rd_{name}", "resistance", ends)
    if model.has("cj"):
        model.stated("cj", f"Cj_{name}", "junction capacitance")
        model.add(f"Cj_{name}", "capacitance", ends)


def _slope_resistance(model: Model) -> None:
    name, point = model.part.name, model.point
    if model.has("rd"):
        model.stated("rd", f"rd_{name}", "slope resistance")
        return
    emission, vt = model.law("n"), model.enter_thermal_voltage()
    assert emission is not None
    volts = Product((emission, vt))
    if point is None:
        current = model.stated("id", f"Id_{name}", "diode current", parameter=True)
        model.computed(f"rd_{name}", "slope resistance", "Ω", Quotient(volts, current))
        return
    if point.region == "blocking":
        model.slope(f"rd_{name}", "slope resistance", "Ω", point.slopes["gd"], None)
        return
    current = model.solved(f"Id_{name}", "diode current", "A", point.currents["anode"], parameter=True)
    formula: Expr = Quotient(volts, current)
    saturation = float(model.laws[f"Is_{name}"].value)
    if saturation > 1e-6 * abs(point.currents["anode"]):
        formula = Quotient(volts, total(current, model.law("Is") or current))
    model.slope(f"rd_{name}", "slope resistance", "Ω", point.slopes["gd"], formula)


def _transconductance(model: Model) -> None:
    model.stated("transconductance", model.part.name, "transconductance")
    model.add(model.part.name, "conductance", model.pins("first", "second"), model.pins("sense_first", "sense_second"))


MODELS: dict[str, Callable[[Model], None]] = {
    "resistor": _two_terminal("resistance", "resistance"),
    "capacitor": _two_terminal("capacitance", "capacitance"),
    "inductor": _two_terminal("inductance", "inductance"),
    "bjt": bipolar,
    "jfet": fet,
    "mosfet": fet,
    "diode": _diode,
    "transconductance": _transconductance,
}
