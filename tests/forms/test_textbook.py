"""Forms that textbooks print: each must come out of the circuit as it stands there.

The formulas are standard material of the hybrid-pi model (from memory: P. R. Gray, P. J. Hurst, S. H. Lewis and
R. G. Meyer, Analysis and Design of Analog Integrated Circuits, chapter 3; Miller's input admittance: J. M. Miller,
Dependence of the input impedance of a three-electrode vacuum tube upon the load in the plate circuit, 1919; the
unity-gain low-pass: R. P. Sallen and E. L. Key, IRE Trans. Circuit Theory CT-2, 1955, 74). The expected texts are
written by hand from these formulas, in the order of symbols of this program.
"""

from __future__ import annotations

import pytest

from derive.expression.parse import parse_expression
from derive.expression.text import write as write_text
from derive.forms.present import present
from tests.asking import Asked
from tests.networks import circuit

SIGNAL = 'Vs = { signal = "voltage", between = ["in", "gnd"] }\n'


def transistor(base: str, collector: str, emitter: str, more: str = "") -> str:
    ends = f'base = "{base}", collector = "{collector}", emitter = "{emitter}"'
    return f'Q1 = {{ bjt = "npn", {ends}, gm = "40 mS", rpi = "5k"{more} }}\n'


def two(kind: str, name: str, value: str, first: str, second: str) -> str:
    return f'{name} = {{ {kind} = "{value}", between = ["{first}", "{second}"] }}\n'


def resistor(name: str, first: str, second: str, value: str = "1k") -> str:
    return two("resistor", name, value, first, second)


FOLLOWER = transistor("b", "gnd", "e", ', ro = "50k"') + resistor("Re", "e", "gnd")
DEGENERATED = (
    SIGNAL + resistor("Rs", "in", "b") + transistor("b", "out", "e") + resistor("Re", "e", "gnd", "470")
) + resistor("Rc", "out", "gnd", "4.7k")
MILLER = transistor("b", "out", "gnd", ', cmu = "2 pF"') + resistor("Rc", "out", "gnd", "4.7k")
SOURCE_FOLLOWER = (
    SIGNAL + 'J1 = { jfet = "n-channel", gate = "in", drain = "gnd", source = "out", gm = "2 mS" }\n'
) + resistor("Rk", "out", "gnd")
DIVIDER = SIGNAL + resistor("R1", "in", "out") + resistor("R2", "out", "gnd", "2k")
BIASED_DIVIDER = DIVIDER + resistor("R3", "out", "gnd", "3k")
SALLEN_KEY = (
    SIGNAL
    + resistor("R1", "in", "a")
    + resistor("R2", "a", "p")
    + two("capacitor", "C1", "10n", "a", "out")
    + two("capacitor", "C2", "4.7n", "p", "gnd")
    + 'U1 = { opamp = "ideal", plus = "p", minus = "out", out = "out" }\n'
)
GAIN = 'Q: gain = { from = "in", to = "out" }'


@pytest.mark.parametrize(
    ("name", "parts", "question", "expected"),
    [
        ("emitter follower, in", FOLLOWER, 'Q: impedance = { at = "b" }', "rpi_Q1 + (ro_Q1 || Re)*(1 + beta_Q1)"),
        (
            "emitter follower, out",
            SIGNAL + resistor("Rs", "in", "b") + FOLLOWER,
            'Q: impedance = { at = "e" }',
            "ro_Q1 || Re || ((Rs + rpi_Q1)/(1 + beta_Q1))",
        ),
        ("degenerated stage", DEGENERATED, GAIN, "-beta_Q1*Rc/(Rs + rpi_Q1 + Re*(1 + beta_Q1))"),
        (
            "Miller effect",
            MILLER,
            'Q: impedance = { at = "b" }',
            "rpi_Q1 || ((1 + s*Rc*Cmu_Q1)/(s*Cmu_Q1*(1 + gm_Q1*Rc)))",
        ),
        ("source follower", SOURCE_FOLLOWER, GAIN, "gm_J1*Rk/(1 + gm_J1*Rk)"),
        ("divider", DIVIDER, GAIN, "R2/(R1 + R2)"),
        ("divider with two resistors below", BIASED_DIVIDER, GAIN, "(R2 || R3)/(R1 + R2 || R3)"),
        ("Sallen-Key low-pass", SALLEN_KEY, GAIN, "1/(1 + s*C2*(R1 + R2) + s**2*R1*R2*C1*C2)"),
    ],
)
def test_textbook_form(name: str, parts: str, question: str, expected: str) -> None:
    asked = Asked(circuit(parts, question))
    exact = asked.exact("Q").ratio
    assert exact is not None, name
    assert asked.formula(expected) == exact, f"{name}: the expected formula itself is wrong"
    tree = present(asked.style, exact).tree
    assert tree is not None, name
    assert tree == parse_expression(expected) or write_text(tree) == expected, name
