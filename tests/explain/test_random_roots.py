"""Roots and time constants of random circuits: sensitivities against finite differences, sums against determinants."""

from __future__ import annotations

from fractions import Fraction
from math import inf
from random import Random

import numpy as np
import pytest

from derive.answers.exact import NoSolution, spectrum
from derive.errors import DescriptionError
from derive.explain import constants
from derive.explain.constants import time_constants
from derive.explain.derived import Bench
from derive.explain.roots import OWNS, owned_roots
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active, random_passive
from tests.nodal import Branch, admittance, determinant, equations

MIXES: list[tuple[str, ...]] = [(), ("bjt",), ("jfet",), ("bjt", "jfet")]
CASES = [(mix, seed) for mix in MIXES for seed in range(6)]
STEP = Fraction(1, 10**6)


def _asked(
    mix: tuple[str, ...], seed: int, kinds: tuple[str, ...] = ("capacitor",)
) -> tuple[Random, list[Piece], Asked]:
    source = Random(f"roots {mix} {seed}")
    while True:
        body = random_active(source, 3, mix) if mix else random_passive(source, 3, 3, kinds)
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *body]
        try:
            asked = Asked(circuit(pieces, 'A: gain = { from = "n1", to = "n3" }', about='spot = "1 kHz"'))
            if len(asked.exact("A").spectrum.denominator) > 1:
                return source, pieces, asked
        except (DescriptionError, NoSolution):
            continue


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_sensitivities_by_finite_differences(mix: tuple[str, ...], seed: int) -> None:
    """Each part changed by a millionth, the circuit solved anew: the root moves by its sensitivity."""
    _, _, asked = _asked(mix, seed, ("capacitor", "inductor"))
    exact, numbers = asked.exact("A"), asked.ground.numbers
    found = owned_roots("A", exact, asked.ground)
    compared = 0
    for root in (*found.poles, *found.zeros):
        for owner in root.owners:
            moved = spectrum(exact.inquiry, {**numbers, owner.symbol: numbers[owner.symbol] * (1 + STEP)})
            others = np.array(moved.poles if root.side == "pole" else moved.zeros)
            nearest = others[np.argmin(np.abs(others - root.value))]
            slope = (nearest / root.value - 1) / float(STEP)
            assert slope == pytest.approx(owner.sensitivity, rel=2e-3, abs=1e-4)
            compared += 1
    assert compared


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_sensitivities_add_up(mix: tuple[str, ...], seed: int) -> None:
    """All capacitances and inductances together scale every root by minus one; owners are sorted."""
    _, _, asked = _asked(mix, seed)
    found = owned_roots("A", asked.exact("A"), asked.ground)
    for root in (*found.poles, *found.zeros):
        if not root.owners:
            continue
        storing = [o.sensitivity for o in root.owners if o.symbol[0] in "CL"]
        assert sum(storing) == pytest.approx(-1, rel=1e-12)
        sizes = [abs(o.sensitivity) for o in root.owners]
        assert sizes == sorted(sizes, reverse=True)
        assert all(abs(o.sensitivity) >= OWNS * sizes[0] for o in root.leading)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_time_constants_add_up_to_the_determinant(
    mix: tuple[str, ...], seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Σ C R_open is b1/b0 of the nodal determinant with the lower group shorted; Σ 1/(C R_short) its last two; so it is
    wherever the spot lies."""
    monkeypatch.setattr(constants, "NEAR", inf)
    _, pieces, asked = _asked(mix, seed)
    found = time_constants("A", asked.exact("A"), Bench(asked.prepared, (), thorough=False))
    if found is None:
        return
    groups = {e.name: end for end in ("lower", "upper", "idle") for e in getattr(found.groups, end)}
    for corner in found.corners:
        count = len(getattr(found.groups, corner.end))
        coefficients = _coefficients(pieces, groups, corner.end, count)
        total = sum(c.seconds if corner.end == "upper" else 1 / c.seconds for c in corner.constants)
        if corner.end == "upper":
            assert total == pytest.approx(float(coefficients[1] / coefficients[0]), rel=1e-12)
        else:
            assert total == pytest.approx(float(coefficients[count - 1] / coefficients[count]), rel=1e-12)
        assert sum(c.share for c in corner.constants) == pytest.approx(1)


def _coefficients(pieces: list[Piece], groups: dict[str, str], end: str, count: int) -> list[Fraction]:
    """The polynomial in s of the determinant with one group alive, by exact interpolation; shorts are a large weight
    whose highest power is taken by comparing two of them."""
    shorted = [name for name, group in groups.items() if group == "lower" and end == "upper"]

    def value(s: Fraction, weight: Fraction) -> Fraction:
        def weigh(branch: Branch) -> Fraction:
            if branch.name in shorted:
                return weight
            if branch.name in groups and groups[branch.name] != end:
                return Fraction(0)
            return admittance(branch, s)

        return determinant(equations(pieces, weigh).matrix)

    def leading(s: Fraction) -> Fraction:
        """The coefficient of the highest power of the weight: a determinant is of degree at most len(shorted) in it."""
        places = [Fraction(w) for w in range(len(shorted) + 1)]
        found = _interpolated(places, [value(s, w) for w in places])
        return found[-1]

    places = [Fraction(k) for k in range(count + 1)]
    return _interpolated(places, [leading(s) for s in places])


def _interpolated(places: list[Fraction], values: list[Fraction]) -> list[Fraction]:
    """Coefficients of the polynomial through the points, lowest power first (Lagrange)."""
    result = [Fraction(0)] * len(places)
    for k, (x, y) in enumerate(zip(places, values, strict=True)):
        basis, scale = [Fraction(1)], Fraction(1)
        for j, other in enumerate(places):
            if j != k:
                basis = [a - other * b for a, b in zip([Fraction(0), *basis], [*basis, Fraction(0)], strict=True)]
                scale *= x - other
        result = [r + y / scale * b for r, b in zip(result, basis, strict=True)]
    return result
