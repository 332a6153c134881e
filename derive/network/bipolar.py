"""The small-signal model of a bipolar transistor.

Enters: a Model of its part. Leaves: elements and symbols in it. Must not know: other parts.

At a stated current the handbook's gm = Ic/VT, rpi = beta/gm, ro = VA/Ic (P. R. Gray et al., "Analysis and Design of
Analog Integrated Circuits", chapter 1; from memory). At a solved point the slopes of the law: ro = (VA + Vcb)/Ic,
gm = Ic/VT - 1/ro (at constant Vce), rpi = VT/Ib while active; beyond that the full set, with rmu from base to
collector. A reversed transistor has collector and emitter in each other's place; one that is off keeps only its
capacitances.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from derive.expression.tree import ONE, Expr, Num, Product, Quotient, Sym, negate, total
from derive.network.model import Model, Unfit

BASE_MEANING = "resistance from base to emitter"
TWO = Num(Fraction(2))


def bipolar(model: Model) -> None:
    """Enters one bipolar transistor."""
    name = model.part.name
    base = model.part.pins["base"]
    if model.has("rb"):
        outer, base = base, f"{name}.inner_base"
        model.stated("rb", f"rb_{name}", "base resistance")
        model.add(f"rb_{name}", "resistance", (outer, base))
    if model.point is None:
        _stated(model, base)
    else:
        _solved(model, base)
    _capacitances(model, base)


def _stated(model: Model, base: str) -> None:
    name = model.part.name
    collector, emitter = model.pins("collector", "emitter")
    current = model.stated("ic", f"Ic_{name}", "collector current", parameter=True) if model.has("ic") else None
    if model.has("gm"):
        gm = model.stated("gm", f"gm_{name}", "transconductance")
    else:
        assert current is not None
        gm = model.computed(f"gm_{name}", "transconductance", "S", Quotient(current, model.enter_thermal_voltage()))
    model.add(f"gm_{name}", "conductance", (collector, emitter), (base, emitter))
    if model.has("rpi"):
        rpi = model.stated("rpi", f"rpi_{name}", BASE_MEANING)
        model.computed(f"beta_{name}", "current gain", "1", Product((gm, rpi)), parameter=True)
    else:
        beta = _stated_beta(model)
        model.computed(f"rpi_{name}", BASE_MEANING, "Ω", Quotient(beta, gm))
    model.add(f"rpi_{name}", "resistance", (base, emitter))
    if model.has("ro"):
        model.stated("ro", f"ro_{name}", "output resistance")
    elif model.has("va") and current is not None:
        va = model.stated("va", f"VA_{name}", "Early voltage", parameter=True)
        model.computed(f"ro_{name}", "output resistance", "Ω", Quotient(va, current))
    else:
        return
    model.add(f"ro_{name}", "resistance", (collector, emitter))


def _stated_beta(model: Model) -> Sym:
    name = model.part.name
    if model.has("beta"):
        return model.stated("beta", f"beta_{name}", "current gain", parameter=True)
    hfe = model.stated("hfe", f"hfe_{name}", "current gain of the data sheet", parameter=True)
    return model.computed(f"beta_{name}", "current gain", "1", hfe, parameter=True)


def _solved(model: Model, base: str) -> None:
    """The slopes of the law; formulas while active, numbers alone in the other regions."""
    point, name = model.point, model.part.name
    assert point is not None
    collector, emitter = model.pins("collector", "emitter")
    active, slopes = point.region == "active", point.slopes
    if point.region == "reversed":
        collector, emitter = emitter, collector
    ic = model.solved(f"Ic_{name}", "collector current", "A", abs(point.currents["collector"]), parameter=True)
    ib = model.solved(f"Ib_{name}", "base current", "A", abs(point.currents["base"]), parameter=True)
    vt = model.enter_thermal_voltage()
    gm_formula: Expr = Quotient(ic, vt)
    if slopes["go"] > LEAST * slopes["gm"]:
        model.slope(f"ro_{name}", "output resistance", "Ω", slopes["go"], _early(model, ic) if active else None)
        gm_formula = total(gm_formula, negate(Quotient(ONE, Sym(f"ro_{name}"))))
    model.slope(f"gm_{name}", "transconductance", "S", slopes["gm"], gm_formula if active else None)
    model.slope(f"rpi_{name}", BASE_MEANING, "Ω", slopes["gpi"], Quotient(vt, ib) if active else None)
    if _back_counts(slopes):
        model.slope(f"rmu_{name}", "resistance from base to collector", "Ω", slopes["gmu"], None)
    edges = {
        f"gm_{name}": ((collector, emitter), (base, emitter)),
        f"rpi_{name}": ((base, emitter), None),
        f"ro_{name}": ((collector, emitter), None),
        f"rmu_{name}": ((base, collector), None),
    }
    known = model.known()
    for symbol, (current, sensed) in edges.items():
        if symbol in known:
            model.add(symbol, "conductance" if sensed else "resistance", current, sensed)
    if f"gm_{name}" in known and f"rpi_{name}" in known:
        product = Product((Sym(f"gm_{name}"), Sym(f"rpi_{name}")))
        model.computed(f"beta_{name}", "current gain", "1", product, parameter=True)
    else:
        model.missing[f"beta_{name}"] = f"{name} is off at this bias point"


def _early(model: Model, ic: Sym) -> Expr | None:
    """(VA + Vcb)/Ic, where an Early voltage is stated."""
    early, point = model.law("VA"), model.point
    if early is None or point is None:
        return None
    reverse = -point.voltages["Vbc"] * (1 if model.part.variety == "npn" else -1)
    meaning = "collector–base voltage, reverse bias positive"
    vcb = model.solved(f"Vcb_{model.part.name}", meaning, "V", reverse, parameter=True)
    return Quotient(total(early, vcb), ic)


def _back_counts(slopes: Mapping[str, float]) -> bool:
    """Whether the collector junction's slope counts: beside rpi as the stage's gain multiplies it, or beside ro as
    its current gain does; with the transistor's own ro as load, or one of a million times 1/gm."""
    gm, gpi, go, gmu = (slopes[key] for key in ("gm", "gpi", "go", "gmu"))
    return gmu > NOTICED * gpi or gmu * gm > NOTICED * gpi * max(go, 1e-6 * gm)


