"""What the numeric solution refuses, and how good its bound is."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from derive.network.records import Element
from derive.opinion.numeric import solve_nodal_matrix, value_by_nodal_matrix


def test_floats_do_as_well_as_fractions(stage):
    floats = {name: float(value) for name, value in stage.values.items()}
    exact = value_by_nodal_matrix(stage.inquiry, stage.values, 1j)
    assert value_by_nodal_matrix(stage.inquiry, floats, 1j) == pytest.approx(exact, rel=1e-14)


def test_a_floating_part_is_singular(stage):
    loose = Element("Rc_stage_gain", "R", "resistance", ("x", "y"), ("x", "y"))
    network = replace(stage.inquiry.network, elements=(*stage.inquiry.network.elements, loose))
    with pytest.raises(ArithmeticError, match="singular"):
        value_by_nodal_matrix(replace(stage.inquiry, network=network), stage.values, 1j)


def test_a_source_across_a_short_is_singular(stage):
    short = Element("X", "X", "unity", ("b", "gnd"), ("b", "gnd"))
    network = replace(stage.inquiry.network, forced=(short,))
    with pytest.raises(ArithmeticError, match="singular"):
        value_by_nodal_matrix(replace(stage.inquiry, network=network), stage.values, 1j)


def test_a_quotient_by_a_node_without_signal_is_refused(stage):
    inquiry = replace(stage.inquiry, below=("gnd", "gnd"))
    with pytest.raises(ArithmeticError, match="divided by is zero"):
        value_by_nodal_matrix(inquiry, stage.values, 1j)


def test_values_of_very_different_size_stay_well_conditioned(stage):
    """Scaling keeps a circuit of 1e-9 and 1e9 ohms as harmless as one of ohms."""
    values = {name: value * 10**9 for name, value in stage.values.items()}
    values["gm_stage_gain"] = stage.values["gm_stage_gain"] / Fraction(10**9)
    found = solve_nodal_matrix(stage.inquiry, values, 1j)
    assert found.condition < 1e4
    assert found.value == pytest.approx(value_by_nodal_matrix(stage.inquiry, stage.values, 1j), rel=1e-13)
