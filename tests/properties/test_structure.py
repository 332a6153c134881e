"""Structures of random circuits: stage chains multiply up, budgets add up, both as the nodal equations say."""

from __future__ import annotations

from fractions import Fraction
from math import pi, prod
from random import Random

import pytest

from derive.answers.exact import NoSolution
from derive.derivation.budget import budget
from derive.derivation.chain import chain
from derive.derivation.solution import Solution
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.nodal import admittance, branches, equations, voltages, voltages_exactly
from tests.stating import random_statements

MIXES = [("bjt",), ("jfet",), ("bjt", "jfet"), ("transconductance", "bjt")]
CASES = [(mix, seed) for mix in MIXES for seed in range(5)]
SPOT = 3000.0


def _asked(mix: tuple[str, ...], seed: int) -> tuple[Random, list[Piece], Asked]:
    source = Random(f"structure {mix} {seed}")
    asks = (
        'A: gain = { from = "n1", to = "n4" }',
        'Z: impedance = { at = "n4" }',
        'Zd: impedance = { between = ["n3", "n4"] }',
    )
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 4, mix)]
        try:
            asked = Asked(circuit(pieces, *asks, assume=random_statements(pieces, source, 2), about='spot = "3 kHz"'))
            if all(asked.exact(name).ratio for name in ("A", "Z", "Zd")):
                return source, pieces, asked
        except (DescriptionError, NoSolution):
            continue


def _solution(asked: Asked, name: str) -> Solution:
    return Solution(asked.inquiries[name], asked.ground.numbers, asked.ground.ring, asked.ground.spot)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_chains_multiply_up(mix: tuple[str, ...], seed: int) -> None:
    """Each link is a ratio of two node voltages; their product is the gain, exactly at a random real s."""
    source, pieces, asked = _asked(mix, seed)
    exact = asked.exact("A")
    found = chain(_solution(asked, "A"), asked.style, asked.statements, asked.ground, exact.spectrum)
    if found is None:
        return
    s = Fraction(source.randrange(1, 10**6))
    volts = voltages_exactly(equations(pieces, lambda branch: admittance(branch, s), volts=1))
    assert volts is not None
    assert prod(link.exact.spectrum.exactly_at(s) for link in found.links) == volts["n4"]
    assert [link.source for link in found.links[1:]] == [link.to for link in found.links[:-1]]
    for link in found.links:
        assert link.exact.spectrum.exactly_at(s) == volts[link.to] / volts[link.source]
    if found.product is not None:
        told = [link.told for link in found.links]
        assert found.product.exactly_at(s) == prod(form.exactly_at(s) for form in told if form is not None)


@pytest.mark.parametrize(("mix", "seed"), CASES)
@pytest.mark.parametrize("name", ["Z", "Zd"])
def test_budgets_add_up(mix: tuple[str, ...], seed: int, name: str) -> None:
    """Shares add to one; each is the current that leaves the node through its element, per ampere into the port."""
    _, pieces, asked = _asked(mix, seed)
    found = budget(_solution(asked, name), asked.style)
    assert found is not None
    assert sum(share.share for share in found.shares) == pytest.approx(1, rel=1e-9)
    s = 2j * pi * SPOT
    port = ("n4", "gnd") if name == "Z" else ("n3", "n4")
    volts = voltages(equations(pieces, lambda branch: admittance(branch, s), [(*port, 1)]))
    across = volts[port[0]] - volts[port[1]]
    touching = {b.name: b for b in branches(pieces) if port[0] in b.current and b.current[0] != b.current[1]}
    assert {share.symbol for share in found.shares} == set(touching)
    for share in found.shares:
        branch = touching[share.symbol]
        sign = 1 if branch.current[0] == port[0] else -1
        sensed = volts[branch.sense[0]] - volts[branch.sense[1]]
        assert share.share == pytest.approx(sign * admittance(branch, s) * sensed, rel=1e-7, abs=1e-9)
        if share.follows is not None:
            far = branch.current[1] if sign == 1 else branch.current[0]
            assert share.follows == pytest.approx((volts[far] - volts[port[1]]) / across, rel=1e-7, abs=1e-9)
            own = admittance(branch, s) * across * (1 - share.follows)
            assert share.share == pytest.approx(own, rel=1e-6, abs=1e-8), "y (1 - A) v"
        if share.controls is not None:
            assert share.controls == pytest.approx(sensed / across, rel=1e-7, abs=1e-9)
