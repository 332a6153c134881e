"""Random networks with op amps of finite gain against nodal equations written down in the tests, exactly: gains,
impedances, return ratios by their definition, limits; and the plain nodal solution in floating point.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import pi
from random import Random

import pytest

from derive.answers.exact import NoSolution, answer, spectrum
from derive.answers.inquire import return_ratio
from derive.answers.records import Inquiry
from derive.errors import DescriptionError
from derive.network.opamp import PI
from derive.opinion.numeric import solve_nodal_matrix
from tests.asking import Asked
from tests.network.finite import finite
from tests.networks import Piece, circuit, random_active
from tests.nodal import Equations, admittance, determinant, equations, voltages_exactly

MIXES = [("opamp",), ("opamp", "opamp"), ("opamp", "bjt"), ("jfet", "opamp", "transconductance")]
CASES = [(mix, seed) for mix in MIXES for seed in range(6)]
QUESTIONS = (
    'A: gain = { from = "n1", to = "n3" }', 'inner: gain = { from = "n2", to = "n3" }',
    'Z: impedance = { at = "n3" }', 'Zd: impedance = { between = ["n2", "n3"] }',
)  # fmt: skip
Values = dict[str, dict[str, str]]
HUGE = Fraction(10) ** 60


def _values(source: Random) -> dict[str, str]:
    gain = str(source.randrange(2, 10**5))
    gbw = str(source.randrange(10**3, 10**6))
    return source.choice([{"gain": gain}, {"gbw": gbw}, {"gain": gain, "gbw": gbw}])


def _asked(mix: tuple[str, ...], seed: int) -> tuple[Random, list[Piece], Values, Asked]:
    source = Random(f"finite {mix} {seed}")
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
        values = {piece.name: _values(source) for piece in pieces if piece.kind == "opamp"}
        try:
            return source, pieces, values, Asked(finite(circuit(pieces, *QUESTIONS), values))
        except DescriptionError:
            continue


def _equations(pieces: list[Piece], values: Values, s: Fraction, name: str, one: dict[str, Fraction]) -> Equations:
    """The equations of ideal op amps, with V+ - V- times ``one`` less V_out (1/a0 + s tau) in an op amp's row."""
    inject = {"Z": [("n3", "gnd", Fraction(1))], "Zd": [("n2", "n3", Fraction(1))]}.get(name, [])
    found = equations(pieces, lambda branch: admittance(branch, s), inject, volts=0 if inject else 1)
    held = [p for p in pieces if p.kind == "opamp" or p.variety == "voltage"]
    for row, piece in enumerate(held, start=len(found.place)):
        if piece.kind != "opamp":
            continue
        loss = 1 / Fraction(values[piece.name]["gain"]) if "gain" in values[piece.name] else Fraction(0)
        if "gbw" in values[piece.name]:
            loss += s / (2 * PI * Fraction(values[piece.name]["gbw"]))
        found.matrix[row] = [one.get(piece.name, 1) * entry for entry in found.matrix[row]]
        found.matrix[row][found.place[piece.nodes[2]]] -= loss
    return found


def _expected(volts: dict[str, Fraction], name: str) -> Fraction | None:
    match name:
        case "A":
            return volts["n3"] / volts["n1"]
        case "inner":
            return volts["n3"] / volts["n2"] if volts["n2"] else None
        case "Z":
            return volts["n3"]
        case _:
            return volts["n2"] - volts["n3"]


def _value(inquiry: Inquiry, numbers: dict[str, Fraction], s: Fraction) -> Fraction | None:
    try:
        return spectrum(inquiry, numbers).exactly_at(s)
    except (NoSolution, ZeroDivisionError):
        return None


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_answers(mix: tuple[str, ...], seed: int) -> None:
    source, pieces, values, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**6))
    compared = 0
    for name, inquiry in asked.inquiries.items():
        volts = voltages_exactly(_equations(pieces, values, s, name, {}))
        expected = None if volts is None else _expected(volts, name)
        if expected is None:
            continue
        found = asked.exact(name)
        assert found.spectrum.exactly_at(s) == expected
        assert found.ratio is not None
        assert found.ratio.value(asked.ground.numbers, s) == expected
        point = 2j * pi * 3000
        plain = solve_nodal_matrix(inquiry, asked.ground.numbers, point)
        exactly = complex(found.spectrum.at(point))
        assert abs(plain.value - exactly) <= 1e-6 * abs(exactly) + 10 * plain.error
        compared += 1
    assert compared >= 2


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_return_ratio_by_its_definition(mix: tuple[str, ...], seed: int) -> None:
    """T = D1/D0 with D = D0 + w D1 and w the number that multiplies V+ - V-, which is one."""
    source, pieces, values, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**6))
    if "U1" not in {element.name for element in asked.network.elements}:
        return
    without, whole = (
        determinant(_equations(pieces, values, s, "A", {"U1": Fraction(w)}).matrix) for w in (0, 1)
    )  # fmt: skip
    inquiry = return_ratio("T", asked.network, "U1")
    if without == 0:
        with pytest.raises(NoSolution):
            spectrum(inquiry, asked.ground.numbers)
        return
    found = answer(inquiry, asked.ground.numbers, asked.ground.ring)
    assert found.spectrum.exactly_at(s) == (whole - without) / without
    assert found.ratio is not None
    assert found.ratio.value(asked.ground.numbers, s) == (whole - without) / without


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_limits(mix: tuple[str, ...], seed: int) -> None:
    """A deleted loss is an endless gain or no delay; a contracted one no gain; without losses an op amp is ideal."""
    source, pieces, _, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**5))
    numbers = dict(asked.ground.numbers)
    compared = 0
    for inquiry in asked.inquiries.values():
        for element in inquiry.network.elements:
            if element.law not in ("ratio", "delay"):
                continue
            for change, amount in (("delete", 1 / HUGE), ("contract", HUGE)):
                limit = replace(inquiry, network=getattr(inquiry.network, change)(element.name))
                exactly = _value(limit, numbers, s)
                extreme = amount if element.law == "delay" else 1 / amount
                nearly = _value(inquiry, {**numbers, element.name: extreme}, s)
                if exactly is not None:
                    assert nearly is not None
                    assert abs(nearly - exactly) <= Fraction(1, 10**20) * max(abs(exactly), 1)
                    compared += 1
    assert compared
    losses = [e.name for e in asked.network.elements if e.law in ("ratio", "delay")]
    ideal = Asked(circuit(pieces, *QUESTIONS))
    for name, inquiry in asked.inquiries.items():
        without = replace(inquiry, network=inquiry.network.delete(*losses))
        assert _value(without, numbers, s) == _value(ideal.inquiries[name], numbers, s)


def test_equations_of_the_tests_can_fail() -> None:
    """Another gain is seen."""
    _, pieces, values, asked = _asked(("opamp",), 0)
    changed = {name: {"gain": "1.5", **{k: v for k, v in v.items() if k != "gain"}} for name, v in values.items()}
    volts = voltages_exactly(_equations(pieces, changed, Fraction(1000), "Z", {}))
    assert volts is not None
    assert asked.exact("Z").spectrum.exactly_at(Fraction(1000)) != volts["n3"]
