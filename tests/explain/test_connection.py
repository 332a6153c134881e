"""Connections that are cut, against nodal equations of the changed network and against what is told of them."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from derive.derivation.analyse import Prepared, prepare
from derive.explain.connection import corners, cut
from derive.explain.effects import effects
from derive.explain.loops import find_loops
from derive.explain.rewired import connections, rewired
from tests.explain.random_loops import random_loop
from tests.networks import Piece, circuit
from tests.nodal import Branch, admittance, equations, voltages

STAGE = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Rs = { resistor = "1 kΩ", between = ["in", "b"] }
Q1 = { bjt = "npn", base = "b", collector = "c", emitter = "e", beta = 200, ic = "1 mA" }
Rc = { resistor = "4.7 kΩ", between = ["c", "vcc"] }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
Ce = { capacitor = "100 µF", between = ["e", "gnd"] }
Vcc = { supply = "12 V", at = "vcc" }
"""
ASKED = (
    'A: gain = { from = "in", to = "c" }', 'Zin: impedance = { at = "b", without = ["Rs"] }',
    'byp: connection = { part = "Ce", end = "e" }',
)  # fmt: skip
PINS = ("first", "second", "sense_first", "sense_second")


def held(pieces: list[Piece], part: str, pin: str) -> list[Piece]:
    """The pieces with one end moved to ground; without a pin the piece is taken out."""
    if not pin:
        return [p for p in pieces if p.name != part]
    return [
        replace(p, nodes=tuple("gnd" if PINS[k] == pin else node for k, node in enumerate(p.nodes)))
        if p.name == part
        else p
        for p in pieces
    ]


def returned(pieces: list[Piece], of: str, s: complex) -> complex:
    """T of a source by nodal equations: it is taken out, an ampere flows against it, what senses it is read."""
    piece = next(p for p in pieces if p.name == of)
    rest = [p for p in pieces if p.name != of]
    out, back, plus, minus = piece.nodes

    def weigh(branch: Branch) -> complex:
        return admittance(branch, s)

    found = voltages(equations(rest, weigh, [(out, back, 1.0)]))
    volts = {"gnd": 0j, **found}
    return float(next(iter(piece.values.values()))) * (volts.get(plus, 0) - volts.get(minus, 0))


@pytest.mark.parametrize("seed", range(10))
def test_every_connection_against_nodal_equations_of_the_changed_network(seed: int) -> None:
    pieces, prepared = random_loop(seed)
    loop = find_loops(prepared, ()).main
    assert loop is not None
    found = effects(prepared, loop.of)
    s = 2j * pi * float(prepared.ground.spot)
    assert found.effects
    for effect in found.effects:
        changed = held(pieces, effect.part, effect.pin)
        for watched, value in zip(found.watched, effect.values, strict=True):
            if value is None:
                continue
            inject = {"A": ("n1", "gnd", 1.0), "Z": ("n3", "gnd", 1.0)}.get(watched.name)
            if inject is None:
                other = returned(changed, loop.of, s)
            else:
                solved = voltages(equations(changed, lambda branch: admittance(branch, s), [inject]))
                other = solved["n4" if watched.name == "A" else "n3"]
            assert value == pytest.approx(other, rel=1e-6, abs=1e-12 * abs(watched.value))


@pytest.mark.parametrize("seed", range(6))
def test_an_asked_connection_says_what_the_table_says(seed: int) -> None:
    pieces, whole = random_loop(seed)
    loop = find_loops(whole, ()).main
    assert loop is not None
    part, pin = list(connections(whole.circuit, whole.network))[seed]
    end = f'pin = "{part}.{pin}"' if pin else f'part = "{part}"'
    prepared = prepare(
        circuit(
            pieces,
            'A: gain = { from = "Is", to = "n4" }',
            'Z: impedance = { at = "n3" }',
            f'cut: connection = {{ {end}, loop = "{loop.of}" }}',
        )
    )
    found = cut(prepared, prepared.circuit.connections[0])
    row = next((e for e in effects(prepared, loop.of).effects if (e.part, e.pin) == (part, pin)), None)
    if row is None:
        return
    assert found.loop is not None
    for value, compared in zip(row.values, (found.loop.answer, *found.answers), strict=True):
        if value is not None:
            assert compared.cut.spot == pytest.approx(value, rel=1e-6)
    assert found.loop.adds == row.adds


