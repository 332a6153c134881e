"""Second and third order of each device's law at the bias point.

Enters: a circuit with its bias point and its network. Leaves: nonlinearities, and sentences on what was taken as
linear. Must not know: what they do in the circuit.

The laws are those of the bias point (derive.bias.laws), expanded around it. Bipolar, active: with I = Is exp(Vbe/VT)
(1 + (Vce - Vbe)/VA), 1/ro = dI/dVce and gm = dI/dVbe: I_bb = (gm - 1/ro)/(2VT), I_bc = 1/(VT ro), I_bbb = (gm -
2/ro)/(6VT²), I_bbc = 1/(2 VT² ro). At a stated current gm = Ic/VT alone, and the terms in 1/ro of I_bb and I_bbb go.
FET, pinched off: I_gg = gm²/(4Id), I_gd = gm/(ro Id), I_ggd = gm²/(4 ro Id²). Diode: the exponential. Junction
capacitance C (1 + V/Vj)^-m, V in reverse, the stated value being that at the bias point: C m/(2(Vj + V)), C m (m +
1)/(6 (Vj + V)²). Diffusion capacitance of a bipolar, in proportion to its current: C/(2VT), C/(6VT²). (P. Wambacq, W.
Sansen, "Distortion Analysis of Analog Integrated Circuits", chapter 3; from memory.)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from derive.bias.records import Bias, DevicePoint
from derive.circuit.parts import is_stated
from derive.circuit.records import Part
from derive.constants import thermal_voltage
from derive.derivation.analyse import Prepared
from derive.distortion.records import Nonlinearity, Powers, Term
from derive.expression.tree import ONE, Expr, Num, Power, Quotient, Sym, evaluate, negate, product, quotient, total
from derive.network.records import Edge, Element
from derive.words import Formula, Node, Reading, Words

VT = Sym("VT")
BUILT_IN, GRADING = {"bjt": "0.75", "jfet": "0.75", "diode": "0.75"}, {"bjt": "1/3", "jfet": "1/2", "diode": "1/2"}
"""Where the description is silent: built-in voltage (V) and grading (linearly graded, abrupt); common practice, no
source."""
REVERSE = {"Cmu": "Vcb", "Cgs": "VRs", "Cgd": "VRd", "Cj": "VR"}
"""The name of the reverse voltage at each junction."""
DEPLETED = 0.5
"""The depletion law is used up to this part of the built-in voltage; common practice, no source."""


@dataclass
class Gathered:
    """``values``: the numbers of all symbols, those of junctions included as they come up."""

    prepared: Prepared
    found: list[Nonlinearity] = field(default_factory=list)
    told: list[Words] = field(default_factory=list)

    def __post_init__(self) -> None:
        network = self.prepared.network
        self.values: dict[str, Fraction] = dict(network.values())
        self.values.setdefault("VT", thermal_voltage(self.prepared.circuit.about.temperature))
        self.elements: dict[str, Element] = {e.name: e for e in network.elements}

    def point(self, part: Part) -> DevicePoint | None:
        bias = self.prepared.bias
        return bias.point.devices.get(part.name) if isinstance(bias, Bias) else None

    def term(self, powers: Powers, sign: int, linear: Expr, rest: Expr) -> Term:
        number = float(evaluate(product(linear, rest), self.values))
        return Term(powers, sign * number, linear, rest)

    def linear(self, part: Part, why: str) -> None:
        self.told.append((Node(part.name), f" {why}: it is taken as linear, so that the distortion is understated."))


def nonlinearities(prepared: Prepared) -> tuple[tuple[Nonlinearity, ...], tuple[Words, ...], dict[str, Fraction]]:
    """All nonlinearities in the order of the parts, what has to be said, and the numbers of the symbols in formulas."""
    gathered = Gathered(prepared)
    for part in prepared.circuit.parts.values():
        if part.kind in _LAWS:
            _LAWS[part.kind](part, gathered)
    return tuple(gathered.found), tuple(gathered.told), gathered.values


def _over(number: int, *below: Expr) -> Expr:
    return Quotient(ONE, product(Num(Fraction(number)), *below))


def _bipolar(part: Part, gathered: Gathered) -> None:
    name, point = part.name, gathered.point(part)
    solved = not is_stated(part)
    if solved and point is not None and point.region != "active":
        gathered.linear(part, f"is {point.region}")
        return
    sign = 1 if part.variety == "npn" else -1
    volt = float(gathered.values["VT"])
    scale: Words = ("thermal voltage ", Formula(VT))
    third = Power(VT, 2)
    gm = gathered.elements.get(f"gm_{name}")
    if gm is not None:
        _collector(part, gathered, gm, sign, solved)
    rpi = gathered.elements.get(f"rpi_{name}")
    if rpi is not None:
        slope: Expr = Quotient(ONE, Sym(f"rpi_{name}"))
        gathered.found.append(Nonlinearity(
            f"b_{name}", name, "current", ("base current of ", Node(name)), rpi.current, (rpi.current,),
            (gathered.term((0, 0), sign, slope, _over(2, VT)),), (gathered.term((0, 0, 0), 1, slope, _over(6, third)),),
            volt, scale, f"rpi_{name}",
        ))  # fmt: skip
    cpi = gathered.elements.get(f"Cpi_{name}")
    if cpi is not None:
        store = Sym(f"Cpi_{name}")
        gathered.found.append(Nonlinearity(
            f"q_{name}", name, "charge", ("diffusion capacitance of ", Node(name)), cpi.current, (cpi.current,),
            (gathered.term((0, 0), sign, store, _over(2, VT)),), (gathered.term((0, 0, 0), 1, store, _over(6, third)),),
            volt, scale, f"Cpi_{name}",
        ))  # fmt: skip
        words = " is taken as a diffusion capacitance, in proportion to the collector current."
        gathered.told.append((Formula(store), words))
    _junction(part, gathered, f"Cmu_{name}", None if point is None else sign * point.voltages["Vbc"], sign)


def _collector(part: Part, gathered: Gathered, gm: Element, sign: int, solved: bool) -> None:
    """The exponential and the Early effect of the collector current."""
    name, third, slope = part.name, Power(VT, 2), Sym(f"gm_{part.name}")
    be, ce = gm.voltage, gm.current
    volt = float(gathered.values["VT"])
    scale: Words = ("thermal voltage ", Formula(VT))
    steep: Expr = slope
    steeper: Expr = slope
    if solved and f"ro_{name}" in gathered.elements:
        lean = Quotient(ONE, Sym(f"ro_{name}"))
        steep, steeper = total(slope, negate(lean)), total(slope, negate(product(Num(Fraction(2)), lean)))
    gathered.found.append(Nonlinearity(
        f"e_{name}", name, "current", ("exponential of ", Node(name)), ce, (be,),
        (gathered.term((0, 0), sign, steep, _over(2, VT)),), (gathered.term((0, 0, 0), 1, steeper, _over(6, third)),),
        volt, scale, f"gm_{name}",
    ))  # fmt: skip
    if f"ro_{name}" in gathered.elements:
        lean = Quotient(ONE, Sym(f"ro_{name}"))
        gathered.found.append(Nonlinearity(
            f"a_{name}", name, "current", ("Early effect of ", Node(name)), ce, (be, ce),
            (gathered.term((0, 1), sign, lean, _over(1, VT)),), (gathered.term((0, 0, 1), 1, lean, _over(2, third)),),
            volt, scale, f"ro_{name}",
        ))  # fmt: skip


def _junction(part: Part, gathered: Gathered, symbol: str, forward: float | None, sign: int) -> None:
    """A junction capacitance whose bias, forward positive, is ``forward`` volts."""
    element = gathered.elements.get(symbol)
    if element is None:
        return
    if forward is None:
        words = " has no known direct voltage: it is taken as linear, so that the distortion is understated."
        gathered.told.append((Formula(Sym(symbol)), words))
        return
    name = part.name
    stated = {key: part.values[key].value for key in ("vj", "m") if key in part.values}
    built, grading = (stated.get("vj", Fraction(BUILT_IN[part.kind])), stated.get("m", Fraction(GRADING[part.kind])))
    if forward > DEPLETED * float(built):
        words = " is biased forward beyond half of its built-in voltage, where the depletion law ends: taken as linear."
        gathered.told.append((Formula(Sym(symbol)), words))
        return
    if len(stated) < 2 and not any(s.owner == name and s.kind == "charge" and s.key[0] == "j" for s in gathered.found):
        taken: Words = ()
        if "vj" not in stated:
            taken = ("a built-in voltage of ", Reading(float(built), "V", 3, "stated"))
        if "m" not in stated:
            taken = (*taken, *((" and ",) if taken else ()), f"a grading of {grading}")
        gathered.told.append(("For the junction of ", Formula(Sym(symbol)), " ", *taken, " is taken, since the "
                              "description is silent (common practice)."))  # fmt: skip
    suffix = symbol.split("_")[0]
    reverse = f"{REVERSE[suffix]}_{name}"
    gathered.values |= {f"Vj_{name}": built, f"m_{name}": grading}
    gathered.values.setdefault(reverse, Fraction(f"{-forward:.11e}"))
    room = total(Sym(f"Vj_{name}"), Sym(reverse))
    m, store = Sym(f"m_{name}"), Sym(symbol)
    second = gathered.term((0, 0), sign, store, quotient(m, product(Num(Fraction(2)), room)))
    above = product(m, total(m, ONE))
    third = gathered.term((0, 0, 0), 1, store, quotient(above, product(Num(Fraction(6)), Power(room, 2))))
    limit = (float(built) - forward) / 2
    gathered.found.append(Nonlinearity(
        f"j{suffix}_{name}", name, "charge", ("junction capacitance ", Formula(store)), element.current,
        (element.current,), (second,), (third,), limit, ("half of ", Formula(room)), symbol,
    ))  # fmt: skip


def _fet(part: Part, gathered: Gathered) -> None:
    name, point = part.name, gathered.point(part)
    gm = gathered.elements.get(f"gm_{name}")
    sign = 1 if part.variety == "n-channel" else -1
    if part.kind == "jfet":
        volts = {"Cgs": None, "Cgd": None} if point is None else {
            "Cgs": sign * point.voltages["Vgs"], "Cgd": sign * (point.voltages["Vgs"] - point.voltages["Vds"]),
        }  # fmt: skip
        for key, forward in volts.items():
            _junction(part, gathered, f"{key}_{name}", forward, sign)
    elif {f"Cgs_{name}", f"Cgd_{name}"} & gathered.elements.keys():
        gathered.told.append(("The capacitances of ", Node(name), " are taken as linear."))
    ro = gathered.elements.get(f"ro_{name}")
    if gm is None and (ro is None or point is None or point.region != "ohmic"):
        return
    if f"Id_{name}" not in gathered.values:
        gathered.linear(part, "states its gm and no current, so that its law is not known")
        return
    region = None if point is None or is_stated(part) else point.region
    if region in ("reversed", "ohmic"):
        channel = gm or ro
        _ohmic(part, gathered, None if channel is None else channel.current, point, sign)
        return
    if gm is None:
        return
    slope, current = Sym(f"gm_{name}"), Sym(f"Id_{name}")
    drive = float(2 * gathered.values[f"Id_{name}"] / gathered.values[f"gm_{name}"])
    scale: Words = ("half of the overdrive ", Formula(Quotient(product(Num(Fraction(2)), current), slope)))
    square = gathered.term((0, 0), sign, Power(slope, 2), _over(4, current))
    gs, ds = gm.voltage, gm.current
    gathered.found.append(Nonlinearity(
        f"s_{name}", name, "current", ("square law of ", Node(name)), ds, (gs,), (square,), (), drive / 2,
        scale, f"gm_{name}",
    ))  # fmt: skip
    if f"ro_{name}" in gathered.elements:
        lean = Quotient(ONE, Sym(f"ro_{name}"))
        second = gathered.term((0, 1), sign, product(slope, lean), _over(1, current))
        third = gathered.term((0, 0, 1), 1, product(Power(slope, 2), lean), _over(4, Power(current, 2)))
        gathered.found.append(Nonlinearity(
            f"l_{name}", name, "current", ("channel length of ", Node(name)), ds, (gs, ds), (second,), (third,),
            drive / 2, scale, f"ro_{name}",
        ))  # fmt: skip


def _ohmic(part: Part, gathered: Gathered, channel: Edge | None, point: DevicePoint | None, sign: int) -> None:
    """The parabola below pinch-off: K (2 (Vgs - Vt) Vds - Vds²)(1 + lambda Vds)."""
    name = part.name
    vds = 0.0 if point is None else abs(point.voltages["Vds"])
    if point is None or channel is None or point.region != "ohmic" or vds <= 0:
        gathered.linear(part, "is reversed or without voltage across its channel")
        return
    slope = float(gathered.values.get(f"lambda_{name}", Fraction(0)))
    lean = 1 + slope * vds
    scale = point.slopes["gm"] / (2 * vds * lean)
    over = (abs(point.currents["drain"]) / (scale * lean) + vds**2) / (2 * vds)
    second = (
        Term((0, 1), sign * scale * (2 * lean + 2 * slope * vds)),
        Term((0, 0), sign * scale * (-lean + 2 * slope * (over - vds))),
    )
    third = (Term((0, 0, 1), 2 * scale * slope), Term((0, 0, 0), -scale * slope)) if slope else ()
    gate = (gathered.prepared.network.node(part.pins["gate"]), channel[1])
    gathered.found.append(Nonlinearity(
        f"o_{name}", name, "current", ("channel of ", Node(name), ", ohmic"), channel, (channel, gate), second,
        third, (over - vds) / 2, ("half of the way to pinch-off",), f"ro_{name}",
    ))  # fmt: skip


def _diode(part: Part, gathered: Gathered) -> None:
    name, point = part.name, gathered.point(part)
    element = gathered.elements.get(f"rd_{name}")
    _junction(part, gathered, f"Cj_{name}", None if point is None else point.voltages["V"], 1)
    if element is None:
        return
    if part.variety == "zener":
        gathered.linear(part, "works at its breakdown, which has no law here")
        return
    emission: Expr = Sym(f"n_{name}")
    if f"n_{name}" not in gathered.values:
        emission = ONE
        gathered.told.append(("No emission coefficient of ", Node(name), " is known: one is taken."))
    volts = product(emission, VT)
    slope = Quotient(ONE, Sym(f"rd_{name}"))
    second = gathered.term((0, 0), 1, slope, _over(2, volts))
    third = gathered.term((0, 0, 0), 1, slope, _over(6, Power(volts, 2)))
    limit = float(evaluate(volts, gathered.values))
    gathered.found.append(Nonlinearity(
        f"d_{name}", name, "current", ("exponential of ", Node(name)), element.current, (element.current,), (second,),
        (third,), limit, (Formula(volts),), f"rd_{name}",
    ))  # fmt: skip


def _opamp(part: Part, gathered: Gathered) -> None:
    gathered.told.append((Node(part.name), " has no law of its own here: it is taken as linear."))


_LAWS: dict[str, Callable[[Part, Gathered], None]] = {
    "bjt": _bipolar,
    "jfet": _fet,
    "mosfet": _fet,
    "diode": _diode,
    "opamp": _opamp,
}
