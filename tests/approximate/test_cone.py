"""When a term may be dropped: the definition, on small cases that can be done by hand."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from derive.approximate.cone import Cone, as_fractions
from derive.approximate.records import Generator


def cone(*exponents: tuple[int, ...]) -> Cone:
    return Cone(tuple(Generator(k, e, Fraction(100)) for k, e in enumerate(exponents, 1)))


X_OVER_Y, Y_OVER_Z, X_OVER_Z = (1, -1, 0), (0, 1, -1), (1, 0, -1)
X, Y, Z = (1, 0, 0), (0, 1, 0), (0, 0, 1)


def kept(cone: Cone, *terms: tuple[int, ...]) -> list[tuple[int, ...]]:
    return [terms[place] for place in cone.maximal(terms)[0]]


def test_without_statements_nothing_goes() -> None:
    assert kept(cone(), X, Y, Z) == [X, Y, Z]


def test_a_stated_ratio_drops_the_smaller_term() -> None:
    assert kept(cone(X_OVER_Y), X, Y, Z) == [X, Z]


def test_ratios_multiply() -> None:
    """x >> y and y >> z: z goes beside x though no line says so."""
    assert kept(cone(X_OVER_Y, Y_OVER_Z), X, Z) == [X]


def test_a_root_of_a_ratio_does_not_suffice() -> None:
    """x >> z as a squared ratio: powers must add up to one at least, and here they are a half."""
    assert kept(cone((2, -2, 0)), X, Y) == [X, Y]
    assert kept(cone((2, -2, 0)), (2, 0, 0), (1, 1, 0), (0, 2, 0)) == [(2, 0, 0), (1, 1, 0)]


def test_the_way_back_is_closed() -> None:
    assert kept(cone(X_OVER_Y), Y, Z) == [Y, Z]
    assert kept(cone(Y_OVER_Z, X_OVER_Z), X, Y) == [X, Y]


def test_reasons_are_recorded() -> None:
    """With dependent ratios (x/z is x/y times y/z) a linear program finds the powers."""
    for found in (cone(X_OVER_Y, Y_OVER_Z), cone(X_OVER_Y, Y_OVER_Z, X_OVER_Z)):
        stays, reasons = found.maximal([X, Z, Y])
        assert stays == [0]
        for place, wanted in ((1, X_OVER_Z), (2, X_OVER_Y)):
            above, powers = reasons[place]
            assert above == 0
            made = sum(
                float(p) * np.array(g.exponents) for p, g in zip(as_fractions(powers), found.generators, strict=True)
            )
            assert made == pytest.approx(np.array(wanted))
            assert sum(powers) >= 1 - 1e-9


def test_dependent_ratios_drop_what_independent_ones_drop() -> None:
    """Saying x >> z beside x >> y and y >> z changes nothing, not even when terms are many."""
    terms = [(a, b, 4 - a - b) for a in range(5) for b in range(5 - a)]
    one, other = cone(X_OVER_Y, Y_OVER_Z), cone(X_OVER_Y, Y_OVER_Z, X_OVER_Z)
    assert kept(one, *terms) == kept(other, *terms) == [(4, 0, 0)]


@pytest.mark.parametrize(
    ("exponents", "named"),
    [
        ((X_OVER_Y, (-1, 1, 0)), (1, 2)),
        ((X_OVER_Y, Y_OVER_Z, (-1, 0, 1)), (1, 2, 3)),
        ((X_OVER_Y, Y_OVER_Z, X_OVER_Z), ()),
        (((2, -2, 0), (-1, 1, 0), Y_OVER_Z), (1, 2)),
    ],
)
def test_contradictions(exponents: tuple[tuple[int, ...], ...], named: tuple[int, ...]) -> None:
    assert cone(*exponents).contradiction() == named


@pytest.mark.parametrize("seed", range(60))
def test_what_stays_in_many_sums_at_once(seed: int) -> None:
    """The quick way finds the terms that stay one sum after the other, with and without dependent ratios."""
    source = np.random.default_rng(seed)
    width = int(source.integers(3, 8))
    found = cone(*(tuple(map(int, source.integers(-1, 2, width))) for _ in range(int(source.integers(1, 7)))))
    if found.contradiction():
        return
    table = np.unique(source.integers(0, 3, (int(source.integers(2, 250)), width)), axis=0).astype(float)
    sums = source.integers(0, 3, len(table))
    expected = np.zeros(len(table), dtype=bool)
    for number in range(3):
        places = np.flatnonzero(sums == number)
        expected[places[found.maximal(table[places])[0]]] = True
    assert (found.standing(table, sums) == expected).all()
