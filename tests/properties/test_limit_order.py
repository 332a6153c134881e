"""Limits on random networks: two of them in either order give one answer, or the sheet tells the other one."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from derive.answers.exact import NoSolution
from derive.approximate.records import Reduced
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active

CASES = [(mix, seed) for mix in (("bjt",), ("jfet", "bjt"), ("opamp",), ()) for seed in range(4)]
ASKS = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')
PAIRS = 6
"""Pairs of limits for each network."""


def _value(found: Reduced, s: Fraction) -> Fraction | None:
    try:
        return None if found.spectrum is None else found.spectrum.exactly_at(s)
    except ZeroDivisionError:
        return None


def _pieces(source: Random, mix: tuple[str, ...]) -> list[Piece]:
    """A network that is no nonsense, as an op amp at the signal would be."""
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
        try:
            asked = Asked(circuit(pieces, *ASKS))
            _ = [asked.exact(name) for name in "AZ"]
        except (DescriptionError, NoSolution):
            continue
        return pieces


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_the_other_order_agrees_or_is_told(mix: tuple[str, ...], seed: int) -> None:
    source = Random(f"limit order {mix} {seed}")
    pieces = _pieces(source, mix)
    names = [piece.name for piece in pieces if piece.kind in ("resistor", "capacitor")]
    s = Fraction(source.randrange(1, 10**5))
    for _ in range(PAIRS):
        limits = [f"{name} -> {source.choice(('0', 'inf'))}" for name in source.sample(names, 2)]
        one, other = (Asked(circuit(pieces, *ASKS, assume=order)) for order in (limits, limits[::-1]))
        for name in "AZ":
            first, second = one.reduced(name), other.reduced(name)
            if first.in_order:
                assert second.in_order
                assert first.reverse == second.spectrum, limits
                assert second.reverse == first.spectrum, limits
            else:
                assert not second.in_order
                assert _value(first, s) == _value(second, s), limits
