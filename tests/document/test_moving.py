"""Tolerances and temperature on the sheet."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import exp, isclose

import pytest

from derive.bias.saturation import warmed_saturation
from derive.document.compose import spread, warmth
from derive.document.compose.phrases import change, joined
from derive.expression.tree import evaluate
from derive.spoken import spoken
from tests.document import biased
from tests.document.biased import BIAS, circuit, part, text_of

BOLTZMANN_EV = 8.617333262e-5
"""eV/K, CODATA 2018 (from memory)."""


def test_nothing_to_say() -> None:
    assert spread.blocks(BIAS, circuit()) == []
    assert warmth.blocks(BIAS, circuit()) == []


def test_spread() -> None:
    """Currents without sign, extremes in per cent, causes that count, leakages left out."""
    text = text_of(spread.blocks(replace(BIAS, spread=biased.SPREAD), circuit()))
    assert "Ic_Q1 | 9.750 mA | 9.200 mA | −5.6 % | 10.30 mA | +5.6 % | R1 −4.9 %, hfe of Q1 +2.0 %" in text
    assert "Id_Q2 | 1.200 mA | 1.000 mA | −17 % | 1.400 mA | +17 % | Idss and Vp of Q2 +11 %" in text
    assert "Id_D1" not in text
    assert "among 64 circuits" in text
    assert "(of which 2 found no point)" in text
    assert "Idss and Vp of Q2 move together, since both grow with the channel" in text
    assert "derivative of the whole bias point" in text


def test_warmed() -> None:
    text = text_of(warmth.blocks(replace(BIAS, warmed=biased.WARMED), circuit()))
    assert "Current | 0 °C | 25 °C | 50 °C | Change | Drift" in text
    assert "Ic_Q1 | 9.600 mA | 9.750 mA | 9.900 mA | +3.1 % | −2.03 mV/K" in text
    assert "Id_Q2 | 1.200 mA | 1.200 mA | 1.200 mA | 0 % | –" in text
    assert "1.12 eV (silicon)" in text


def test_the_law_is_named_at_another_temperature() -> None:
    text = text_of(warmth.blocks(BIAS, circuit(temperature=Fraction("313.15"))))
    assert "exp" in text
    assert "Drift" not in text


@pytest.mark.parametrize("variety", ["npn", "silicon", "germanium", "schottky", "led"])
@pytest.mark.parametrize("kelvin", [Fraction("273.15"), Fraction("323.15")])
def test_the_printed_law_is_the_one_that_is_used(variety: str, kelvin: Fraction) -> None:
    """The page's algebra with the page's gap gives what moves the bias point."""
    gap, power = warmth.GAPS.get(variety, warmth.SILICON)
    values = {"Tj": float(kelvin), "T0": 298.15, "Eg": gap, "kB": BOLTZMANN_EV}
    printed = evaluate(warmth.growth(power), values, {"exp": exp}, float)
    assert isclose(printed, float(warmed_saturation(variety, kelvin)), rel_tol=1e-6)


def test_gaps_of_the_junctions_that_are_there() -> None:
    more = part("D2", "diode", "schottky", {"anode": "a", "cathode": "b"})
    text = text_of(warmth.blocks(replace(BIAS, warmed=biased.WARMED), circuit(more)))
    assert "690 meV (Schottky) and 1.12 eV (silicon)" in text
    assert "square" in text


@pytest.mark.parametrize(
    ("found", "than", "words"), [(1.1, 1.0, "+10 %"), (0.0, 1.0, "−100 %"), (1.0, 0.0, "–"), (1.0, 1.0, "0 %")]
)
def test_change(found: float, than: float, words: str) -> None:
    assert spoken(change(found, than)) == words


def test_joined() -> None:
    assert spoken(joined([])) == ""
    assert spoken(joined([("a",)])) == "a"
    assert spoken(joined([("a",), ("b",), ("c",)])) == "a, b and c"
