"""Bootstraps of random circuits against nodal equations in double precision, and the band in which they work."""

from __future__ import annotations

from math import isinf, pi
from random import Random

import numpy as np
import pytest

from derive.answers.exact import NoSolution
from derive.errors import DescriptionError
from derive.explain.bootstraps import TOGETHER, WORTH, bootstraps
from derive.explain.derived import Bench
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.nodal import Branch, admittance, branches, equations, voltages

SPOT = 3000.0


def _asked(seed: int) -> tuple[list[Piece], Asked]:
    source = Random(f"bootstraps {seed}")
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 4, ("jfet", "bjt"))]
        try:
            asked = Asked(circuit(pieces, 'A: gain = { from = "n1", to = "n4" }', about='spot = "3 kHz"'))
            asked.exact("A")
            return pieces, asked
        except (DescriptionError, NoSolution):
            continue


def test_what_is_found_is_true() -> None:
    """A by nodal equations, what the part appears as, and what it buys with its far end moved to ground."""
    seen = 0
    for seed in range(40):
        pieces, asked = _asked(seed)
        s = 2j * pi * SPOT
        volts = voltages(equations(pieces, lambda branch, s=s: admittance(branch, s), volts=1))
        own = {branch.name: branch for branch in branches(pieces)}
        found = bootstraps("A", asked.exact("A"), Bench(asked.prepared, (), thorough=False))
        for one in found.found:
            seen += 1
            follows = volts[one.far] / volts[one.near]
            assert one.follows == pytest.approx(follows, rel=1e-6, abs=1e-9)
            appears = admittance(own[one.symbol], s) * (1 - follows)
            if one.resistance is not None:
                assert 1 / one.resistance == pytest.approx(appears.real, rel=1e-5)
            if one.capacitance is not None:
                assert one.capacitance == pytest.approx(appears.imag / (2 * pi * SPOT), rel=1e-5)
            assert one.buys >= WORTH or one.negative
            if one.near != "n1":
                assert abs(1 - follows) <= float(TOGETHER) * (1 + 1e-9)
                assert one.moving == pytest.approx(_impedance(pieces, one.near, s), rel=1e-6)
                moved = [_moved(branch, one.symbol, one.near) for branch in branches(pieces)]
                assert one.held == pytest.approx(_impedance_of(moved, one.near, s), rel=1e-6)
    assert seen >= 10


def _impedance(pieces: list[Piece], node: str, s: complex) -> complex:
    return voltages(equations(pieces, lambda branch: admittance(branch, s), [(node, "gnd", 1)]))[node]


def _moved(branch: Branch, name: str, near: str) -> Branch:
    return Branch(name, branch.law, (near, "gnd"), (near, "gnd"), branch.value) if branch.name == name else branch


def _impedance_of(found: list[Branch], node: str, s: complex) -> complex:
    """By a nodal matrix with the signal's node held at zero."""
    nodes = sorted({n for b in found for n in (*b.current, *b.sense)} - {"gnd", "n1"})
    place = {n: i for i, n in enumerate(nodes)}
    matrix = np.zeros((len(nodes), len(nodes)), dtype=complex)
    for branch in found:
        for row, up in zip(branch.current, (1, -1), strict=True):
            for column, over in zip(branch.sense, (1, -1), strict=True):
                if row in place and column in place:
                    matrix[place[row], place[column]] += up * over * admittance(branch, s)
    right = np.zeros(len(nodes), dtype=complex)
    right[place[node]] = 1
    return complex(np.linalg.solve(matrix, right)[place[node]])


def test_the_band_ends_where_the_limit_is_passed() -> None:
    """At each end |1 - A| is a third, and within the band it stays below."""
    ends = 0
    for seed in range(40):
        _, asked = _asked(seed)
        for one in bootstraps("A", asked.exact("A"), Bench(asked.prepared, (), thorough=False)).found:
            spectrum = one.left.exact.spectrum
            low, high = one.low or SPOT / 100, SPOT * 100 if isinf(one.high) else one.high
            if abs(1 - one.follows) <= float(TOGETHER):
                inside = np.abs(spectrum.sample(np.geomspace(low * 1.0001, high / 1.0001, 50)))
                assert np.all(inside <= float(TOGETHER) * (1 + 1e-6))
            for end in (one.low, one.high):
                if end and not isinf(end):
                    ends += 1
                    assert abs(spectrum.at_frequency(end)) == pytest.approx(float(TOGETHER), rel=1e-6)
    assert ends
