"""Short forms that the tool finds by itself, without a statement, beside what the textbooks give.

Gray: P. R. Gray, P. J. Hurst, S. H. Lewis, R. G. Meyer, "Analysis and Design of Analog Integrated Circuits", 5th
edition. Sedra: A. S. Sedra, K. C. Smith, "Microelectronic Circuits", 7th edition. All from memory.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from derive.expression.parse import parse_expression
from derive.expression.tree import evaluate
from derive.structure.records import Short
from derive.structure.shortest import shortest
from tests.asking import Asked, random_point
from tests.networks import circuit

INPUT = 'Vs = { signal = "voltage", between = ["in", "gnd"] }\n'
GAIN = 'gain = { from = "in", to = "out" }'
CHANNEL = 'gm = "4 mS", ro = "50 kΩ"'
RO = 'gm = "40 mS", rpi = "5 kΩ", ro = "100 kΩ"'


def bjt(name: str, base: str, collector: str, emitter: str, more: str = RO) -> str:
    return f'{name} = {{ bjt = "npn", base = "{base}", collector = "{collector}", emitter = "{emitter}", {more} }}\n'


def jfet(name: str, gate: str, drain: str, source: str, more: str) -> str:
    return f'{name} = {{ jfet = "n-channel", gate = "{gate}", drain = "{drain}", source = "{source}", {more} }}\n'


def part(kind: str, name: str, value: str, first: str, second: str = "gnd") -> str:
    return f'{name} = {{ {kind} = "{value}", between = ["{first}", "{second}"] }}\n'


def resistor(name: str, value: str, first: str, second: str = "gnd") -> str:
    return part("resistor", name, value, first, second)


def found(parts: str, ask: str, within: str = "1/20", about: str = "") -> tuple[Asked, Short]:
    asked = Asked(circuit(parts, f"X: {ask}", about=about))
    short = shortest(asked.exact("X"), (), asked.ground, asked.style, Fraction(within))
    assert short is not None
    assert short.reached
    return asked, short


FETS = jfet("J1", "in", "x", "gnd", 'gm = "4 mS"') + resistor("R1", "4.7 kΩ", "x")
CASES = [
    ("Wilson mirror: output resistance", "Gray, section 4.2.6: beta ro/2 for equal devices",
     bjt("Q1", "e", "in", "gnd") + bjt("Q2", "in", "out", "e") + bjt("Q3", "e", "e", "gnd"),
     'impedance = { at = "out" }', "beta_Q2*ro_Q2*gm_Q1/(gm_Q1 + gm_Q3)"),
    ("FET cascode: output resistance", "Sedra, section 7.3: gm2 ro2 ro1",
     jfet("J1", "in", "x", "gnd", CHANNEL) + jfet("J2", "gnd", "out", "x", CHANNEL)
     + resistor("Rg", "1 MΩ", "in"), 'impedance = { at = "out" }', "gm_J2*ro_J2*ro_J1"),
    ("bipolar cascode: output resistance", "Sedra, section 7.3: beta ro",
     bjt("Q1", "gnd", "x", "gnd") + bjt("Q2", "gnd", "out", "x"), 'impedance = { at = "out" }', "beta_Q2*ro_Q2"),
    ("two stages: gain", "gm1 R1 gm2 R2; common practice, no source",
     INPUT + FETS + jfet("J2", "x", "out", "gnd", 'gm = "5 mS"') + resistor("R2", "2.2 kΩ", "out"), GAIN,
     "gm_J1*R1*gm_J2*R2"),
    ("two bipolar stages: gain", "gm1 (R1 || rpi2) gm2 R2; common practice, no source",
     INPUT + bjt("Q1", "in", "x", "gnd") + resistor("R1", "4.7 kΩ", "x") + bjt("Q2", "x", "out", "gnd")
     + resistor("R2", "2.2 kΩ", "out"), GAIN, "gm_Q1*(R1 || rpi_Q2)*gm_Q2*R2"),
    ("feedback pair: gain", "Gray, section 8.6: 1 + Rf/Re where the loop gain is large",
     INPUT + bjt("Q1", "in", "x", "f") + resistor("Rc1", "10 kΩ", "x") + bjt("Q2", "x", "out", "gnd")
     + resistor("Rc2", "4.7 kΩ", "out") + resistor("Rf", "10 kΩ", "out", "f") + resistor("Re", "1 kΩ", "f"), GAIN,
     "1 + Rf/Re"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "_source", "parts", "ask", "formula"), CASES, ids=[case[0] for case in CASES])
def test_textbook_forms_are_found(name: str, _source: str, parts: str, ask: str, formula: str) -> None:
    asked, short = found(parts, ask)
    tree = parse_expression(formula)
    for _ in range(3):
        point = random_point(asked.ground.ring.names, Random(name))
        assert not short.written.pieces
        assert evaluate(short.written.tree, point) == evaluate(tree, point)


def test_equal_devices_give_half_beta_ro() -> None:
    """The Wilson mirror's number: within the told error of beta ro/2."""
    _, short = found(*CASES[0][2:4])
    value = abs(short.spectrum.at_frequency(1000))
    assert value == pytest.approx(200 * 100e3 / 2, rel=1e-9)


