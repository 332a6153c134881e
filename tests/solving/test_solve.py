"""Parts solved for: closed forms of textbooks, random networks, and the bias following."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from derive.answers.anew import Answers
from derive.answers.exact import spectrum
from derive.circuit.changes import with_values
from derive.derivation.analyse import derive_all, inquiries, prepare
from derive.derivation.practice import practise
from derive.description.reader import read_text
from derive.expression.text import write
from derive.solving.records import Solved
from derive.solving.solve import Formulas, Unsolvable, solve
from tests.networks import Maker, circuit, random_active

STAGE = """
[parts]
Vs  = { signal = "voltage", between = ["src", "gnd"], offset = "1.15 V" }
Rs  = { resistor = "2.2 kΩ", between = ["src", "base"] }
Q1  = { bjt = "npn", base = "base", collector = "out", emitter = "e", beta = 250, va = "80 V" }
Re  = { resistor = "470 Ω", between = ["e", "gnd"] }
Rc  = { resistor = "4.7 kΩ", between = ["out", "vcc"] }
Vcc = { supply = "12 V", at = "vcc" }
[[question]]
name = "A"
gain = { from = "src", to = "out" }
[[question]]
name = "T"
return_ratio = { of = "gm_Q1" }
"""


def solved(text: str) -> list[Solved]:
    """All parts that a description solves for."""
    return list(practise(derive_all(prepare(read_text(text, "test.toml")))).solved)


def test_a_divider() -> None:
    """R2 = R1 A/(1 - A)."""
    (found,) = solved(
        """
solve = { part = "R2", so_that = "A", equals = 0.3 }
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "7 kΩ", between = ["in", "out"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""
    )
    assert found.fixed == pytest.approx((3000.0,), rel=1e-12)
    assert found.inverse is not None
    assert write(found.inverse.tree) == "R1/(1/A - 1)"
    assert not found.follows
    assert [(g.role, g.value) for g in found.given[:1]] == [("described", 1000)]
    assert next(g.value for g in found.given if g.role == "nearest") == 3000


@pytest.mark.parametrize(
    ("equals", "quantity", "expected"),
    [
        # |H| of an RC low-pass is 1/√2 where R = 1/(2π f C): 1591.549… Ω at 10 kHz and 10 nF.
        ('"-3.010299956639812 dB"', "magnitude", 1591.5494309189535),
        ('"-45°"', "phase", 1591.5494309189535),
        # tan 60° = √3.
        ('"-60°"', "phase", 2756.644477108960),
    ],
)
def test_a_low_pass(equals: str, quantity: str, expected: float) -> None:
    (found,) = solved(
        f"""
[about]
spot = "10 kHz"
[parts]
Vs = {{ signal = "voltage", between = ["in", "gnd"] }}
R1 = {{ resistor = "1 kΩ", between = ["in", "out"] }}
C1 = {{ capacitor = "10 nF", between = ["out", "gnd"] }}
[[question]]
name = "A"
gain = {{ from = "in", to = "out" }}
[[solve]]
part = "R1"
so_that = "A"
quantity = "{quantity}"
equals = {equals}
series = "E96"
"""
    )
    assert found.solved == pytest.approx((expected,), rel=1e-9)
    assert found.inverse is None
    assert found.lacking == ("frequency" if quantity == "magnitude" else "quantity")
    if expected < 2000:
        assert found.given[-2].value == 1580


@pytest.mark.parametrize(("quantity", "unit"), [("resistance", "Ω"), ("capacitance", "F")])
def test_the_parallel_pair_of_an_impedance(quantity: str, unit: str) -> None:
    """R1 ∥ Rx ∥ C1 ∥ Cx: the part itself is what it is solved for, less what lies beside it."""
    wanted = "400 Ω" if unit == "Ω" else "30 nF"
    part = "Rx" if unit == "Ω" else "Cx"
    (found,) = solved(
        f"""
[parts]
R1 = {{ resistor = "1 kΩ", between = ["a", "gnd"] }}
Rx = {{ resistor = "3 kΩ", between = ["a", "gnd"] }}
C1 = {{ capacitor = "10 nF", between = ["a", "gnd"] }}
Cx = {{ capacitor = "1 nF", between = ["a", "gnd"] }}
[[question]]
name = "Z"
impedance = {{ at = "a" }}
[[solve]]
part = "{part}"
so_that = "Z"
quantity = "{quantity}"
equals = "{wanted}"
"""
    )
    expected = 1 / (1 / 400 - 1 / 1000) if unit == "Ω" else 20e-9
    assert found.solved == pytest.approx((expected,), rel=1e-9)


