"""The estimate by hand: every printed line agrees with its number, and what each kind of circuit comes out at.

All circuits and values are invented; the laws that the expected numbers follow from are elementary.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import isclose
from typing import Any

import pytest

from derive.bias.estimate.algebra import number_of
from derive.bias.estimate.estimate import estimate
from derive.bias.records import Estimate, EstimateStep
from derive.circuit.records import About, Circuit, Part, Quantity
from derive.expression.text import write
from derive.expression.tree import Sym, Volt
from derive.words import Formula, Node, Reading

UNITS = {
    "resistance": "Ω",
    "voltage": "V",
    "offset": "V",
    "transconductance": "S",
    "inductance": "H",
    "capacitance": "F",
}
PINS = {
    "bjt": ("base", "collector", "emitter"),
    "jfet": ("gate", "drain", "source"),
    "mosfet": ("gate", "drain", "source"),
    "diode": ("anode", "cathode"),
    "opamp": ("plus", "minus", "out"),
    "transconductance": ("first", "second", "sense_first", "sense_second"),
}


def part(kind: str, name: str, nodes: str, variety: str = "", **values: float) -> Part:
    """A part; ``nodes`` in the order of its pins, separated by blanks."""
    pins = dict(zip(PINS.get(kind, ("first", "second")), nodes.split(), strict=True))
    quantities = {key: Quantity(Fraction(str(value)), UNITS[key], str(value)) for key, value in values.items()}
    return Part(name, kind, variety, pins, quantities, ("parts", name))


def supply(name: str, nodes: str, voltage: float) -> Part:
    return part("supply", name, nodes, voltage=voltage)


def signal(name: str, nodes: str, offset: float = 0, variety: str = "voltage") -> Part:
    return part("signal", name, nodes, variety, offset=offset)


def resistor(name: str, nodes: str, resistance: float) -> Part:
    return part("resistor", name, nodes, resistance=resistance)


def bipolar(name: str, nodes: str, variety: str = "npn") -> Part:
    return part("bjt", name, nodes, variety)


def fet(name: str, nodes: str, variety: str = "n-channel", kind: str = "jfet") -> Part:
    return part(kind, name, nodes, variety)


def circuit(*parts: Part) -> Circuit:
    nodes = tuple(dict.fromkeys(node for one in parts for node in one.pins.values()))
    return Circuit(About("Test"), {one.name: one for one in parts}, nodes, (), (), None)  # type: ignore[arg-type]


def solved(*parts: Part, **parameters: float) -> Estimate:
    """The estimate of some parts, each of its steps checked against its numbers; bipolars have a gain of 200.

    Where the estimate got through, no device conducts backwards.
    """
    gains = {f"betaF_{one.name}": 200.0 for one in parts if one.kind == "bjt"}
    laws = {**gains, **parameters}
    found = estimate(circuit(*parts), laws)
    check_steps(found, parts, laws)
    if not found.why:
        check_directions(found, parts)
    return found


def check_steps(found: Estimate, parts: tuple[Part, ...], laws: Mapping[str, float]) -> None:
    """Every line from the numbers printed before it; equations that were solved together hold with their numbers."""
    values: dict[Any, float] = {**laws, Volt("gnd"): 0.0}
    for one in parts:
        for key in {"resistance", "voltage", "transconductance", "offset"} & set(one.values):
            values[one.name] = float(one.values[key].value)
    for step in found.steps:
        numbers = readings(step)
        assert bool(step.lines) <= bool(numbers), step
        for line in step.lines:
            assert line.left is not None
            try:
                value = number_of(line.right, values)
            except KeyError:
                assert solves_equations(step), step
                continue
            key = key_of(line.left)
            if not isinstance(line.left, Volt | Sym):
                assert solves_equations(step), step
                continue
            assert key in numbers
            assert isclose(value, numbers[key], rel_tol=1e-9, abs_tol=1e-12), (step, value)
            values[key] = numbers[key]
        values.update(numbers)
        for line in step.lines:
            left, right = number_of(line.left, values), number_of(line.right, values)  # type: ignore[arg-type]
            assert isclose(left, right, rel_tol=1e-7, abs_tol=1e-10), (step, left, right)
    printed = {key.node: value for key, value in values.items() if isinstance(key, Volt)}
    for node, value in found.nodes.items():
        assert isclose(printed.get(node, value), value)


def solves_equations(step: EstimateStep) -> bool:
    """Whether a step says that its lines are equations, which need not have their unknown on the left."""
    return " from " in step.rule or "by iteration" in str(step.rule)


def key_of(expr: Any) -> Any:
    return expr.name if isinstance(expr, Sym) else expr


def readings(step: EstimateStep) -> dict[Any, float]:
    """The numbers of a step: one bare, of what its line has on the left; or several, each behind its quantity."""
    if len(step.number) == 1:
        (reading,) = step.number
        assert isinstance(reading, Reading)
        return {key_of(step.lines[0].left): reading.value.real} if step.lines else {}
    named = zip(step.number, step.number[2:], strict=False)
    return {
        key_of(word.expr): reading.value.real
        for word, reading in named
        if isinstance(word, Formula) and isinstance(reading, Reading)
    }


def check_directions(found: Estimate, parts: tuple[Part, ...]) -> None:
    """No device conducts backwards, whatever the circuit."""
    for one in parts:
        if one.kind in ("bjt", "jfet", "mosfet", "diode") and one.name in found.currents:
            sign = -1 if one.variety in ("pnp", "p-channel") else 1
            assert sign * found.currents[one.name] >= 0


def text(found: Estimate) -> str:
    """An estimate in plain text, for people who read a failing test."""

    def word(one: Any) -> str:
        match one:
            case Formula(expr):
                return write(expr)
            case Node(name):
                return name
            case Reading(value, unit):
                return f"{value.real:.4g} {unit}"
            case _:
                return str(one)

    rows = []
    for step in found.steps:
        lines = "; ".join(
            f"{write(line.left) if line.left else ''} {line.sign} {write(line.right)}" for line in step.lines
        )
        rows.append(f"{''.join(map(word, step.rule))} | {lines} | {''.join(map(word, step.number))} | {step.note}")
    return "\n".join([*rows, f"nodes {dict(found.nodes)}", f"currents {dict(found.currents)}", f"why {found.why!r}"])


VCC, VEE = supply("Vcc", "vcc gnd", 12), supply("Vee", "vee gnd", -12)
DROP = 0.65


def stage(variety: str = "npn") -> tuple[Part, ...]:
    """Four resistors and a bipolar; for a pnp the same upside down."""
    top, bottom = ("vcc", "gnd") if variety == "npn" else ("gnd", "vcc")
    return (
        VCC,
        resistor("R1", f"{top} b", 82e3),
        resistor("R2", f"b {bottom}", 18e3),
        bipolar("Q1", "b c e", variety),
        resistor("Rc", f"{top} c", 4.7e3),
        resistor("Re", f"e {bottom}", 1e3),
    )


def test_four_resistors() -> None:
    found = solved(*stage())
    assert found.why == ""
    assert found.nodes["b"] == pytest.approx(12 * 18 / 100)
    assert found.currents["Q1"] == pytest.approx((2.16 - DROP) / 1e3)
    assert found.nodes["c"] == pytest.approx(12 - 4.7 * (2.16 - DROP))
    assert [write(step.lines[0].right) for step in found.steps if step.lines] == [
        "Vcc*R2/(R1 + R2)",
        "v(b) - Vbe_on",
        "v(e)/Re",
        "Vcc - Rc*Ic_Q1",
    ]


def test_a_pnp_is_the_npn_upside_down() -> None:
    npn, pnp = solved(*stage()), solved(*stage("pnp"))
    assert pnp.currents["Q1"] == pytest.approx(-npn.currents["Q1"])
    for node in "bce":
        assert pnp.nodes[node] == pytest.approx(12 - npn.nodes[node])


def test_what_cannot_be_closed_says_why() -> None:
    """A collector between two current sources has no voltage of its own."""
    inputs = (signal("Va", "b1 gnd"), signal("Vb", "b2 gnd"))
    pair = (bipolar("Q1", "b1 c1 t"), bipolar("Q2", "b2 c2 t"), resistor("Rt", "t vee", 5.6e3))
    load = (bipolar("Q3", "c1 c1 vcc", "pnp"), bipolar("Q4", "c1 c2 vcc", "pnp"))
    found = solved(VCC, VEE, *inputs, *pair, *load)
    assert found.why.startswith("c2: ")
    assert found.currents["Q4"] == pytest.approx(-(12 - DROP) / 5.6e3 / 2)


def test_output_pair_without_a_known_current() -> None:
    """Junctions that face junctions: with one drop for all nothing is left, and the estimate does not say zero."""
    found = solved(
        VCC,
        VEE,
        resistor("R1", "vcc b1", 10e3),
        part("diode", "D1", "b1 m", "silicon"),
        part("diode", "D2", "m b2", "silicon"),
        resistor("R2", "b2 vee", 10e3),
        bipolar("Q1", "b1 vcc e1"),
        bipolar("Q2", "b2 vee e2", "pnp"),
        resistor("Ra", "e1 out", 10),
        resistor("Rb", "out e2", 10),
        resistor("Rl", "out gnd", 1e3),
        signal("Vs", "m gnd"),
    )
    assert found.why.startswith("Q1: its current hangs on how its junction differs")
    assert "Q1" not in found.currents
    assert found.currents["D1"] == pytest.approx((12 - DROP) / 10e3)


def test_the_same_circuit_gives_the_same_steps() -> None:
    assert estimate(circuit(*stage()), {}) == estimate(circuit(*stage()), {})
