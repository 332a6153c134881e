"""The bias point in the record: plain data, nothing lost, nothing that JSON has no word for."""

from __future__ import annotations

import json
from dataclasses import replace
from math import inf, nan

from derive.bias.records import Unsolved
from derive.record_bias import bias_record
from tests.document.biased import BIAS, EVERYTHING, POINT


def test_nothing_and_no_point() -> None:
    assert bias_record(None) is None
    assert bias_record(Unsolved("what", "remedy", (), False)) == {"unsolved": "what; remedy"}


def test_everything_comes_back_from_json() -> None:
    found = bias_record(EVERYTHING)
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert found is not None
    assert found["nodes"]["out"] == 5.25
    assert found["nodes"]["far"] is None
    assert found["currents"]["Q2"] == -1.2e-3
    assert found["regions"] == {"Q1": "active", "Q2": "active", "D1": "blocking"}
    assert found["powers"]["Vcc"] == -0.162
    assert (found["residual"], found["supply_current"]) == (2.5e-30, 0.0108)
    assert (len(found["points"]), found["chosen"]) == (3, 1)
    assert found["points"][0]["stable"] is False
    assert found["estimate"]["currents"] == {"Q1": 9e-3}
    assert found["contradictions"] == [{"part": "Q1", "key": "ic", "stated": 1e-3, "found": 0.62e-3}]
    assert found["spread"]["moved"]["Q1"]["by"]["R1"] == -0.049
    assert found["warmed"]["Q1"]["drift"] == -2.03e-3
    assert found["warmed"]["Q2"]["drift"] is None
    assert found["parameters"]["betaF_Q1"] == {"value": 250.0, "unit": "1", "origin": "converted"}


def test_one_point_is_not_listed_again() -> None:
    found = bias_record(replace(BIAS, estimate=None))
    assert found is not None
    assert found["points"] is None
    assert found["estimate"] is None
    assert found["spread"] is None
    assert found["warmed"] == {}


def test_what_is_not_finite_is_null() -> None:
    found = bias_record(replace(BIAS, points=(replace(POINT, residual=nan, scale=inf, powers={"R1": inf}),)))
    assert found is not None
    assert (found["residual"], found["supply_current"], found["powers"]) == (None, None, {"R1": None})
