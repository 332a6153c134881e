"""What each kind of question means: what is zeroed, lifted, and divided by what."""

from __future__ import annotations

from fractions import Fraction

import pytest

import derive
from derive.answers.exact import NoSolution, independent
from derive.answers.inquire import Unanswerable, inquire
from derive.circuit.records import Impedance, Question, ReturnRatio
from derive.network.records import Element
from tests.asking import Asked
from tests.networks import circuit

TWO_SIGNALS = """
V1 = { signal = "voltage", between = ["a", "gnd"] }
I1 = { signal = "current", between = ["c", "gnd"] }
R1 = { resistor = "1k", between = ["a", "b"] }
R2 = { resistor = "2k", between = ["b", "c"] }
R3 = { resistor = "3k", between = ["c", "gnd"] }
"""


def value(parts: str, ask: str) -> Fraction:
    return Asked(circuit(parts, f"X: {ask}")).exact("X").spectrum.exactly_at(Fraction(0))


@pytest.mark.parametrize(
    ("ask", "expected"),
    [
        ('gain = { from = "a", to = "c" }', Fraction(1, 2)),
        ('gain = { from = "I1", to = "c" }', Fraction(1500)),
        ('gain = { from = "I1", to = "b" }', Fraction(500)),
        # The ratio in place: with V1 alone V(c)/V(b) = R3/(R2 + R3).
        # From the node that a signal current enters, a gain is per ampere.
        ('gain = { from = "b", to = "c", driven_by = "V1" }', Fraction(3, 5)),
        ('gain = { from = "c", to = "b", driven_by = "I1" }', Fraction(500)),
        ('impedance = { at = "c" }', Fraction(1500)),
        ('impedance = { at = "b" }', Fraction(5000, 6)),
        # Looking in across the source lifts it; R1 then hangs on the rest of the chain.
        ('impedance = { at = "a" }', Fraction(6000)),
        ('impedance = { at = "c", without = ["V1"] }', Fraction(3000)),
        ('impedance = { at = "c", without = ["R3"] }', Fraction(3000)),
        ('impedance = { between = ["b", "c"] }', Fraction(4000, 3)),
        ('impedance = { between = ["c", "b"], without = ["R2"] }', Fraction(4000)),
        ('bootstrap = { part = "R2", near = "b", driven_by = "V1" }', Fraction(3, 5)),
        ('bootstrap = { part = "R1", near = "b", driven_by = "I1" }', Fraction(0)),
    ],
)
def test_value(ask: str, expected: Fraction) -> None:
    assert value(TWO_SIGNALS, ask) == expected


def test_signs_of_currents() -> None:
    """A signal current enters its first node; the current of a transconductance leaves its first node."""
    parts = 'Is = { signal = "current", between = ["a", "gnd"] }\nR1 = { resistor = "50 Ω", between = ["a", "gnd"] }\n'
    assert value(parts, 'gain = { from = "Is", to = "a" }') == 50
    link = (
        'Vs = { signal = "voltage", between = ["a", "gnd"] }\nR1 = { resistor = "50 Ω", between = ["b", "gnd"] }\n'
        'G1 = { transconductance = "2 mS", from = ["b", "gnd"], sense = ["a", "gnd"] }\n'
    )
    assert value(link, 'gain = { from = "a", to = "b" }') == Fraction(-1, 10)


def test_rails_are_ground() -> None:
    """Supplies carry no signal; a battery joins two nodes into one."""
    parts = (
        'Vs = { signal = "voltage", between = ["a", "gnd"] }\nVcc = { supply = "9 V", at = "vcc" }\n'
        'R1 = { resistor = "1k", between = ["a", "b"] }\nR2 = { resistor = "2k", between = ["b", "vcc"] }\n'
        'B1 = { supply = "3 V", between = ["b", "c"] }\nR3 = { resistor = "2k", between = ["c", "gnd"] }\n'
    )
    assert value(parts, 'gain = { from = "a", to = "c" }') == Fraction(1, 2)
    assert value(parts, 'impedance = { between = ["c", "vcc"] }') == 500


def test_parallel_shorts_do_no_harm() -> None:
    """Two signal voltages between the same nodes cannot be; two zeroed through a battery can."""
    shorts = [
        Element(f"X{k}", "", "unity", edge, edge)
        for k, edge in enumerate([("a", "b"), ("b", "c"), ("c", "a"), ("a", "b")])
    ]
    assert independent(shorts) == shorts[:2]
    nullor = Element("U1", "", "unity", ("a", "gnd"), ("b", "c"))
    assert independent([*shorts, nullor]) == [*shorts[:2], nullor]


def test_questions_without_meaning() -> None:
    network = Asked(circuit(TWO_SIGNALS, 'Z: impedance = { at = "b" }')).network
    with pytest.raises(Unanswerable, match="acts on nothing"):
        inquire(Question("T", ReturnRatio("gm_Q9"), ()), network)
    with pytest.raises(Unanswerable, match="one node"):
        inquire(Question("Z", Impedance("gnd", "gnd", ()), ()), network)


@pytest.mark.parametrize(
    "ask", ['impedance = { at = "c", without = ["R2", "R3"] }', 'impedance = { at = "a", without = ["R1"] }']
)
def test_a_port_that_nothing_touches_has_no_finite_impedance(ask: str) -> None:
    with pytest.raises(NoSolution):
        value(TWO_SIGNALS, ask)


def test_the_public_road() -> None:
    """read_text, answer: as the package's own docstring has it; a question that is not there is a KeyError."""
    made = circuit(TWO_SIGNALS, 'Z: impedance = { at = "c" }')
    exact = derive.answer(made, "Z")
    assert exact.inquiry.unit == "Ω"
    assert exact.spectrum.at_frequency(Fraction(1000)) == 1500
    with pytest.raises(KeyError):
        derive.answer(made, "Y")
