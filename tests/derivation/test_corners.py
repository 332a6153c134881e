"""Corner frequencies, f_0 and Q come out as the textbooks have them.

R. P. Sallen, E. L. Key, IRE Trans. Circuit Theory 2 (1955) 74; Miller stage: P. R. Gray et al., "Analysis and Design
of Analog Integrated Circuits", chapter 7 (both from memory).
"""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt

import pytest

from derive.derivation.analyse import analyse
from derive.derivation.checks import to_fifty_digits
from derive.derivation.records import Step
from derive.description.reader import read_text
from derive.errors import Defect
from derive.expression.parse import parse_expression
from derive.expression.text import write

SALLEN_KEY = """
R1 = { resistor = "10 kΩ", between = ["in", "a"] }
R2 = { resistor = "22 kΩ", between = ["a", "p"] }
C1 = { capacitor = "10 nF", between = ["a", "out"] }
C2 = { capacitor = "3.3 nF", between = ["p", "gnd"] }
U1 = { opamp = "ideal", plus = "p", minus = "out", out = "out" }
"""
MILLER = """
R1 = { resistor = "1 kΩ", between = ["in", "b"] }
Q1 = { bjt = "npn", gm = "40 mS", rpi = "5 kΩ", cmu = "2 pF", base = "b", collector = "out", emitter = "gnd" }
Rc = { resistor = "4.7 kΩ", between = ["out", "gnd"] }
"""


def corners(parts: str) -> dict[str, tuple[str, Step]]:
    source = 'Vs = { signal = "voltage", between = ["in", "gnd"] }'
    question = '[[question]]\nname = "H"\ngain = { from = "in", to = "out" }'
    (derivation,) = analyse(read_text(f"[parts]\n{source}{parts}{question}", "test.toml")).derivations
    return {write(step.lines[0].left): (write(step.lines[0].right), step) for step in derivation.corners}


def number(step: Step) -> float:
    return step.number[-1].value


def test_sallen_key() -> None:
    found = corners(SALLEN_KEY)
    assert found["f_0"][0] == "1/(2*pi*sqrt(R1*R2*C1*C2))"
    assert number(found["f_0"][1]) == pytest.approx(1 / (2 * pi * sqrt(10e3 * 22e3 * 10e-9 * 3.3e-9)), rel=1e-12)
    assert number(found["Q"][1]) == pytest.approx(sqrt(10e3 * 22e3 * 10e-9 * 3.3e-9) / (3.3e-9 * 32e3), rel=1e-12)


def test_the_miller_zero_lies_in_the_right_half_plane() -> None:
    found = corners(MILLER)
    assert found["f_z"][0] == "gm_Q1/(2*pi*Cmu_Q1)"
    assert "right half plane" in found["f_z"][1].rule[0]
    assert number(found["f_z"][1]) == pytest.approx(40e-3 / (2 * pi * 2e-12), rel=1e-12)


def test_a_wrong_root_is_found() -> None:
    trials = [({"R1": Fraction(3)}, [Fraction(3)])]
    to_fifty_digits(parse_expression("sqrt(R1)"), lambda v: v[0] ** 0.5, trials)
    with pytest.raises(Defect):
        to_fifty_digits(parse_expression("sqrt(R1) + 1e-40"), lambda v: v[0] ** 0.5, trials)
