"""The small-signal model of a junction FET and of a MOSFET.

Enters: a Model of its part. Leaves: elements and symbols in it. Must not know: other parts.

At a stated current the handbook's gm = 2 sqrt(Idss Id)/|Vp| or sqrt(2 k Id), ro = 1/(lambda Id) (P. R. Gray et al.,
"Analysis and Design of Analog Integrated Circuits", chapter 1; from memory). At a solved point the slopes of the law:
with 1 + lambda Vds beside Id under the root, ro = (1 + lambda Vds)/(lambda Id) while pinched off; in the ohmic region
the numbers of the slopes. A reversed channel has drain and source in each other's place.
"""

from __future__ import annotations

from fractions import Fraction

from derive.expression.tree import ONE, Call, Expr, Num, Power, Product, Quotient, Sym, negate, product, total
from derive.network.model import Model

TWO = Num(Fraction(2))
LEAST = 1e-12


def fet(model: Model) -> None:
    """Enters one FET."""
    name, gate = model.part.name, model.part.pins["gate"]
    drain, source = model.pins("drain", "source")
    point = model.point
    if point is not None and point.region == "off":
        model.missing |= {f"{key}_{name}": f"{name} is off at this bias point" for key in ("gm", "ro")}
    else:
        if point is not None and point.region == "reversed":
            drain, source = source, drain
        if point is None:
            _slopes(model)
        else:
            _solved(model)
        if f"gm_{name}" in model.known():
            model.add(f"gm_{name}", "conductance", (drain, source), (gate, source))
        if f"ro_{name}" in model.known():
            model.add(f"ro_{name}", "resistance", (drain, source))
    _capacitances(model)


def _slopes(model: Model) -> None:
    """At a stated current, or stated outright."""
    name = model.part.name
    current = model.stated("id", f"Id_{name}", "drain current", parameter=True) if model.has("id") else None
    if model.has("gm"):
        model.stated("gm", f"gm_{name}", "transconductance")
    else:
        assert current is not None
        model.computed(f"gm_{name}", "transconductance", "S", _transconductance(model, current))
    if model.has("ro"):
        model.stated("ro", f"ro_{name}", "output resistance")
    elif model.has("lambda") and current is not None:
        slope = model.stated("lambda", f"lambda_{name}", "channel-length modulation", parameter=True)
        model.computed(f"ro_{name}", "output resistance", "Ω", Quotient(ONE, Product((slope, current))))


def _solved(model: Model) -> None:
    point, name = model.point, model.part.name
    assert point is not None
    current = model.solved(f"Id_{name}", "drain current", "A", abs(point.currents["drain"]), parameter=True)
    slope = model.law("lambda")
    lean: Expr | None = None
    if slope is not None:
        vds = model.solved(f"Vds_{name}", "drain–source voltage", "V", abs(point.voltages["Vds"]), parameter=True)
        lean = total(ONE, Product((slope, vds)))
    pinched = point.region in ("active", "reversed")
    formula = _transconductance(model, current, lean) if pinched else None
    model.slope(f"gm_{name}", "transconductance", "S", point.slopes["gm"], formula)
    if point.slopes["gds"] > LEAST * point.slopes["gm"]:
        formula = None
        if slope is not None and lean is not None and pinched:
            formula = Quotient(lean, Product((slope, current)))
        model.slope(f"ro_{name}", "output resistance", "Ω", point.slopes["gds"], formula)


def _transconductance(model: Model, current: Sym, lean: Expr | None = None) -> Expr:
    """2 sqrt(Idss Id (1 + lambda Vds))/|Vp| of a junction FET, sqrt(2 k Id (1 + lambda Vds)) of a MOSFET."""
    more = () if lean is None else (lean,)
    if model.part.kind == "mosfet":
        # At a stated current the threshold need not be known, and so there may be no law.
        k = model.law("k") or _stated_k(model)
        return Call("sqrt", Product((TWO, k, current, *more)))
    idss, vp = model.law("Idss"), model.law("Vp")
    assert idss is not None
    assert vp is not None
    return Quotient(product(TWO, Call("sqrt", Product((idss, current, *more)))), Call("abs", vp))


def _stated_k(model: Model) -> Sym:
    name = model.part.name
    if model.has("k"):
        return model.stated("k", f"k_{name}", "transconductance parameter", parameter=True)
    yfs = model.stated("yfs", f"yfs_{name}", "forward transfer admittance of the data sheet", parameter=True)
    at = model.part.values["yfs"].at
    assert at is not None
    test = model.given(f"Itest_{name}", "drain current at which it holds", at)
    return model.computed(
        f"k_{name}", "transconductance parameter", "A/V²", Quotient(Power(yfs, 2), Product((TWO, test))),
        parameter=True,
    )  # fmt: skip


def _capacitances(model: Model) -> None:
    """Cgs and Cgd, stated or from a data sheet: Cgd = Crss, Cgs = Ciss - Cgd."""
    name = model.part.name
    gate, drain, source = (model.part.pins[pin] for pin in ("gate", "drain", "source"))
    cgd: Sym | None = None
    if model.has("cgd"):
        cgd = model.stated("cgd", f"Cgd_{name}", "capacitance from gate to drain")
    elif model.has("crss"):
        crss = model.stated(
            "crss", f"Crss_{name}", "reverse transfer capacitance of the data sheet, taken to hold here", parameter=True
        )
        cgd = model.computed(f"Cgd_{name}", "capacitance from gate to drain", "F", crss)
    if model.has("cgs"):
        model.stated("cgs", f"Cgs_{name}", "capacitance from gate to source")
    elif model.has("ciss"):
        ciss = model.stated(
            "ciss", f"Ciss_{name}", "input capacitance of the data sheet, taken to hold here", parameter=True
        )
        formula: Expr = ciss if cgd is None else total(ciss, negate(cgd))
        model.computed(f"Cgs_{name}", "capacitance from gate to source", "F", formula)
    for key, ends in ((f"Cgs_{name}", (gate, source)), (f"Cgd_{name}", (gate, drain))):
        if key in model.known():
            model.add(key, "capacitance", ends)
