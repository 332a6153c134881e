"""lcapy, the numeric solution, the textbook and the kernel agree on every network of the table."""

from __future__ import annotations

import pytest

from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.answers.exact import NoSolution, spectrum
from derive.opinion.numeric import solve_nodal_matrix, value_by_nodal_matrix
from derive.opinion.verdict import Opinion, compare

NOT_ASKED_OF_THE_KERNEL = {"factor_capacitance", "factor_inductance", "factor_resistance"}
"""Return ratios are of transconductances only."""
has_formula = pytest.mark.cases(lambda case: case.expected is not None)
POINTS = (3 + 0j, 2j * 3.14159e3, -1e4 + 5e5j)


@has_formula
def test_lcapy_gives_the_textbook_formula(case, opinions):
    opinion = opinions[case.inquiry.name]
    assert isinstance(opinion, Opinion), opinion
    assert compare(Spectrum(*case.expected), opinion)


@has_formula
@pytest.mark.parametrize("s", POINTS)
def test_numeric_gives_the_textbook_formula(case, s):
    above, below = (sum(float(c) * s**k for k, c in enumerate(side)) for side in case.expected)
    assert value_by_nodal_matrix(case.inquiry, case.values, s) == pytest.approx(above / below, rel=1e-12)


@pytest.mark.parametrize("s", POINTS)
def test_numeric_and_lcapy_agree_within_the_bound(case, opinions, s):
    opinion = opinions[case.inquiry.name]
    try:
        found = solve_nodal_matrix(case.inquiry, case.values, s)
    except ArithmeticError:
        assert opinion == "its equations have no single solution"
        return
    exact = complex(from_coefficients(opinion.numerator, opinion.denominator).at(s))
    assert abs(found.value - exact) <= found.error + 4e-16 * abs(exact)
    assert found.error <= 1e-6 * abs(exact)


@pytest.mark.cases(lambda case: case.inquiry.name not in NOT_ASKED_OF_THE_KERNEL)
def test_the_kernel_is_confirmed(case, opinions):
    opinion = opinions[case.inquiry.name]
    try:
        ours = spectrum(case.inquiry, case.values)
    except NoSolution:
        assert opinion == "its equations have no single solution"
        return
    assert compare(ours, opinion)


def test_few_random_networks_are_singular(opinions):
    random = [opinion for name, opinion in opinions.items() if name.startswith("random")]
    assert sum(isinstance(opinion, Opinion) for opinion in random) >= 6


def test_an_inductor_at_zero_frequency_is_a_short(ladder):
    assert value_by_nodal_matrix(ladder.inquiry, ladder.values, 0) == pytest.approx(0.5, rel=1e-14)
