"""Reported errors against fresh measurements: the exact response by the nodal equations of the tests, the
approximate one by its printed symbols, at frequencies that the program did not choose.
"""

from __future__ import annotations

from fractions import Fraction
from math import exp, inf, log, pi
from random import Random

import mpmath
import pytest

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Polynomial, terms
from derive.answers.exact import NoSolution
from derive.approximate.error import HOLDS_WITHIN, SMALL, Error
from derive.approximate.reduce import approximate
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.nodal import admittance, equations, voltages
from tests.stating import random_statements

MIXES = [("bjt",), ("jfet", "transconductance"), ("bjt", "bjt"), ("opamp", "jfet")]
CASES = [(mix, seed) for mix in MIXES for seed in range(4)]
BAND, SPOT = (20.0, 200e3), Fraction(1000)
FREQUENCIES = 50
BETWEEN = 1 + 1e-6
"""The worst error is exact; the peak of this file's own is that of samples, and the arithmetic that of floats."""


class Measured:
    """Relative errors of an approximate ratio against the nodal equations, at any frequency."""

    def __init__(self, pieces: list[Piece], asked: Asked, name: str) -> None:
        self.pieces, self.asked, self.name = pieces, asked, name
        self.peak = max(abs(self.exact(f)) for f in (*_log_spaced(200), *self._corners()))

    def exact(self, frequency: float) -> complex:
        s = 2j * pi * frequency
        inject, volts = ([], 1) if self.name == "A" else ([("n3", "gnd", 1)], 0)
        return voltages(equations(self.pieces, lambda branch: admittance(branch, s), inject, volts))["n3"]

    def error(self, ratio: Ratio, frequency: float) -> float:
        with mpmath.workdps(30):
            s = mpmath.mpc(0, 2 * mpmath.pi * frequency)
            value = complex(self._side(ratio, ratio.above, s) / self._side(ratio, ratio.below, s))
        exact = self.exact(frequency)
        size = abs(exact) if abs(exact) >= SMALL * self.peak else self.peak
        return abs(value - exact) / size

    def _side(self, ratio: Ratio, side: Polynomial, s: mpmath.mpc) -> mpmath.mpc:
        """Term by term at the numbers of the symbols, in thirty digits."""
        total = mpmath.mpc(0)
        for exponents, coefficient in terms(side):
            value = mpmath.mpf(coefficient)
            for name, exponent in zip(ratio.ring.names, exponents, strict=True):
                if exponent:
                    number = self.asked.ground.numbers.get(name)
                    base = s if number is None else mpmath.mpf(number.numerator) / number.denominator
                    value *= base**exponent
            total += value
        return total

    def _corners(self) -> list[float]:
        found = self.asked.exact(self.name).spectrum
        corners = [abs(root) / 2 / pi for root in (*found.poles, *found.zeros)]
        return [f for f in corners if BAND[0] <= f <= BAND[1]]


def _log_spaced(count: int) -> list[float]:
    low, high = map(log, BAND)
    return [exp(low + (high - low) * k / (count - 1)) for k in range(count)]


def _case(mix: tuple[str, ...], seed: int) -> tuple[Random, list[Piece], Asked]:
    source = Random(f"errors {mix} {seed}")
    about = f'band = ["{BAND[0]} Hz", "{BAND[1]} Hz"]\nspot = "1 kHz"'
    asks = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
        limits = [f"{piece.name} -> 0" for piece in pieces if piece.kind == "capacitor"][:1]
        try:
            asked = Asked(circuit(pieces, *asks, assume=[*random_statements(pieces, source, 3), *limits], about=about))
            for name in "AZ":
                # An answer that is zero has a test of its own.
                if asked.exact(name).spectrum.numerator == (0,):
                    raise NoSolution
        except (DescriptionError, NoSolution):
            continue
        return source, pieces, asked


def _check(measured: Measured, ratio: Ratio | None, told: Error, source: Random) -> None:
    if ratio is None:
        assert told.spot == told.worst == inf
        return
    assert measured.error(ratio, float(SPOT)) == pytest.approx(told.spot, rel=1e-6, abs=1e-9)
    low, high = map(log, BAND)
    for _ in range(FREQUENCIES):
        frequency = exp(source.uniform(low, high))
        assert measured.error(ratio, frequency) <= told.worst * BETWEEN + 1e-9
    if told.worst < inf:
        assert BAND[0] <= told.at <= BAND[1]
        assert measured.error(ratio, told.at) == pytest.approx(told.worst, rel=1e-5, abs=1e-9)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_reported_errors(mix: tuple[str, ...], seed: int) -> None:
    """Alone and together, at the spot exactly, in the band never exceeded, and reached where it says."""
    source, pieces, asked = _case(mix, seed)
    for name in "AZ":
        measured = Measured(pieces, asked, name)
        found = approximate(asked.exact(name), asked.statements, asked.ground)
        for statement, effect in zip(asked.statements, found.effects, strict=True):
            _check(measured, effect.reduced.ratio, effect.together, source)
            _check(measured, asked.reduced(name, [statement]).ratio, effect.alone, source)
        assert found.error.worst == found.effects[-1].together.worst


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_band_in_which_an_answer_holds(mix: tuple[str, ...], seed: int) -> None:
    """Within the band that is told, the error stays below the limit; the band contains the spot."""
    source, pieces, asked = _case(mix, seed)
    for name in "AZ":
        found = approximate(asked.exact(name), asked.statements, asked.ground)
        ratio = found.reduced.ratio
        if ratio is None:
            assert found.error.holds is None
            continue
        measured = Measured(pieces, asked, name)
        if found.error.holds is None:
            assert found.error.spot > HOLDS_WITHIN * 0.98
            continue
        bottom, top = found.error.holds
        assert bottom <= SPOT <= top
        low, high = log(max(bottom, BAND[0] / 1e4)), log(min(top, BAND[1] * 1e4))
        for _ in range(60):
            assert measured.error(ratio, exp(source.uniform(low, high))) <= HOLDS_WITHIN * BETWEEN
