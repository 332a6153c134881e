"""Stability over a value: the ranges that are told against pole counts at values in between, by numpy's roots."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random

import numpy as np
import pytest

from derive.circuit.records import Quantity, Sweep
from derive.derivation.analyse import Prepared
from derive.explain.natural import determinant_of
from derive.explain.sweep import sweep, swept_network
from tests.explain.random_loops import random_loop, random_ring
from tests.networks import Piece


def count(coefficients: tuple[Fraction, ...]) -> int:
    """Roots in the right half plane, in double precision, with s scaled so that the ends are alike."""
    while coefficients and not coefficients[-1]:
        coefficients = coefficients[:-1]
    degree = len(coefficients) - 1
    scale = (abs(float(coefficients[0] / coefficients[-1]))) ** (1 / degree)
    scaled = [float(c / coefficients[0]) * scale**k for k, c in enumerate(coefficients)]
    return int(np.sum(np.roots(scaled[::-1]).real > 0))


@pytest.mark.parametrize("make", [random_loop, random_ring])
@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize(("kind", "low", "high"), [("capacitor", "1e-12", "1e-2"), ("resistor", "10", "1e7")])
def test_ranges_hold_at_values_in_between(
    make: Callable[[int], tuple[list[Piece], Prepared]], seed: int, kind: str, low: str, high: str
) -> None:
    pieces, prepared = make(seed)
    source = Random(seed)
    part = next(p.name for p in pieces if p.kind == kind) if seed % 2 else None
    unit = "F" if kind == "capacitor" else "Ω"
    ends = (Quantity(Fraction(low), unit, low), Quantity(Fraction(high), unit, high))
    asked = Sweep("S", kind, *ends, part, None if part else "n3", None, ())
    found = sweep(prepared, asked)
    assert found is not None
    assert found.spans[0].low == float(low)
    assert found.spans[-1].high == float(high)
    network, name = swept_network(prepared.network, asked)
    for span in found.spans:
        for _ in range(4):
            share = source.uniform(0.02, 0.98)
            value = span.low ** (1 - share) * span.high**share
            assert count(determinant_of(network, {**prepared.ground.numbers, name: Fraction(value)})) == span.right


def test_random_networks_have_borders() -> None:
    """The property above is not empty: some of its sweeps pass a border."""
    ends = (Quantity(Fraction("1e-12"), "F", ""), Quantity(Fraction("1e-2"), "F", ""))
    borders = 0
    for seed in range(10):
        _, prepared = random_ring(seed)
        found = sweep(prepared, Sweep("S", "capacitor", *ends, None, "n3", None, ()))
        borders += len(found.borders) if found else 0
    assert borders > 3