NOTICED = 1e-6
LEAST = 1e-8
"""Below this part of gm an output conductance is what an infinite Early voltage leaves: none."""


def _capacitances(model: Model, base: str) -> None:
    """Cpi and Cmu, stated or from a data sheet: Cmu = Cob, Cpi = gm/(2 pi fT) - Cmu."""
    name = model.part.name
    collector, emitter = model.pins("collector", "emitter")
    cmu: Sym | None = None
    if model.has("cmu"):
        cmu = model.stated("cmu", f"Cmu_{name}", "capacitance from base to collector")
    elif model.has("cob"):
        cob = model.stated(
            "cob", f"Cob_{name}", "output capacitance of the data sheet, taken to hold at this voltage", parameter=True
        )
        cmu = model.computed(f"Cmu_{name}", "capacitance from base to collector", "F", cob)
    if model.has("cpi"):
        model.stated("cpi", f"Cpi_{name}", "capacitance from base to emitter")
    elif model.has("ft"):
        if f"gm_{name}" in model.missing:
            model.missing[f"Cpi_{name}"] = model.missing[f"gm_{name}"]
        else:
            _from_transit(model, cmu)
    for key, ends in ((f"Cpi_{name}", (base, emitter)), (f"Cmu_{name}", (base, collector))):
        if key in model.known():
            model.add(key, "capacitance", ends)


def _from_transit(model: Model, cmu: Sym | None) -> None:
    name = model.part.name
    ft = model.stated(
        "ft", f"fT_{name}", "transition frequency of the data sheet, taken to hold at this current", parameter=True
    )
    formula: Expr = Quotient(Sym(f"gm_{name}"), Product((TWO, Sym("pi"), ft)))
    if cmu is not None:
        formula = total(formula, negate(cmu))
    if model.value(formula) <= 0:
        raise Unfit(
            f"{name}: ft leaves no capacitance from base to emitter: gm/(2 pi ft) is not above cmu here",
            "state cpi, or an ft that holds at this current",
            (*model.part.path, "ft"),
        )
    model.computed(f"Cpi_{name}", "capacitance from base to emitter", "F", formula)
