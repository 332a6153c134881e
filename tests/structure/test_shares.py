"""Memberships, couplings and factors of a determinant against the polynomial written out."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from random import Random

import numpy as np
import pytest

from derive.algebra.ring import Polynomial, Ring, terms
from derive.answers.exact import answer, diagrams
from derive.structure.clusters import exact_coupling, groups, largest_term, polynomial_of
from derive.structure.shares import admittances, both_sides, shares
from derive.structure.thinning import removed, thin
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active, random_passive

FREQUENCIES = (100.0, 3000.0, 80000.0)
CASES = [(mix, seed) for mix in ((), ("bjt",), ("jfet",), ("transconductance",)) for seed in range(4)]


def _asked(mix: tuple[str, ...], seed: int) -> Asked:
    source = Random(f"shares {mix} {seed}")
    inner = random_active(source, 3, mix) if mix else random_passive(source, 3, 2, ("resistor", "capacitor"))
    pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *inner]
    return Asked(circuit(pieces, 'A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n2" }'))


def _sizes(ring: Ring, polynomial: Polynomial, asked: Asked, frequency: float) -> dict[tuple[int, ...], complex]:
    values = [2j * pi * frequency, *(float(asked.ground.numbers[name]) for name in ring.names[1:])]
    found = {}
    for exponents, c in terms(polynomial):
        found[exponents] = c * complex(np.prod([v**p for v, p in zip(values, exponents, strict=True) if p]))
    return found


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_membership_is_the_share_of_terms(mix: tuple[str, ...], seed: int) -> None:
    asked = _asked(mix, seed)
    ring = asked.ground.ring
    for name in "AZ":
        inquiry = asked.inquiries[name]
        elements = {e.name: e for e in inquiry.network.elements}
        weights = admittances(inquiry.network.elements, asked.ground.numbers, FREQUENCIES)
        for diagram, side in zip(diagrams(inquiry), both_sides(inquiry), strict=True):
            if diagram.root == 0:
                continue
            polynomial = ring.expand(diagram, elements)
            found = shares(side, weights)
            assert found is not None
            for row, frequency in enumerate(FREQUENCIES):
                sizes = _sizes(ring, polynomial, asked, frequency)
                whole = sum(sizes.values())
                for place, element in enumerate(side.elements):
                    held = element.law not in ("resistance", "inductance")
                    with_it = sum(v for e, v in sizes.items() if bool(e[ring.index[element.name]]) == held)
                    assert found.membership[row, place] == pytest.approx(with_it / whole, rel=1e-6, abs=1e-8)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_exact_factors_are_those_of_the_polynomial(mix: tuple[str, ...], seed: int) -> None:
    """The groups found by evaluation hold the symbols of the irreducible factors that python-flint finds."""
    asked = _asked(mix, seed)
    ring = asked.ground.ring
    for name in "AZ":
        inquiry = asked.inquiries[name]
        elements = {e.name: e for e in inquiry.network.elements}
        for diagram, side in zip(diagrams(inquiry), both_sides(inquiry), strict=True):
            if diagram.root == 0:
                continue
            polynomial = ring.expand(diagram, elements)
            _, factors = polynomial.factor()
            wanted = set()
            for factor, _ in factors:
                degrees = factor.degrees()
                symbols = frozenset(ring.names[i] for i in range(1, len(ring.names)) if degrees[i])
                if len(factor) > 1:
                    wanted.add(symbols)
            exactly = exact_coupling(side, [e.name for e in side.elements])
            found = groups([e.name for e in side.elements], exactly, None, 0.0)
            assert {frozenset(group) for group in found if len(group) > 1} == wanted
            # Multiplied, what the groups give is the polynomial itself.
            numbers = asked.ground.numbers
            sizes = {e.name: abs(w) for e, w in zip(
                side.elements, admittances(side.elements, numbers, (1000.0,))[0].tolist(), strict=True)}  # fmt: skip
            largest, sign = largest_term(diagram, sizes)
            product = ring.one * sign
            for group in found:
                product = product * polynomial_of(diagram, group, largest, elements, ring) * sign
            assert product == polynomial


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_what_a_removal_costs_is_what_it_changes(mix: tuple[str, ...], seed: int) -> None:
    asked = _asked(mix, seed)
    ground = asked.ground
    for name in "AZ":
        inquiry = asked.inquiries[name]
        if not any(asked.exact(name).spectrum.numerator):
            continue
        states = list(thin(inquiry, ground.numbers, FREQUENCIES, 0.3))
        before = states[0].inquiry
        for state in states[1:]:
            removal = state.removals[-1]
            after = removed(before, removal)
            one = answer(before, ground.numbers, ground.ring).spectrum.sample(np.array(FREQUENCIES))
            other = answer(replace(after), ground.numbers, ground.ring).spectrum.sample(np.array(FREQUENCIES))
            assert float(np.max(np.abs(other / one - 1))) == pytest.approx(removal.cost, rel=1e-5, abs=1e-8)
            before = after
        assert states[-1].spent == pytest.approx(sum(r.cost for r in states[-1].removals))