def asked() -> Prepared:
    return prepare(circuit(STAGE, *ASKED))


def test_the_bypass_of_an_emitter_by_the_textbook() -> None:
    """With the bypass gm·Rc, without it about Rc/(Re + 1/gm): the connection takes negative feedback away."""
    prepared = asked()
    found = cut(prepared, prepared.circuit.connections[0], "gm_Q1")
    gain, impedance = found.answers
    gm, beta = 1e-3 / 0.025693, 200.0
    rpi = beta / gm
    assert abs(gain.cut.spot or 0) == pytest.approx(beta * 4.7e3 / (1e3 + rpi + (beta + 1) * 1e3), rel=1e-3)
    assert impedance.cut.spot == pytest.approx(rpi + (beta + 1) * 1e3, rel=1e-3)
    assert abs(gain.whole.spot or 0) == pytest.approx(beta * 4.7e3 / (1e3 + rpi), rel=5e-3)
    assert found.loop is not None
    assert found.loop.adds == "positive"
    assert found.loop.answer.cut.spot == pytest.approx(beta * 1e3 / (1e3 + rpi + 1e3), rel=1e-3)


def test_only_signals_are_cut() -> None:
    """Every symbol keeps its number, also where a bias point was solved and the pin would upset it."""
    solved = STAGE.replace('ic = "1 mA"', 'is = "20 fA", va = "80 V"') + (
        'Rb = { resistor = "100 kΩ", between = ["b", "vcc"] }\nR2 = { resistor = "20 kΩ", between = ["b", "gnd"] }\n'
    )
    prepared = prepare(circuit(solved, ASKED[0]))
    whole = prepared.network.values()
    for part, pin in connections(prepared.circuit, prepared.network):
        without = rewired(prepared, part, pin).values()
        assert {name: value for name, value in without.items() if name in whole} == {
            name: value for name, value in whole.items() if pin or name != part
        }


def test_what_the_old_wiring_shorted_out_comes_to_life() -> None:
    """A diode-connected transistor whose base is held: its collector junction's capacitance is no loop any more."""
    parts = """
Is = { signal = "current", between = ["gnd", "c"] }
Q1 = { bjt = "npn", base = "c", collector = "c", emitter = "gnd", beta = 200, ic = "1 mA", cmu = "3 pF", va = "80 V" }
Rl = { resistor = "1 kΩ", between = ["c", "gnd"] }
"""
    prepared = prepare(circuit(parts, 'Z: impedance = { at = "c" }', 'k: connection = { pin = "Q1.base" }'))
    assert "Cmu_Q1" not in [e.name for e in prepared.network.elements]
    found = cut(prepared, prepared.circuit.connections[0])
    ro, rl, s = 80 / 1e-3, 1e3, 2j * pi * 1e3
    assert found.answers[0].cut.spot == pytest.approx(1 / (1 / rl + 1 / ro + s * 3e-12), rel=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_corners_are_where_the_gain_has_fallen_by_three_decibels(seed: int) -> None:
    _, prepared = random_loop(seed)
    from derive.answers.exact import spectrum
    from derive.answers.inquire import inquire

    gain = spectrum(inquire(prepared.circuit.questions[0], prepared.network), prepared.ground.numbers)
    spot = prepared.ground.spot
    size = abs(gain.at_frequency(spot))
    low, high = corners(gain, spot)
    for corner in (low, high):
        if corner is not None:
            assert abs(gain.at_frequency(corner)) == pytest.approx(size / np.sqrt(2), rel=1e-9)
    if high is not None:
        between = np.geomspace(float(spot), high * 0.999, 50)
        assert np.all(np.abs(gain.sample(between)) > size / np.sqrt(2) * (1 - 1e-9))