def test_corners_far_apart_are_read_off() -> None:
    """Three sections hardly loaded by each other: corners at 1/(R C) of each (the separated-pole rule; Gray, 9.4)."""
    sections = (("C1", "1 µF", "a"), ("C2", "1 nF", "b"), ("C3", "2 pF", "out"))
    capacitor = [part("capacitor", name, value, at) for name, value, at in sections]
    ladder = INPUT + resistor("R1", "1 kΩ", "in", "a") + resistor("R2", "10 kΩ", "a", "b")
    ladder += resistor("R3", "100 kΩ", "b", "out") + "".join(capacitor)
    asked, short = found(ladder, GAIN, about='band = ["1 Hz", "10 MHz"]')
    wanted = [asked.ground.numbers[f"R{k}"] * asked.ground.numbers[f"C{k}"] for k in (1, 2, 3)]
    corners = [piece.value for piece in short.written.pieces]
    assert [piece.kind for piece in short.written.pieces] == ["corner"] * 3
    assert corners == pytest.approx([float(1 / tau) for tau in wanted])
    exact = sorted(abs(p) for p in asked.exact("X").spectrum.poles)
    assert corners == pytest.approx(exact, rel=0.02)
    assert short.candidate is not None
    assert short.candidate.separation is not None
    assert short.candidate.separation > 3


def test_a_resonance_has_its_frequency_and_quality() -> None:
    """1/(1 + s/(Q w0) + s²/w0²), w0 = 1/sqrt(L C), Q = w0 L/R (any textbook of networks)."""
    parts = INPUT + resistor("R1", "10 Ω", "in", "a") + part("inductor", "L1", "1 mH", "a", "out")
    parts += part("capacitor", "C1", "1 µF", "out") + resistor("R2", "100 kΩ", "out")
    _, short = found(parts, GAIN, "1/100", 'band = ["100 Hz", "100 kHz"]')
    values = {piece.kind: piece.value for piece in short.written.pieces}
    assert values == {"corner": pytest.approx(1e9**0.5), "quality": pytest.approx(1e-3 * 1e9**0.5 / 10)}


def test_the_dominant_pole_has_the_multiplied_capacitance() -> None:
    """Common emitter: the pole lies near 1/((Rs || rpi) Cmu gm Rc) (Miller; Gray, section 7.2)."""
    stage = INPUT + resistor("Rs", "1 kΩ", "in", "b")
    stage += bjt("Q1", "b", "out", "gnd", RO + ', cpi = "20 pF", cmu = "3 pF"')
    stage += resistor("Rc", "4.7 kΩ", "out")
    asked, short = found(stage, GAIN, "1/5", 'band = ["100 Hz", "100 MHz"]')
    first = next(piece for piece in short.written.pieces if piece.kind == "corner")
    n = {name: float(value) for name, value in asked.ground.numbers.items()}
    source = n["Rs"] * n["rpi_Q1"] / (n["Rs"] + n["rpi_Q1"])
    assert first.value == pytest.approx(1 / (source * n["Cmu_Q1"] * n["gm_Q1"] * n["Rc"]), rel=1e-9)
    assert first.value == pytest.approx(abs(asked.exact("X").spectrum.poles[0]), rel=0.2)
