"""Certified bounds, which random and corner values within the tolerances try to break.

The exact response is that of the nodal equations of the tests with other values, the approximate one that of the
printed symbols at these values; frequencies are random, and crowded where poles and zeros lie.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import exp, inf, log, pi
from pathlib import Path
from random import Random

import numpy as np
import pytest

from derive.algebra.ratio import Ratio
from derive.algebra.ring import terms
from derive.answers.exact import NoSolution
from derive.approximate.certify import certify
from derive.approximate.error import SMALL
from derive.approximate.records import Approximate, Certified
from derive.approximate.reduce import approximate
from derive.circuit.records import Circuit
from derive.derivation.analyse import tolerances
from derive.description.reader import read
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active, random_passive
from tests.nodal import admittance, equations, voltages
from tests.stating import random_statements

WORKED = sorted((Path(__file__).parents[2] / "worked").glob("*.toml"))
CASES = 40
BAND = (20.0, 200e3)
MIXES = [("bjt",), ("jfet", "transconductance"), ("bjt", "bjt"), ("opamp", "jfet")]
STATED = ("resistor", "capacitor", "inductor", "transconductance")
VALUES, FREQUENCIES = 24, 40
ABOUT = f'band = ["{BAND[0]} Hz", "{BAND[1]} Hz"]\nspot = "1 kHz"'
ASKS = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')


def with_tolerances(pieces: list[Piece], percent: Mapping[str, int]) -> str:
    lines = [(piece.line(), percent.get(piece.name)) for piece in pieces]
    return "\n".join(line if p is None else f'{line[:-2]}, tolerance = "{p} %" }}' for line, p in lines)


def a_case(seed: int) -> tuple[Random, list[Piece], Asked]:
    """A network, half of them passive, whose parts have tolerances up to a tenth, with two ratios and a limit."""
    source = Random(f"certified {seed}")
    while True:
        kinds = ["resistor", "capacitor", "inductor"]
        found = random_passive(source, 3, 4, kinds) if seed % 2 else random_active(source, 3, MIXES[seed // 2 % 4])
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *found]
        percent = {piece.name: source.choice([1, 2, 5, 10]) for piece in pieces if piece.kind in STATED[:3]}
        limits = [f"{piece.name} -> 0" for piece in pieces if piece.kind == "capacitor"][:1]
        try:
            stated = [*random_statements(pieces, source, 2), *limits]
            asked = Asked(circuit(with_tolerances(pieces, percent), *ASKS, assume=stated, about=ABOUT))
            for name in "AZ":
                if asked.exact(name).spectrum.numerator == (0,):
                    raise NoSolution
        except (DescriptionError, NoSolution):
            continue
        return source, pieces, asked


def moved(pieces: list[Piece], factors: Mapping[str, float]) -> list[Piece]:
    return [
        replace(piece, values={piece.kind: piece.values[piece.kind] * Decimal(factors[piece.name])})
        if piece.name in factors
        else piece
        for piece in pieces
    ]


def exact_at(pieces: list[Piece], name: str, frequency: float) -> complex:
    s = 2j * pi * frequency
    inject, volts = ([], 1) if name == "A" else ([("n3", "gnd", 1)], 0)
    return voltages(equations(pieces, lambda branch: admittance(branch, s), inject, volts))["n3"]


def printed_at(ratio: Ratio, numbers: Mapping[str, float], frequency: float) -> complex:
    sides = []
    for side in (ratio.above, ratio.below):
        total = 0j
        for exponents, coefficient in terms(side):
            value = complex(coefficient)
            for name, exponent in zip(ratio.ring.names, exponents, strict=True):
                value *= (2j * pi * frequency if name == "s" else numbers[name]) ** exponent
            total += value
        sides.append(total)
    return sides[0] / sides[1] if sides[1] else complex(inf)


def frequencies(pieces: list[Piece], name: str, source: Random) -> list[float]:
    """Random ones, and some on and about the corners of these very values."""
    low, high = map(log, BAND)
    found = [exp(source.uniform(low, high)) for _ in range(FREQUENCIES)] + list(BAND)
    spectrum = Asked(circuit(pieces, *ASKS, about=ABOUT)).exact(name).spectrum
    for root in (*spectrum.poles, *spectrum.zeros):
        found += [abs(root.imag) / 2 / pi, abs(root) / 2 / pi]
        found += [abs(root) / 2 / pi * source.uniform(0.9, 1.1) for _ in range(4)]
    return [f for f in found if BAND[0] <= f <= BAND[1]]


def trials(stated: Mapping[str, Fraction], source: Random) -> list[dict[str, float]]:
    """Factors of all values with tolerances: none moved, corners by chance, and values in between."""
    corners = [{n: 1 + float(t) * source.choice([-1, 1]) for n, t in stated.items()} for _ in range(VALUES // 2)]
    between = [{n: 1 + float(t) * source.uniform(-1, 1) for n, t in stated.items()} for _ in range(VALUES // 2)]
    return [dict.fromkeys(stated, 1.0), *corners, *between]


def proved(asked: Asked, name: str) -> tuple[Approximate, Certified]:
    exact = asked.exact(name)
    own = asked.prepared.statements
    found = approximate(exact, own, asked.ground)
    return found, certify(exact, found, own, asked.ground, tolerances(asked.circuit))


@pytest.mark.parametrize("seed", range(CASES))
def test_a_certified_bound_is_never_broken(seed: int) -> None:
    source, pieces, asked = a_case(seed)
    for name in "AZ":
        found, bounds = proved(asked, name)
        if found.reduced.ratio is None or found.error.worst == inf:
            assert bounds.band is None
            continue
        assert bounds.band is not None
        assert bounds.band <= max(found.error.worst * 1.2, 1e-5)
        for place, factors in enumerate(trials(tolerances(asked.circuit), source)):
            bound = bounds.tolerances if place else bounds.band
            if bound is None:
                continue
            pieces_now = moved(pieces, factors)
            points = frequencies(pieces_now, name, source)
            numbers = {n: float(v) * factors.get(n, 1.0) for n, v in asked.ground.numbers.items()}
            exact = np.array([exact_at(pieces_now, name, f) for f in points])
            other = np.array([printed_at(found.reduced.ratio, numbers, f) for f in points])
            sizes = np.abs(exact)
            # The peak that these points see is a little below the true one.
            reference = np.where(sizes < 1.05 * SMALL * sizes.max(), sizes.max(), sizes)
            # Double precision loses digits where the nodal equations nearly cancel.
            assert np.max(np.abs(other - exact) / reference) <= bound * (1 + 1e-6) + 1e-8


def test_most_of_these_networks_are_certified() -> None:
    """A test of bounds that are never broken says little if few are proved."""
    told = [
        bounds.tolerances
        for seed in range(0, CASES, 2)
        for found, bounds in [proved(a_case(seed)[2], "Z")]
        if found.error.worst < inf
    ]
    assert sum(bound is not None for bound in told) >= 0.9 * len(told)


@pytest.mark.parametrize("path", WORKED, ids=lambda path: path.stem)
def test_worked_examples_are_certified_closely(path: Path) -> None:
    """Over the band within 20 % of what was measured, and over the tolerances wherever parts have any."""
    described: Circuit = read(path)
    asked = Asked(described)
    for question in described.questions:
        own = tuple(s for s in asked.statements if question.name in (s.statement.questions or (question.name,)))
        exact = asked.exact(question.name)
        found = approximate(exact, own, asked.ground)
        bounds = certify(exact, found, own, asked.ground, tolerances(described))
        if found.error.worst == inf:
            continue
        assert bounds.band is not None
        assert found.error.worst <= bounds.band <= max(1.2 * found.error.worst, 1e-5)
        assert (bounds.tolerances is not None) == bool(bounds.symbols)
