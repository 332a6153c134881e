"""Random active networks against nodal equations written down in the tests, exactly at a random real s and in
double precision at the spot: gains, impedances and return ratios.
"""

from __future__ import annotations

from fractions import Fraction
from math import pi
from random import Random

import pytest

from derive.answers.exact import NoSolution
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.nodal import Branch, Equations, admittance, determinant, equations, voltages, voltages_exactly

MIXES = [
    ("transconductance",), ("bjt",), ("jfet",), ("opamp",), ("bjt", "bjt"), ("bjt", "jfet"), ("opamp", "bjt"),
    ("transconductance", "transconductance", "opamp"), ("jfet", "transconductance"), ("opamp", "opamp"),
]  # fmt: skip
CASES = [(mix, seed) for mix in MIXES for seed in range(5)]
QUESTIONS = (
    'A: gain = { from = "n1", to = "n3" }', 'inner: gain = { from = "n2", to = "n3" }',
    'Z: impedance = { at = "n3" }', 'Zd: impedance = { between = ["n2", "n3"] }',
    'boot: bootstrap = { part = "R2", near = "n2" }',
)  # fmt: skip


def _asked(mix: tuple[str, ...], seed: int) -> tuple[Random, list[Piece], Asked]:
    """A network with a signal voltage at n1; networks that the reader refuses are passed over."""
    source = Random(f"active {mix} {seed}")
    while True:
        pieces = random_active(source, 4, mix)
        pieces.insert(0, Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"))
        try:
            return source, pieces, Asked(circuit(pieces, *QUESTIONS, about='spot = "3 kHz"'))
        except DescriptionError:
            continue


def _solved(pieces: list[Piece], s: Fraction, name: str, at: str | None = None) -> Fraction | None:
    """The answer by rational elimination; None where it has no finite value."""
    inject = {"Z": [("n3", "gnd", Fraction(1))], "Zd": [("n2", "n3", Fraction(1))]}.get(name, [])
    driven = equations(pieces, lambda branch: admittance(branch, s), inject, volts=0 if inject else 1)
    volts = voltages_exactly(driven)
    if volts is None:
        return None
    match name:
        case "A":
            return volts["n3"] / volts["n1"]
        case "inner" | "boot":
            above = volts["n3"] if at is None else volts[at]
            return above / volts["n2"] if volts["n2"] else None
        case "Z":
            return volts["n3"]
        case _:
            return volts["n2"] - volts["n3"]


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_answers_agree_with_nodal_equations(mix: tuple[str, ...], seed: int) -> None:
    source, pieces, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**6))
    # R2 joins n2 to its branch of the tree; its far end is its other node.
    far = next(node for piece in pieces if piece.name == "R2" for node in piece.nodes if node != "n2")
    for question in asked.circuit.questions:
        name = question.name
        expected = _solved(pieces, s, name, far if name == "boot" else None)
        if expected is None:
            with pytest.raises(NoSolution):
                asked.exact(name)
            continue
        found = asked.exact(name)
        assert found.spectrum.exactly_at(s) == expected, name
        assert found.ratio is not None
        assert found.ratio.value(asked.ground.numbers, s) == expected, name


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_answers_agree_at_the_spot(mix: tuple[str, ...], seed: int) -> None:
    _, pieces, asked = _asked(mix, seed)
    s = 2j * pi * 3000
    for name, inject, volts in (("A", [], 1), ("Z", [("n3", "gnd", 1)], 0)):
        found = equations(pieces, lambda branch: admittance(branch, s), inject, volts)
        if (
            voltages_exactly(equations(pieces, lambda branch: admittance(branch, Fraction(7919)), inject, volts))
            is None
        ):
            continue
        expected = voltages(found)["n3"]
        assert asked.exact(name).spectrum.at_frequency(Fraction(3000)) == pytest.approx(expected, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("mix", [("bjt",), ("transconductance",), ("jfet", "bjt"), ("opamp", "jfet")])
def test_return_ratio_by_its_definition(mix: tuple[str, ...], seed: int) -> None:
    """T = w D1/D0 with D = D0 + w D1, the nodal determinant as a function of one transconductance w."""
    source, pieces, _ = _asked(mix, seed)
    symbol = "G1" if mix[0] == "transconductance" else {"bjt": "gm_Q1", "jfet": "gm_J1"}[mix[-1]]
    asked = Asked(circuit(pieces, f'T: return_ratio = {{ of = "{symbol}" }}'))
    s = Fraction(source.randrange(1, 10**6))

    def value(weight: Fraction) -> Fraction:
        def weigh(branch: Branch) -> Fraction:
            return weight if branch.name == symbol else admittance(branch, s)

        return determinant(equations(pieces, weigh).matrix)

    if symbol not in {element.name for element in asked.network.elements}:
        return
    without, slope = value(Fraction(0)), value(Fraction(1)) - value(Fraction(0))
    if without == 0:
        with pytest.raises(NoSolution):
            asked.exact("T")
        return
    expected = asked.ground.numbers[symbol] * slope / without
    found = asked.exact("T")
    assert found.spectrum.exactly_at(s) == expected
    assert found.ratio is not None
    assert found.ratio.value(asked.ground.numbers, s) == expected


def test_equations_of_the_tests_can_fail() -> None:
    """The second opinion is not blind: a wrong value is seen."""
    _, pieces, asked = _asked(("bjt",), 0)
    wrong = [
        Piece(p.kind, p.name, p.nodes, {k: v * 2 for k, v in p.values.items()}) if p.name == "R3" else p for p in pieces
    ]
    s = Fraction(1000)
    found: Equations = equations(wrong, lambda branch: admittance(branch, s), [("n3", "gnd", Fraction(1))])
    volts = voltages_exactly(found)
    assert volts is not None
    assert asked.exact("Z").spectrum.exactly_at(s) != volts["n3"]
