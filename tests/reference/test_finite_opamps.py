"""Circuits around op amps of finite gain and gain-bandwidth product as the textbooks give them. All from memory.

With the gain a(s) = a0/(1 + s a0 tau), tau = 1/(2 pi gbw), and the part beta of the output that is fed back.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import pi

import numpy as np
import pytest

from derive.answers.exact import answer
from derive.answers.inquire import return_ratio
from derive.circuit.records import Circuit
from derive.derivation.analyse import analyse
from derive.expression.text import write
from tests.asking import Asked
from tests.network.finite import finite
from tests.networks import circuit
from tests.reference.test_opamps import GAIN, INPUT, LOOK, capacitor, opamp, resistor

SEDRA = "Sedra and Smith, Microelectronic Circuits, 7th edition"
FRANCO = "Franco, Design with Operational Amplifiers and Analog Integrated Circuits, 3rd edition"
BOTH = {"gain": "2e5", "gbw": "1e6"}
OPEN = "(a0_U1/(1 + s*a0_U1*tau_U1))"

INVERTING = INPUT + resistor("R1", "in", "m", "1 kΩ") + resistor("R2", "m", "out") + opamp("gnd", "m", "out")
NON_INVERTING = INPUT + resistor("R1", "m", "gnd", "1 kΩ") + resistor("R2", "m", "out") + opamp("in", "m", "out")
FOLLOWER = INPUT + opamp("in", "out", "out") + resistor("RL", "out", "gnd")
INTEGRATOR = INPUT + resistor("R1", "in", "m") + capacitor("C1", "m", "out") + opamp("gnd", "m", "out")
SALLEN_KEY = (
    INPUT + resistor("R1", "in", "a", "1 kΩ") + resistor("R2", "a", "p", "1.5 kΩ")
    + capacitor("C1", "a", "out", "22 nF") + capacitor("C2", "p", "gnd") + opamp("p", "out", "out")
)  # fmt: skip

PUBLISHED = [
    (f"{SEDRA}, section 2.2.2: (-R2/R1)/(1 + (1 + R2/R1)/A)", INVERTING, GAIN, {"gain": "2e5"},
     "(-R2/R1)/(1 + (1 + R2/R1)/a0_U1)"),
    (f"{SEDRA}, section 2.3.3: (1 + R2/R1)/(1 + (1 + R2/R1)/A)", NON_INVERTING, GAIN, {"gain": "2e5"},
     "(1 + R2/R1)/(1 + (1 + R2/R1)/a0_U1)"),
    (f"{SEDRA}, section 11.1: a/(1 + a beta)", NON_INVERTING, GAIN, BOTH, f"{OPEN}/(1 + {OPEN}*R1/(R1 + R2))"),
    (f"{SEDRA}, section 2.3.4 and 11.1: a/(1 + a)", FOLLOWER, GAIN, BOTH, f"{OPEN}/(1 + {OPEN})"),
    (f"{SEDRA}, section 2.7.2: -(R2/R1)/(1 + s (1 + R2/R1)/omega_t)", INVERTING, GAIN, {"gbw": "1e6"},
     "-(R2/R1)/(1 + s*tau_U1*(1 + R2/R1))"),
    (f"{SEDRA}, section 2.7.2: (1 + R2/R1)/(1 + s (1 + R2/R1)/omega_t)", NON_INVERTING, GAIN, {"gbw": "1e6"},
     "(1 + R2/R1)/(1 + s*tau_U1*(1 + R2/R1))"),
    (f"{FRANCO}, section 6.4: integrator, -a0/(1 + s R C (1 + a0))", INTEGRATOR, GAIN, {"gain": "2e5"},
     "-a0_U1/(1 + s*R1*C1*(1 + a0_U1))"),
    (f"{FRANCO}, section 6.4: integrator, -1/(s R C) times 1/(1 + tau/(R C) + s tau)", INTEGRATOR, GAIN,
     {"gbw": "1e6"}, "-1/(s*R1*C1*(1 + tau_U1/(R1*C1) + s*tau_U1))"),
    (f"{FRANCO}, section 1.6 (Miller): R1 + R2/(1 + a)", INVERTING, LOOK, BOTH, f"R1 + R2/(1 + {OPEN})"),
    ("no output impedance, so none in closed loop", NON_INVERTING, 'impedance = { at = "out" }', BOTH, "0"),
]  # fmt: skip


def ask(parts: str, question: str, values: dict[str, str], *assume: str) -> Asked:
    return Asked(finite(circuit(parts, f"X: {question}"), {"U1": values}, assume))


@pytest.mark.parametrize(("source", "parts", "question", "values", "formula"), PUBLISHED)
def test_formula(source: str, parts: str, question: str, values: dict[str, str], formula: str) -> None:
    asked = ask(parts, question, values)
    exact = asked.exact("X")
    assert exact.ratio == asked.formula(formula), source
    s = Fraction(12345)
    assert exact.spectrum.exactly_at(s) == asked.formula(formula).value(asked.ground.numbers, s)


@pytest.mark.parametrize("parts", [INVERTING, NON_INVERTING, FOLLOWER])
def test_closed_loop_corner(parts: str) -> None:
    """gbw/(1 + R2/R1) for both amplifiers, gbw for the follower (Sedra, section 2.7.2); a0 adds gbw/a0 to it."""
    feedback = Fraction(1) if parts == FOLLOWER else Fraction(1, 11)
    for values, expected in (({"gbw": "1e6"}, 1e6 * feedback), (BOTH, 1e6 * feedback + 5)):
        (pole,) = ask(parts, GAIN, values).exact("X").spectrum.poles
        assert pole.imag == 0
        assert -pole.real / (2 * pi) == pytest.approx(float(expected), rel=1e-12)


@pytest.mark.parametrize("parts", [INVERTING, NON_INVERTING, FOLLOWER, INTEGRATOR, SALLEN_KEY])
def test_limits_give_the_ideal_answer(parts: str) -> None:
    ideal = Asked(circuit(parts, f"X: {GAIN}")).exact("X").spectrum
    asked = ask(parts, GAIN, BOTH, "a0_U1 -> inf", "tau_U1 -> 0")
    assert asked.exact("X").spectrum != ideal
    assert asked.reduced("X", asked.statements[:1]).spectrum != ideal
    assert asked.reduced("X", asked.statements[1:]).spectrum != ideal
    assert asked.reduced("X").spectrum == ideal
    only_gain = ask(parts, GAIN, {"gain": "2e5"}, "a0_U1 -> inf")
    assert only_gain.reduced("X").spectrum == ideal
    assert asked.reduced("X", asked.statements[1:]).spectrum == only_gain.exact("X").spectrum


def test_a_gain_of_zero_holds_the_output_at_zero() -> None:
    for statement in ("a0_U1 -> 0", "tau_U1 -> inf"):
        asked = ask(NON_INVERTING, GAIN, BOTH, statement)
        found = asked.reduced("X").spectrum
        assert found is not None
        assert found.numerator == (0,)


def test_stated_ratios() -> None:
    """a0 beside the noise gain: what is left is the ideal amplifier with its corner."""
    asked = ask(NON_INVERTING, GAIN, BOTH, "a0_U1 >> 1 + R2/R1")
    assert asked.statements[0].ratio == 20_000
    assert asked.reduced("X").ratio == asked.formula("(1 + R2/R1)/(1 + s*tau_U1*(1 + R2/R1))")
    small = ask(INTEGRATOR, GAIN, {"gain": "2e5"}, "a0_U1 >> 1")
    assert small.reduced("X").ratio == small.formula("-a0_U1/(1 + s*a0_U1*R1*C1)")


@pytest.mark.parametrize(("parts", "feedback"), [(INVERTING, "R1/(R1 + R2)"), (NON_INVERTING, "R1/(R1 + R2)"),
                                                 (FOLLOWER, "1"), (INTEGRATOR, "s*R1*C1/(1 + s*R1*C1)")])  # fmt: skip
def test_return_ratio_is_the_loop_gain(parts: str, feedback: str) -> None:
    """T = a beta (H. W. Bode, 1945), and A = A_ideal T/(1 + T): S. Rosenstark, IEEE Trans. Education 17 (1974) 192."""
    asked = ask(parts, GAIN, BOTH)
    loop = answer(return_ratio("T", asked.network, "U1"), asked.ground.numbers, asked.ground.ring)
    assert loop.ratio == asked.formula(f"{OPEN}*{feedback}")
    ideal = Asked(circuit(parts, f"X: {GAIN}")).exact("X").spectrum
    s = Fraction(777)
    back = loop.spectrum.exactly_at(s)
    assert asked.exact("X").spectrum.exactly_at(s) == ideal.exactly_at(s) * back / (1 + back)


@pytest.mark.parametrize("values", [{"gbw": "1e6"}, BOTH])
def test_sallen_key_against_a_control_library(values: dict[str, str]) -> None:
    """The follower as a feedback loop around a(s), and the passive network from both of its ends by hand."""
    control = pytest.importorskip("control")
    asked = ask(SALLEN_KEY, GAIN, values)
    found = asked.exact("X").spectrum
    r1, r2, c1, c2 = 1e3, 1.5e3, 22e-9, 10e-9
    below = [r1 * r2 * c1 * c2, c2 * (r1 + r2) + r1 * c1, 1]
    forward, back = control.tf([1], below), control.tf([r1 * c1, 0], below)
    tau = 1 / (2 * pi * 1e6)
    gain = control.tf([1], [tau, 0]) if "gain" not in values else control.tf([2e5], [2e5 * tau, 1])
    closed = forward * control.feedback(gain, 1 - back)
    frequencies = np.geomspace(10, 1e7, 40)
    expected = closed(2j * pi * frequencies)
    assert [found.at_frequency(f) for f in frequencies] == pytest.approx(list(expected), rel=1e-9)
    stripped = control.minreal(closed, tol=1e-6, verbose=False)
    order = np.lexsort((stripped.poles().imag, abs(stripped.poles())))
    assert list(stripped.poles()[order]) == pytest.approx(list(found.poles), rel=1e-6)


def _lines(made: Circuit) -> list[str]:
    (derivation,) = analyse(made).derivations
    steps = (*derivation.equations, *derivation.elimination, *derivation.result)
    return [f"{write(line.left)} = {write(line.right)}" for s in steps for line in s.lines if line.left is not None]


def test_what_a_reader_sees() -> None:
    """The op amp is one line, without an unknown of its own, and elimination runs through it."""
    found = _lines(finite(circuit(NON_INVERTING, f"A: {GAIN}"), {"U1": BOTH}))
    assert "v(in) - v(m) = v(out)/a0_U1 + s*tau_U1*v(out)" in found
    assert "v(m) = R1*v(out)/(R1 + R2)" in found
    assert not any("inner" in line for line in found)
    inverting = _lines(finite(circuit(INVERTING, f"A: {GAIN}"), {"U1": {"gbw": "1e6"}}))
    assert "-v(m) = s*tau_U1*v(out)" in inverting


def test_the_signal_passes_the_inverting_input() -> None:
    """It moves, so that the chain has a link into it and the gain -a(s) out of it."""
    analysis = analyse(finite(circuit(INVERTING, f"A: {GAIN}"), {"U1": BOTH}))
    chain = analysis.derivations[0].chain
    assert chain is not None
    assert [(link.source, link.to) for link in chain.links] == [("in", "m"), ("m", "out")]
    assert chain.links[1].exact.ratio == ask(INVERTING, GAIN, BOTH).formula(f"-{OPEN}")
    assert [(loop.of, loop.sense) for loop in analysis.loops] == [("U1", "negative")]


def test_two_op_amps_make_an_inductance_with_loss() -> None:
    """The simulated inductance (A. Antoniou, Proc. IEE 116 (1969) 1838) is the ideal one again without losses."""
    parts = (
        resistor("R1", "in", "b") + resistor("R2", "b", "c") + resistor("R3", "c", "d") + capacitor("C4", "d", "e")
        + resistor("R5", "e", "gnd") + opamp("in", "c", "d", "U1") + opamp("e", "c", "b", "U2")
    )  # fmt: skip
    made = finite(circuit(parts, f"Z: {LOOK}"), {"U1": BOTH, "U2": BOTH},
                  ["a0_U1 -> inf", "a0_U2 -> inf", "tau_U1 -> 0", "tau_U2 -> 0"])  # fmt: skip
    asked = Asked(made)
    assert asked.reduced("Z").ratio == asked.formula("s*C4*R1*R3*R5/R2")
    assert asked.exact("Z").spectrum.at_frequency(1000).real > 0
    one = Asked(replace(made, statements=made.statements[:3]))
    assert one.reduced("Z").ratio != asked.formula("s*C4*R1*R3*R5/R2")
