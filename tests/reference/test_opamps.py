"""Circuits around ideal op amps, the Miller effect and bootstraps as the textbooks give them. All from memory."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.asking import Asked
from tests.networks import circuit
from tests.reference.book import Published, check

INPUT = 'Vs = { signal = "voltage", between = ["in", "gnd"] }\n'
GAIN = 'gain = { from = "in", to = "out" }'
LOOK = 'impedance = { at = "in" }'


def opamp(plus: str, minus: str, out: str, name: str = "U1") -> str:
    return f'{name} = {{ opamp = "ideal", plus = "{plus}", minus = "{minus}", out = "{out}" }}\n'


def resistor(name: str, first: str, second: str, value: str = "10 kΩ") -> str:
    return f'{name} = {{ resistor = "{value}", between = ["{first}", "{second}"] }}\n'


def capacitor(name: str, first: str, second: str, value: str = "10 nF") -> str:
    return f'{name} = {{ capacitor = "{value}", between = ["{first}", "{second}"] }}\n'


INVERTING = resistor("R1", "in", "m") + resistor("R2", "m", "out", "47 kΩ") + opamp("gnd", "m", "out")
FOLLOWED_TAP = (
    opamp("in", "o", "o")
    + resistor("R1", "o", "t")
    + resistor("R2", "t", "gnd", "90 kΩ")
    + opamp("t", "far", "far", "U2")
)
# The amplifier of gain -R2/R1 that Miller's theorem speaks of, with an input that draws no current.
AMPLIFIER = (
    opamp("in", "o", "o")
    + resistor("R1", "o", "m")
    + resistor("R2", "m", "out", "47 kΩ")
    + opamp("gnd", "m", "out", "U2")
)
SEDRA = "Sedra and Smith, Microelectronic Circuits, 7th edition"
HILL = "Horowitz and Hill, The Art of Electronics, 3rd edition"

CIRCUITS = [
    Published("inverting amplifier", f"{SEDRA}, section 2.2", INPUT + INVERTING, GAIN, "-R2/R1"),
    Published("inverting amplifier: input resistance", f"{SEDRA}, section 2.2", INVERTING, LOOK, "R1"),
    Published(
        "non-inverting amplifier", f"{SEDRA}, section 2.3",
        INPUT + opamp("in", "m", "out") + resistor("R1", "m", "gnd") + resistor("R2", "m", "out", "470 kΩ"),
        GAIN, "1 + R2/R1", ("R2 >> R1",), "R2/R1",
    ),
    Published(
        "voltage follower", f"{SEDRA}, section 2.3.4",
        INPUT + opamp("in", "out", "out") + resistor("RL", "out", "gnd"), GAIN, "1",
    ),
    Published(
        "integrator", f"{SEDRA}, section 2.5.2",
        INPUT + resistor("R1", "in", "m") + capacitor("C1", "m", "out") + opamp("gnd", "m", "out"),
        GAIN, "-1/(s*C1*R1)",
    ),
    Published(
        "integrator with a resistor across its capacitor", f"{SEDRA}, section 2.5.2",
        INPUT + resistor("R1", "in", "m") + capacitor("C1", "m", "out") + resistor("R2", "m", "out")
        + opamp("gnd", "m", "out"),
        GAIN, "-(R2/R1)/(1 + s*C1*R2)",
    ),
    Published(
        "differentiator", f"{SEDRA}, section 2.5.3",
        INPUT + capacitor("C1", "in", "m") + resistor("R1", "m", "out") + opamp("gnd", "m", "out"), GAIN, "-s*C1*R1",
    ),
    Published(
        "transimpedance amplifier", f"{HILL}, section 4.3.1",
        'Is = { signal = "current", between = ["in", "gnd"] }\n' + resistor("R1", "in", "out")
        + opamp("gnd", "in", "out"),
        'gain = { from = "Is", to = "out" }', "-R1",
    ),
    Published(
        "Miller's theorem: Z over 1 - K at the input", f"{SEDRA}, section 10.3.3",
        AMPLIFIER + resistor("Z1", "in", "out"), LOOK, "Z1/(1 + R2/R1)", ("R2 >> R1",), "Z1*R1/R2",
    ),
    Published(
        "Miller's theorem: a capacitance is multiplied", f"{SEDRA}, section 10.3.3",
        AMPLIFIER + capacitor("C1", "in", "out"), LOOK, "1/(s*C1*(1 + R2/R1))",
    ),
    Published(
        "bootstrapped resistor: R over 1 - A", f"{HILL}, section 2.4.3",
        FOLLOWED_TAP + resistor("R3", "in", "far"), LOOK, "R3/(1 - R2/(R1 + R2))", ("R2 >> R1",), "R3*R2/R1",
    ),
    Published(
        "negative resistance", f"{HILL}, section 6.2.4: the negative-impedance converter, -R3 R2/R1",
        opamp("in", "m", "o") + resistor("R1", "o", "m") + resistor("R2", "m", "gnd") + resistor("R3", "in", "o"),
        LOOK, "-R3*R2/R1",
    ),
    Published(
        "inductance simulator", "A. Antoniou, Proc. IEE 116 (1969) 1838; Sedra, section 17.6: L = C4 R1 R3 R5/R2",
        resistor("R1", "in", "b") + resistor("R2", "b", "c") + resistor("R3", "c", "d") + capacitor("C4", "d", "e")
        + resistor("R5", "e", "gnd") + opamp("in", "c", "d", "U1") + opamp("e", "c", "b", "U2"),
        LOOK, "s*C4*R1*R3*R5/R2",
    ),
]  # fmt: skip


@pytest.mark.parametrize("published", CIRCUITS, ids=str)
def test_circuit(published: Published) -> None:
    check(published)


def test_difference_amplifier() -> None:
    """v_out = (R2/R1)(v2 - v1) when R4/R3 = R2/R1 (Sedra, section 2.4.1)."""
    parts = (
        'V1 = { signal = "voltage", between = ["a", "gnd"] }\nV2 = { signal = "voltage", between = ["b", "gnd"] }\n'
        + resistor("R1", "a", "m") + resistor("R2", "m", "out", "47 kΩ") + resistor("R3", "b", "p", "20 kΩ")
        + resistor("R4", "p", "gnd", "94 kΩ") + opamp("p", "m", "out")
    )  # fmt: skip
    asked = Asked(circuit(parts, 'Aa: gain = { from = "a", to = "out" }', 'Ab: gain = { from = "b", to = "out" }'))
    assert asked.exact("Aa").ratio == asked.formula("-R2/R1")
    assert asked.exact("Ab").ratio == asked.formula("(R4/(R3 + R4))*(1 + R2/R1)")
    one, two = (asked.exact(name).spectrum.exactly_at(Fraction(0)) for name in ("Aa", "Ab"))
    assert (one, two) == (Fraction(-47, 10), Fraction(47, 10))


def test_instrumentation_amplifier() -> None:
    """Differential gain 1 + 2 R2/R1 of the first stage with equal resistors R2 (Sedra, section 2.4.2)."""
    parts = (
        'Vs = { signal = "voltage", between = ["a", "b"] }\n'
        + resistor("R1", "x", "y") + resistor("R2", "x", "o1", "24 kΩ") + resistor("R3", "y", "o2", "24 kΩ")
        + resistor("R4", "b", "gnd") + opamp("a", "x", "o1", "U1") + opamp("b", "y", "o2", "U2")
    )  # fmt: skip
    asked = Asked(
        circuit(parts, 'P: gain = { from = "a", to = "o1" }', 'M: gain = { from = "a", to = "o2" }',
                'B: bootstrap = { part = "R1", near = "x" }')
    )  # fmt: skip
    above, below = (asked.exact(name).ratio for name in "PM")
    # The input at b draws no current, so R4 holds it at zero; the whole signal is at a.
    assert above == asked.formula("1 + R2/R1")
    assert below == asked.formula("-R3/R1")
    assert asked.exact("B").spectrum.numerator == (0,)


def test_bootstrap_question() -> None:
    """A of the far end of a bootstrapped resistor, R2/(R1 + R2) here (Horowitz and Hill, section 2.4.3)."""
    parts = INPUT + FOLLOWED_TAP + resistor("R3", "in", "far")
    asked = Asked(circuit(parts, 'boot: bootstrap = { part = "R3", near = "in" }', f"Z: {LOOK}"))
    following = asked.exact("boot").ratio
    assert following == asked.formula("R2/(R1 + R2)")
    assert asked.exact("Z").spectrum.exactly_at(Fraction(0)) == 10_000 / (1 - Fraction(9, 10))
