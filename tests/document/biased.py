"""A bias point built by hand: every kind of device, an op amp, a supply, and numbers that are invented.

The numbers belong to no solved circuit; they are made so that each remark of the page has its case.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace
from typing import Any, cast

from derive.bias.records import (
    Bias,
    Contradiction,
    DevicePoint,
    Estimate,
    EstimateStep,
    Moved,
    Parameter,
    Point,
    Spread,
    Unsolved,
    Warmed,
)
from derive.circuit.records import About, Circuit, Part, Quantity
from derive.derivation.analysis import Analysis
from derive.document.records import Block, Document, Heading, Ledger, Notice, Paragraph, Table, TitleBlock
from derive.expression.tree import ONE, Call, Num, Quotient, Sym, Volt, negate, total
from derive.network.records import Network, Symbol
from derive.spoken import spoken
from derive.words import Line, Node, Reading

TITLE = TitleBlock("Tide gauge driver (invented)", None, None, None, None, None, None, None, "en")
DEVICES = ("Q1", "Q2", "D1", "U1")


def quantity(value: str, unit: str, at: Quantity | None = None) -> Quantity:
    return Quantity(Fraction(value), unit, f"{value} {unit}", at)


def part(name: str, kind: str, variety: str, pins: Mapping[str, str], **more: Any) -> Part:
    values = {key: value for key, value in more.items() if isinstance(value, Quantity)}
    rest = {key: value for key, value in more.items() if not isinstance(value, Quantity)}
    return Part(name, kind, variety, pins, values, ("parts", name), **rest)


def two(first: str, second: str = "gnd") -> dict[str, str]:
    return {"first": first, "second": second}


PARTS = (
    part("Vs", "signal", "voltage", two("src")),
    part("Cin", "capacitor", "", two("src", "far"), capacitance=quantity("1e-6", "F")),
    part(
        "Q1", "bjt", "npn", {"base": "b", "collector": "out", "emitter": "gnd"}, hfe=quantity("250", "1"),
        va=quantity("80", "V"), vbe=quantity("0.65", "V", quantity("0.002", "A")),
        tolerances={"hfe": quantity("0.5", "1")}, rating=quantity("0.3", "W"),
    ),
    part(
        "Q2", "jfet", "p-channel", {"gate": "b", "drain": "gnd", "source": "s"}, idss=quantity("0.006", "A"),
        vp=quantity("2", "V"),
    ),
    part("D1", "diode", "silicon", {"anode": "gnd", "cathode": "out"}),
    part("R1", "resistor", "", two("vcc", "out"), resistance=quantity("1000", "Ω"), tolerance=quantity("0.05", "1")),
    part("U1", "opamp", "finite", {"plus": "out", "minus": "fb", "out": "amp"}, gain=quantity("1e5", "1"),
         gbw=quantity("1e6", "Hz")),
    part("Vcc", "supply", "", two("vcc"), voltage=quantity("15", "V")),
)  # fmt: skip
NODES = {"src": 0.0, "far": None, "b": 0.6523, "out": 5.25, "s": 2.5, "fb": 5.25, "amp": 10.5, "vcc": 15.0, "gnd": 0.0}

Q1 = DevicePoint(
    "Q1", "bjt", "active", {"Vbe": 0.6523, "Vce": 5.25, "Vbc": -4.5977},
    {"base": 38.1e-6, "collector": 9.75e-3, "emitter": -9.788e-3},
    {"gm": 0.3794, "gpi": 1.483e-3, "go": 115e-6, "gmu": 0.0}, 51.2e-3,
)  # fmt: skip
Q2 = DevicePoint(
    "Q2", "jfet", "active", {"Vgs": 1.1, "Vds": -2.5}, {"gate": 0.0, "drain": -1.2e-3, "source": 1.2e-3},
    {"gm": 2.7e-3, "gds": 0.0}, 3e-3,
)  # fmt: skip
D1 = DevicePoint("D1", "diode", "blocking", {"V": -5.25}, {"anode": -1e-14, "cathode": 1e-14}, {"gd": 0.0}, 5e-14)
POINT = Point(
    NODES,
    {"Vs": 0.0, "Cin": 0.0, "Q1": 9.75e-3, "Q2": -1.2e-3, "D1": -1e-14, "R1": 9.75e-3, "U1": 1.05e-3, "Vcc": 0.0108},
    {"Q1": Q1, "Q2": Q2, "D1": D1},
    {"Vs": 0.0, "Cin": 0.0, "Q1": 51.2e-3, "Q2": 3e-3, "D1": 5e-14, "R1": 95.06e-3, "Vcc": -0.162},
    2.5e-30, 0.0108, True,
)  # fmt: skip

IS_FORMULA = Quotient(Sym("Itest_Q1"), total(Call("exp", Quotient(Sym("Vtest_Q1"), Sym("VT"))), negate(ONE)))
PARAMETERS = (
    Parameter("hfe_Q1", "Q1", "current gain of the data sheet", "1", Fraction(250), "stated"),
    Parameter("betaF_Q1", "Q1", "current gain of the law", "1", Fraction(250), "converted", Sym("hfe_Q1")),
    Parameter("VA_Q1", "Q1", "Early voltage", "V", Fraction(80), "stated"),
    Parameter("Vtest_Q1", "Q1", "junction voltage of the data sheet", "V", Fraction("0.65"), "stated"),
    Parameter("Itest_Q1", "Q1", "current at that voltage", "A", Fraction("0.002"), "stated"),
    Parameter("Is_Q1", "Q1", "saturation current at 25 °C", "A", Fraction("2.06e-14"), "converted", IS_FORMULA),
    Parameter("n_D1", "D1", "emission coefficient, taken because none is stated", "1", Fraction(1), "assumed"),
)  # fmt: skip
ESTIMATE = Estimate(
    (
        EstimateStep(
            ("base of ", Node("Q1"), ": one conducting junction above its emitter"),
            (Line(Volt("b"), "≈", Num(Fraction("0.65"))),),
            (Reading(0.65, "V", 3),),
            ("0.65 V across a conducting silicon junction: common practice, no source",),
        ),
    ),
    {"b": 0.65, "vcc": 15.0},
    {"Q1": 9e-3},
    "D1: no rule gives its current",
)
BIAS = Bias(PARAMETERS, (POINT,), 0, "Newton's method with held junction steps", 10, 9, 0.0, estimate=ESTIMATE)

SYMBOLS = (
    Symbol("VA_Q1", "Q1", "Early voltage", "V", Fraction(80), parameter=True),
    Symbol("Ic_Q1", "Q1", "collector current", "A", Fraction("9.75e-3"), parameter=True, origin="solved"),
    Symbol("VT", "", "thermal voltage kT/q", "V", Fraction("0.025693"), parameter=True),
    Symbol("gm_Q1", "Q1", "transconductance", "S", Fraction("0.3794"), Quotient(Sym("Ic_Q1"), Sym("VT"))),
    Symbol("rpi_Q1", "Q1", "resistance from base to emitter", "Ω", Fraction("674.3"), origin="solved"),
    Symbol("n_D9", "D9", "emission coefficient", "1", Fraction(1), origin="assumed"),
)
NETWORK = Network(
    (), (), (), {symbol.name: symbol for symbol in SYMBOLS}, {"vcc": "gnd"}, {"rd_D1": "D1 blocks at this bias point"}
)


def circuit(*changed: Part, **about: Any) -> Circuit:
    """The circuit with some parts in the place of those of their name."""
    parts = {one.name: one for one in (*PARTS, *changed)}
    source = cast(Any, SimpleNamespace(sha256="0" * 64))
    return Circuit(About("Tide gauge driver", **about), parts, tuple(NODES), (), (), source)


def analysis(bias: Bias | Unsolved | None = BIAS, described: Circuit | None = None) -> Analysis:
    """An analysis of which only the circuit, the network and the bias point are there."""
    return Analysis(
        described or circuit(), NETWORK, cast(Any, None), cast(Any, None), (), (), (), None, (), 1e-14, bias
    )


def at(*devices: DevicePoint, **more: Any) -> Bias:
    """The bias point with other devices or other entries of the point."""
    changed = {**POINT.devices, **{one.part: one for one in devices}}
    return replace(BIAS, points=(replace(POINT, devices=changed, **more),))


FLIPPED = replace(
    POINT, nodes={**NODES, "out": 0.1, "b": 0.71}, currents={**POINT.currents, "Q1": 14.9e-3}, stable=None
)
UNSTABLE = replace(POINT, nodes={**NODES, "out": 2.5}, currents={**POINT.currents, "Q1": 12.5e-3}, stable=False)
SEVERAL = replace(BIAS, points=(UNSTABLE, POINT, FLIPPED), chosen=1)
CONTRADICTED = replace(BIAS, contradictions=(Contradiction("Q1", "ic", 1e-3, 0.62e-3),))
SPREAD = Spread(
    (
        Moved("Q1", 9.75e-3, (("R1", -0.049), ("hfe of Q1", 0.02), ("Vcc", 1e-5)), 9.2e-3, 10.3e-3),
        Moved("Q2", -1.2e-3, (("Idss and Vp of Q2", 0.11),), -1.0e-3, -1.4e-3),
        Moved("D1", -1e-14, (), -1e-14, -1e-14),
    ),
    64, 2, ("Q2",),
)  # fmt: skip
WARMED = (
    Warmed("Q1", (273.15, 298.15, 323.15), (9.6e-3, 9.75e-3, 9.9e-3), (0.70, 0.65, 0.60), -2.03e-3),
    Warmed("Q2", (273.15, 298.15, 323.15), (-1.2e-3, -1.2e-3, -1.2e-3), (1.1, 1.1, 1.1), None),
)
EVERYTHING = replace(SEVERAL, contradictions=CONTRADICTED.contradictions, spread=SPREAD, warmed=WARMED, apart=3e-9)


def text_of(blocks: list[Block]) -> str:
    """All words of some blocks, one block, row or cell after another."""
    lines: list[str] = []
    for block in blocks:
        match block:
            case Heading(_, words) | Paragraph(words) | Notice(_, words):
                lines.append(spoken(words))
            case Table(columns, rows, _):
                lines.append(" | ".join(spoken(column.head) for column in columns))
                lines += [" | ".join(spoken(cell) for cell in row) for row in rows]
            case Ledger(rows):
                lines += [f"{spoken(row.rule)} [{spoken(row.number)}] ({spoken(row.note)}) {row.kind}" for row in rows]
    return "\n".join(lines)


def document(blocks: list[Block]) -> Document:
    return Document(TITLE, tuple(blocks), ())