@pytest.mark.parametrize("seed", range(15))
def test_random_networks_give_what_was_wanted(seed: int) -> None:
    """A part of a random network is moved; solving for the answer that it then gives finds it again."""
    source = Random(seed)
    maker = Maker(source)
    maker.pieces = random_active(source, 4, ("transconductance", "bjt"))
    maker.signal("current", "n1")
    part = source.choice([p for p in maker.pieces if p.kind in ("resistor", "capacitor", "transconductance")])
    plain = circuit(maker.pieces, 'Z: impedance = { at = "n1" }')
    prepared = prepare(plain)
    (inquiry,) = inquiries(prepared)
    factor = Fraction(source.randrange(20, 300), 100)
    key = {"resistor": "resistance", "capacitor": "capacitance", "transconductance": "transconductance"}[part.kind]
    if part.name not in prepared.ground.numbers:
        return
    moved = {**prepared.ground.numbers, part.name: prepared.ground.numbers[part.name] * factor}
    wanted = abs(spectrum(inquiry, moved).at_frequency(1000))
    text = f'[[solve]]\npart = "{part.name}"\nso_that = "Z"\nequals = {wanted!r}\n'
    text = plain.source.text + text
    again = read_text(text, "test.toml")
    try:
        found = solve(Answers(again, None), prepared.network, again.wanted.targets[0], Formulas(None))
    except Unsolvable:
        return
    if abs(wanted / abs(spectrum(inquiry, prepared.ground.numbers).at_frequency(1000)) - 1) < 1e-6:
        return
    value = float(plain.parts[part.name].values[key].value * factor)
    assert any(one == pytest.approx(value, rel=1e-4) for one in found.fixed)
    for one in found.fixed:
        given = with_values(plain, {(part.name, key): Fraction(one)})
        numbers = {**prepared.ground.numbers, part.name: given.parts[part.name].values[key].value}
        assert abs(spectrum(inquiry, numbers).at_frequency(1000)) == pytest.approx(wanted, rel=1e-6)


def test_the_bias_follows() -> None:
    """The whole program with the value that was found gives what was wanted; at fixed bias it would not."""
    (found,) = solved(STAGE + '[[solve]]\npart = "Re"\nso_that = "A"\nequals = -12\n')
    assert found.follows
    assert found.value is not None

    def gain(value: float) -> float:
        prepared = prepare(read_text(STAGE.replace("470 Ω", f"{value:.12f} Ω"), "test.toml"))
        return spectrum(inquiries(prepared)[0], prepared.ground.numbers).at_frequency(1000).real

    assert gain(found.value) == pytest.approx(-12, rel=1e-8)
    assert abs(gain(found.fixed[0]) + 12) > 0.1
    fixed = next(given for given in found.given if given.role == "fixed")
    assert fixed.reading == pytest.approx(gain(found.fixed[0]), rel=1e-8)
    assert found.inverse is not None
    assert found.inverse.exact
    assert found.inverse.value == pytest.approx(found.fixed[0], rel=1e-9)
    assert {"gm_Q1", "rpi_Q1"} <= {moved.name for moved in found.moved}


def test_what_cannot_be_had() -> None:
    (found,) = solved(STAGE + '[[solve]]\npart = "Rc"\nso_that = "T"\nequals = 20\n')
    assert found.value is None
    assert found.reached is not None
    assert found.reached[1] < 20
    assert found.lacking == "negative"
