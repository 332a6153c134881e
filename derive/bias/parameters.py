"""The parameters of each device's law: stated, converted from entries of a data sheet, or assumed.

Enters: the parts of a circuit, a temperature. Leaves: parameters with their origin.
Must not know: nodes, solvers.

Conversions follow from the laws themselves: Is from one voltage at one current, |Vp| = 2 Idss/yfs at Vgs = 0, or
2 sqrt(Idss Id)/yfs at a current, k = yfs²/(2 Id). What a junction drops where the description is silent is
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from derive.bias.records import Origin, Parameter
from derive.bias.saturation import REFERENCE, silent_drop, warmed_saturation
from derive.circuit.records import Part, Quantity
from derive.constants import exact_exp, exact_sqrt, thermal_voltage
from derive.expression.tree import ONE, Call, Expr, Num, Power, Product, Quotient, Sym, evaluate, negate, total

TWO = Num(Fraction(2))


@dataclass
class _Law:
    """The parameters of one device, gathered while its function runs."""

    part: Part
    temperature: Fraction
    found: list[Parameter] = field(default_factory=list)

    def enter(self, key: str, meaning: str, quantity: Quantity, origin: Origin = "stated") -> Sym:
        name = f"{key}_{self.part.name}"
        self.found.append(Parameter(name, self.part.name, meaning, quantity.unit, quantity.value, origin))
        return Sym(name)

    def stated(self, key: str, symbol: str, meaning: str) -> Sym | None:
        """A stated value, entered under its symbol; None where it is not stated."""
        quantity = self.part.values.get(key)
        return None if quantity is None else self.enter(symbol, meaning, quantity)

    def convert(self, key: str, meaning: str, unit: str, formula: Expr, origin: Origin = "converted") -> None:
        known = {p.name: p.value for p in self.found} | {"VT": thermal_voltage(REFERENCE)}
        functions: dict[str, Callable[[Any], Any]] = {"sqrt": exact_sqrt, "exp": exact_exp, "abs": abs}
        value = Fraction(evaluate(formula, known, functions))
        name = f"{key}_{self.part.name}"
        self.found.append(Parameter(name, self.part.name, meaning, unit, value, origin, formula))


def parameters_of(part: Part, temperature: Fraction) -> tuple[Parameter, ...]:
    """The parameters of a device's law at a temperature in kelvin; () where it has no law.

    A part without a law is no device, or states its slopes outright, which say nothing of its d.c. current.
    """
    build = _LAWS.get(part.kind)
    if build is None or not has_law(part):
        return ()
    law = _Law(part, temperature)
    build(law)
    return tuple(law.found)


def has_law(part: Part) -> bool:
    """Whether a device states enough for its d.c. current; True for parts that are no devices."""
    given = part.values
    match part.kind:
        case "jfet":
            return "idss" in given and ("vp" in given or "yfs" in given)
        case "mosfet":
            return "vth" in given and ("k" in given or "yfs" in given)
        case "diode":
            return not (part.variety == "zener" and "rd" in given)
        case _:
            return True


def _bipolar(law: _Law) -> None:
    beta = law.stated("beta", "betaF", "current gain of the law (at zero collector–base voltage)")
    if beta is None:
        hfe = law.stated("hfe", "hfe", "current gain of the data sheet")
        gm, rpi = law.part.values.get("gm"), law.part.values.get("rpi")
        if hfe is not None:
            law.convert("betaF", "current gain of the law", "1", hfe)
        elif gm is not None and rpi is not None:
            gain = Quantity(gm.value * rpi.value, "1", "")
            law.enter("betaF", "current gain of the law", gain, "converted")
    law.stated("va", "VA", "Early voltage")
    _saturation(law, "vbe", ONE)


def _saturation(law: _Law, key: str, emission: Expr) -> None:
    """Is: stated, from one voltage at one current, or assumed; at 25 °C, then brought to the sheet's temperature."""
    meaning = "saturation current"
    if "is" in law.part.values:
        law.enter("Is", f"{meaning} at 25 °C", law.part.values["is"])
    else:
        test = law.part.values.get(key)
        ground = "of the data sheet"
        origin: Origin = "converted"
        if test is None:
            test, origin = silent_drop(law.part.variety), "assumed"
            ground = "taken because none is stated (common practice)"
        assert test.at is not None
        given: Origin = "stated" if origin == "converted" else "assumed"
        volt = law.enter("Vtest", f"junction voltage {ground}", test, given)
        ampere = law.enter("Itest", "current at that voltage", test.at, given)
        exponent = Quotient(volt, Sym("VT") if emission == ONE else Product((emission, Sym("VT"))))
        formula = Quotient(ampere, total(Call("exp", exponent), negate(ONE)))
        law.convert("Is", f"{meaning} at 25 °C", "A", formula, origin)
    if law.temperature != REFERENCE:
        last = law.found.pop()
        known = {p.name: p.value for p in law.found}
        n = known.get(f"n_{law.part.name}", Fraction(1))
        value = last.value * warmed_saturation(law.part.variety, law.temperature, n)
        words = "saturation current, from that at 25 °C by its law of temperature"
        law.found.append(Parameter(last.name, last.owner, words, "A", value, last.origin))


def _diode(law: _Law) -> None:
    emission = law.stated("n", "n", "emission coefficient")
    if emission is None:
        count = Quantity(Fraction(2 if law.part.variety == "led" else 1), "1", "")
        emission = law.enter("n", "emission coefficient, taken because none is stated", count, "assumed")
    _saturation(law, "vf", emission)


def _jfet(law: _Law) -> None:
    idss = law.stated("idss", "Idss", "drain current at zero gate voltage")
    assert idss is not None
    if law.stated("vp", "Vp", "pinch-off voltage") is None:
        yfs, at = _admittance(law)
        above = Product((TWO, idss)) if at is None else Product((TWO, Call("sqrt", Product((idss, at)))))
        size = Quotient(above, yfs)
        law.convert("Vp", "pinch-off voltage", "V", negate(size) if law.part.variety == "n-channel" else size)
    law.stated("lambda", "lambda", "channel-length modulation")


def _mosfet(law: _Law) -> None:
    if law.stated("k", "k", "transconductance parameter") is None:
        yfs, at = _admittance(law)
        assert at is not None
        law.convert("k", "transconductance parameter", "A/V²", Quotient(Power(yfs, 2), Product((TWO, at))))
    law.stated("vth", "Vth", "threshold voltage")
    law.stated("lambda", "lambda", "channel-length modulation")


def _admittance(law: _Law) -> tuple[Sym, Sym | None]:
    """The forward transfer admittance of a data sheet, and the current at which it holds where one is given."""
    yfs = law.part.values["yfs"]
    symbol = law.enter("yfs", "forward transfer admittance of the data sheet", yfs)
    return symbol, None if yfs.at is None else law.enter("Itest", "drain current at which it holds", yfs.at)


_LAWS: dict[str, Callable[[_Law], None]] = {"bjt": _bipolar, "diode": _diode, "jfet": _jfet, "mosfet": _mosfet}
