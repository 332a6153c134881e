"""Feedback theory of random circuits against nodal equations written down in the tests, exactly at a random real s."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from derive.answers.exact import NoSolution
from derive.errors import DescriptionError
from derive.explain.asymptotic import Asymptotic, asymptotic
from derive.explain.blackman import Blackman, NoProduct, blackman
from derive.explain.derived import Bench, Derived
from derive.explain.extra import extra
from derive.explain.sources import largest, loop_of_impedance, loops_through_output
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.nodal import Branch, admittance, equations, voltages_exactly

MIXES = [("bjt",), ("jfet",), ("bjt", "jfet"), ("transconductance", "bjt"), ("opamp", "jfet")]
CASES = [(mix, seed) for mix in MIXES for seed in range(5)]
ASKS = ('A: gain = { from = "n1", to = "n4" }', 'Z: impedance = { at = "n4" }')


def _asked(mix: tuple[str, ...], seed: int) -> tuple[Random, list[Piece], Asked]:
    source = Random(f"theory {mix} {seed}")
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 4, mix)]
        try:
            asked = Asked(circuit(pieces, *ASKS, about='spot = "3 kHz"'))
            if all(any(asked.exact(name).spectrum.numerator) for name in ("A", "Z")):
                return source, pieces, asked
        except (DescriptionError, NoSolution):
            continue


def _solve(pieces: list[Piece], s: Fraction, name: str, symbol: str, weight: Fraction | None) -> Fraction | None:
    """The answer with the admittance of one element replaced; None where it has no finite value."""

    def weigh(branch: Branch) -> Fraction:
        return weight if weight is not None and branch.name == symbol else admittance(branch, s)

    inject = [("n4", "gnd", Fraction(1))] if name == "Z" else []
    volts = voltages_exactly(equations(pieces, weigh, inject, volts=0 if inject else 1))
    return None if volts is None else volts["n4"]


def _bilinear(pieces: list[Piece], s: Fraction, name: str, symbol: str) -> tuple[Fraction, Fraction, Fraction] | None:
    """(H(0), H(inf), -pole) of H(w) = (h0 + hinf w/p)/(1 + w/p), from its values at 0, 1 and 2; None where special."""
    h0, h1, h2 = (_solve(pieces, s, name, symbol, Fraction(w)) for w in (0, 1, 2))
    if h0 is None or h1 is None or h2 is None or h1 == h0 or h2 == h1:
        return None
    # H(w) = (h0 + c w)/(1 + d w): h1 (1 + d) = h0 + c, h2 (1 + 2 d) = h0 + 2 c.
    d = (h0 - 2 * h1 + h2) / (2 * h1 - 2 * h2)
    c = h1 * (1 + d) - h0
    return None if d == 0 else (h0, c / d, d)


def _at(piece: Derived, s: Fraction) -> Fraction:
    return piece.exact.spectrum.exactly_at(s)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_asymptotic_gain(mix: tuple[str, ...], seed: int) -> None:
    """A_0, A_inf and T are those of the gain as a function of the transconductance; together they are the gain."""
    source, pieces, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**6))
    exact, bench = asked.exact("A"), Bench(asked.prepared, (), thorough=False)
    for element in asked.network.elements:
        if not element.controlled:
            continue
        found = asymptotic("A", exact, element, False, bench)
        bilinear = _bilinear(pieces, s, "A", element.name)
        if found is None or bilinear is None:
            continue
        h0, hinf, d = bilinear
        ratio = asked.ground.numbers[element.name] * d
        assert isinstance(found, Asymptotic)
        assert (_at(found.dead, s), _at(found.ideal, s), _at(found.ratio, s)) == (h0, hinf, ratio)
        assert (hinf * ratio + h0) / (1 + ratio) == exact.spectrum.exactly_at(s)
        assert found.by_loop + found.by_dead == pytest.approx(exact.spectrum.at_frequency(3000), rel=1e-12)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_blackman(mix: tuple[str, ...], seed: int) -> None:
    """Z_0, T_sc and T_oc by solving the circuit for the dead source, and for two sizes of it; together they are Z."""
    source, pieces, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**6))
    exact, bench = asked.exact("Z"), Bench(asked.prepared, (), thorough=False)
    for element in asked.network.elements:
        if not element.controlled:
            continue
        found = blackman("Z", exact, element, False, bench)
        bilinear = _bilinear(pieces, s, "Z", element.name)
        if isinstance(found, NoProduct):
            without = _solve(pieces, s, "Z", element.name, Fraction(0))
            assert without == (None if found.dead == "infinite" else 0)
        elif found is not None and bilinear is not None:
            h0, hinf, d = bilinear
            weight = asked.ground.numbers[element.name]
            assert isinstance(found, Blackman)
            assert _at(found.dead, s) == h0
            assert _at(found.opened, s) == weight * d
            assert _at(found.shorted, s) == weight * hinf * d / h0
            assert h0 * (1 + _at(found.shorted, s)) / (1 + _at(found.opened, s)) == exact.spectrum.exactly_at(s)


@pytest.mark.parametrize(("mix", "seed"), CASES)
@pytest.mark.parametrize("name", ["A", "Z"])
def test_extra_element(mix: tuple[str, ...], seed: int, name: str) -> None:
    """The theorem gives the direct answer for every two-terminal part; its reference is the part lifted or shorted."""
    source, pieces, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**6))
    exact, bench = asked.exact(name), Bench(asked.prepared, (), thorough=False)
    tried = 0
    for element in asked.network.elements:
        if element.controlled:
            continue
        found = extra(name, exact, element, bench)
        if found is None:
            continue
        tried += 1
        number = asked.ground.numbers[element.name]
        own = {"resistance": number, "conductance": 1 / number, "inductance": s * number}.get(element.law)
        own = 1 / (s * number) if own is None else own
        base = _at(found.without, s)
        zn, zd = (None if piece is None else _at(piece, s) for piece in (found.nulled, found.driving))
        if found.reference == "open":
            assert base == _solve(pieces, s, name, element.name, Fraction(0))
            assert zn is not None
            assert zd is not None
            direct = base * (1 + zn / own) / (1 + zd / own)
        else:
            direct = base * (1 if zn is None else 1 + own / zn) / (1 if zd is None else 1 + own / zd)
        assert direct == exact.spectrum.exactly_at(s) == _solve(pieces, s, name, element.name, None)
    assert tried


def test_choice_of_source() -> None:
    """The source around which a gain is written is in a loop around the output: one is found for most circuits."""
    found = 0
    for mix, seed in CASES:
        _, _, asked = _asked(mix, seed)
        gain, impedance = asked.inquiries["A"], asked.inquiries["Z"]
        element = largest(loops_through_output(gain, asked.ground), gain.network)
        if element is not None:
            found += 1
            assert element.controlled
            result = asymptotic("A", asked.exact("A"), element, False, Bench(asked.prepared, (), thorough=False))
            assert result is None or abs(result.ratio.spot) > 0
        mover = loop_of_impedance(impedance, asked.ground)
        assert mover is None or mover.controlled
    assert found >= 6
