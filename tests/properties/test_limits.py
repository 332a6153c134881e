"""Deletions and contractions are limits: the same as a very large or very small value in place, and as bilinear
formulas say (H. W. Bode, "Network Analysis and Feedback Amplifier Design", 1945, chapter 4; from memory).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from derive.answers.exact import NoSolution, diagrams, spectrum
from derive.answers.inquire import return_ratio, zeroed
from derive.answers.records import Inquiry
from derive.network.records import Element
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active

HUGE = Fraction(10) ** 40
CLOSE = Fraction(1, 10**20)
CASES = [(mix, seed) for mix in (("bjt",), ("jfet",), ("opamp",), ("transconductance", "bjt")) for seed in range(6)]
ASKS = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')


def _asked(mix: tuple[str, ...], seed: int) -> tuple[Random, Asked]:
    source = Random(f"limits {mix} {seed}")
    pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
    return source, Asked(circuit(pieces, *ASKS))


def _value(inquiry: Inquiry, numbers: dict[str, Fraction], s: Fraction) -> Fraction | None:
    try:
        return spectrum(inquiry, numbers).exactly_at(s)
    except (NoSolution, ZeroDivisionError):
        return None


def _extreme(element: Element, admittance: Fraction) -> Fraction:
    """The value of an element that gives it about this admittance."""
    return admittance if element.law in ("conductance", "capacitance") else 1 / admittance


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_extreme_values(mix: tuple[str, ...], seed: int) -> None:
    source, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**5))
    numbers = dict(asked.ground.numbers)
    compared = 0
    for inquiry in asked.inquiries.values():
        for element in inquiry.network.elements:
            for change, admittance in (("delete", 1 / HUGE), ("contract", HUGE)):
                limit = replace(inquiry, network=getattr(inquiry.network, change)(element.name))
                exactly = _value(limit, numbers, s)
                nearly = _value(inquiry, {**numbers, element.name: _extreme(element, admittance)}, s)
                if exactly is None:
                    above, below = diagrams(limit)
                    assert below.count() == 0
                    # Where both vanish (a part across the source, shorted) the limit network says nothing.
                    assert above.count() == 0 or nearly is None or abs(nearly) > 10**20
                else:
                    assert nearly is not None
                    assert abs(nearly - exactly) <= CLOSE * max(abs(exactly), 1)
                    compared += 1
    assert compared > 10


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_blackman(mix: tuple[str, ...], seed: int) -> None:
    """Z = Z0 (1 + T of the shorted port)/(1 + T of the open port) (R. B. Blackman, BSTJ 22 (1943) 269)."""
    source, asked = _asked(mix, seed)
    s = Fraction(source.randrange(1, 10**5))
    numbers = dict(asked.ground.numbers)
    inquiry = asked.inquiries["Z"]
    whole = _value(inquiry, numbers, s)
    for element in inquiry.network.elements:
        if not element.controlled or element.current == element.voltage:
            continue
        network = zeroed(asked.network, asked.network.drives)
        short = Element("port", "port", "unity", inquiry.port, inquiry.port)
        shorted = replace(network, forced=(*network.forced, short))
        dead = _value(replace(inquiry, network=inquiry.network.delete(element.name)), numbers, s)
        opened, closed = (_value(return_ratio("T", n, element.name), numbers, s) for n in (network, shorted))
        if None not in (whole, dead, opened, closed):
            assert whole == dead * (1 + closed) / (1 + opened)  # type: ignore[operator]
