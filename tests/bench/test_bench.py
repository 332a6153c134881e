"""Measurements beside predictions: a published uncertainty budget, meters, and what would explain a difference."""

from __future__ import annotations

from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import chi2, norm

from derive.bench.records import Benches
from derive.bench.study import study
from derive.derivation.analyse import prepare
from derive.description.reader import read, read_text
from derive.document.compose.bench import _verdict
from derive.words import Reading
from tests.tolerance.kits import divider

WORKED = Path(__file__).parents[2] / "worked"
DIVIDER = '[[bench]]\nof = "A"\nvalue = {value}\nuncertainty = "{uncertainty}"\n'


def held(text: str) -> Benches:
    """What the measurements of a description say."""
    circuit = read_text(text, "test.toml")
    found = study(circuit, prepare(circuit).bias)
    assert found is not None
    return found


def test_the_budget_of_an_end_gauge() -> None:
    """JCGM 100:2008 (GUM), example H.1: 25, 9.7, 2.9 and 16.6 nm combine to 32 nm, and 93 nm with k = 2.92.

    The four contributions as tolerances of four resistors in series: limits of √3 times the standard uncertainty.
    """
    parts = "".join(
        f'R{n} = {{ resistor = "1 kΩ", between = ["n{n - 1}", "{f"n{n}" if n < 4 else "gnd"}"], '
        f"tolerance = {u * sqrt(3) / 1000:.9f} }}\n"
        for n, u in enumerate((25, 9.7, 2.9, 16.6), start=1)
    )
    found = held(
        f'[parts]\n{parts}[[question]]\nname = "Z"\nimpedance = {{ at = "n0" }}\n'
        '[[bench]]\nof = "Z"\nvalue = 4000\nuncertainty = "1 uΩ"\nk = 2.92\n'
    )
    (row,) = found.held[0].rows
    assert row.by_parts == pytest.approx(sqrt(25**2 + 9.7**2 + 2.9**2 + 16.6**2), rel=1e-6)
    assert round(row.by_parts) == 32
    assert round(2.92 * round(row.by_parts)) == 93
    assert row.by_meter == pytest.approx(1e-6 / 2.92)


@pytest.mark.parametrize(("value", "agrees"), [(0.5, True), (0.5099, True), (0.5101, False), (0.48, False)])
def test_a_single_reading(value: float, agrees: bool) -> None:
    """Without tolerances: beyond 1.96 standard uncertainties of 0.5 % of the reading it disagrees."""
    text = divider("1 kΩ", "1 kΩ", "0 %") + DIVIDER.format(value=value, uncertainty="0.0102")
    assert held(text).agrees == agrees


def test_combined_in_the_root_of_squares() -> None:
    text = divider("1 kΩ", "1 kΩ", "1 %") + DIVIDER.format(value=0.51, uncertainty="1 %")
    (row,) = held(text).held[0].rows
    assert row.by_meter == pytest.approx(0.51 * 0.005)
    assert row.by_parts == pytest.approx(0.5 * 0.01 / sqrt(6), rel=1e-5)
    assert row.score == pytest.approx(0.01 / sqrt(row.by_meter**2 + row.by_parts**2))


def test_a_meter_loads_what_it_measures() -> None:
    """10 MΩ and 15 pF across a divider of 1 MΩ: R ∥ Rm ∥ C by hand."""
    meter = 'meter = { resistance = "10 MΩ", capacitance = "15 pF" }\nfrequency = "10 kHz"\n'
    text = divider("1 MΩ", "1 MΩ", "0 %") + DIVIDER.format(value=0.4, uncertainty="1 %") + meter
    (row,) = held(text).held[0].rows
    admittance = 1e-6 + 1e-7 + 2j * pi * 1e4 * 15e-12
    assert row.bare == pytest.approx(0.5)
    assert row.predicted == pytest.approx(abs(1e-6 / (1e-6 + admittance)), rel=1e-9)


def test_a_meter_moves_the_bias() -> None:
    """A meter of 10 kΩ at the collector takes direct current: the stage's gain falls by more than its shunt."""
    text = """
[parts]
Vs  = { signal = "voltage", between = ["src", "gnd"], offset = "1.15 V" }
Q1  = { bjt = "npn", base = "src", collector = "out", emitter = "e", beta = 250, va = "80 V" }
Re  = { resistor = "470 Ω", between = ["e", "gnd"] }
Rc  = { resistor = "4.7 kΩ", between = ["out", "vcc"] }
Vcc = { supply = "12 V", at = "vcc" }
[[question]]
name = "A"
gain = { from = "src", to = "out" }
[[bench]]
of = "A"
value = 6.4
uncertainty = "2 %"
meter = { resistance = "10 kΩ" }
"""
    (row,) = held(text).held[0].rows
    other = text.partition("[[bench]]")[0].replace(
        "Vcc =", 'Rm = { resistor = "10 kΩ", between = ["out", "gnd"] }\nVcc ='
    )
    measured = held(other + '[[bench]]\nof = "A"\nvalue = 6.4\nuncertainty = "2 %"\n')
    assert row.predicted == pytest.approx(measured.held[0].rows[0].predicted, rel=1e-9)


@pytest.mark.parametrize(("part", "factor"), [("C1", 1.3), ("C2", 0.8), ("R1", 1.15)])
def test_the_part_that_is_off_is_named_first(part: str, factor: float, tmp_path: Path) -> None:
    """A sweep of the circuit with one part wrong: the hint names it and by how much."""
    values = {"R1": 82e3, "R2": 47e3, "C1": 100e-9, "C2": 22e-9}
    values[part] *= factor
    frequencies = np.geomspace(2, 300, 25)
    s = 2j * pi * frequencies
    r1, r2, c1, c2 = (values[name] for name in ("R1", "R2", "C1", "C2"))
    # The transfer function of the unity-gain Sallen and Key low-pass.
    h = 1 / (1 + s * c2 * (r1 + r2) + s * s * r1 * r2 * c1 * c2)
    columns = frequencies, 20 * np.log10(abs(h)), np.degrees(np.angle(h))
    rows = [f"{f:.9g};{decibels:.4f};{phase:.3f}" for f, decibels, phase in zip(*columns, strict=True)]
    (tmp_path / "sweep.csv").write_text("f;dB;phase\n" + "\n".join(rows), encoding="utf-8")
    (tmp_path / "filter.toml").write_text(
        """
[parts]
Vs = { signal = "voltage", between = ["src", "gnd"] }
R1 = { resistor = "82 kΩ", between = ["src", "a"], tolerance = "1 %" }
R2 = { resistor = "47 kΩ", between = ["a", "p"], tolerance = "1 %" }
C1 = { capacitor = "100 nF", between = ["a", "out"], tolerance = "5 %" }
C2 = { capacitor = "22 nF", between = ["p", "gnd"], tolerance = "5 %" }
U1 = { opamp = "ideal", plus = "p", minus = "out", out = "out" }
[[question]]
name = "H"
gain = { from = "src", to = "out" }
[[bench]]
of = "H"
sweep = "sweep.csv"
columns = ["frequency Hz", "magnitude dB", "-"]
uncertainty = "0.1 dB"
[[bench]]
of = "H"
sweep = "sweep.csv"
columns = ["frequency Hz", "-", "phase deg"]
uncertainty = "1°"
""",
        encoding="utf-8",
    )
    circuit = read(tmp_path / "filter.toml")
    found = study(circuit, prepare(circuit).bias)
    assert found is not None
    assert not found.agrees
    first = found.explanations[0]
    assert first.part == part
    assert first.explains
    assert first.factor == pytest.approx(factor, rel=2e-3)


def test_parts_within_their_tolerance_agree() -> None:
    """Circuits drawn within their tolerances are found wrong in about one case of twenty, and not more often."""
    source = np.random.default_rng(3)
    wrong = 0
    for _ in range(60):
        a, b = (1 + 0.05 * source.uniform(-1, 1) for _ in range(2))
        true = b / (a + b) * (1 + source.normal(0, 0.002))
        text = divider("1 kΩ", "1 kΩ", "5 %") + DIVIDER.format(value=float(true), uncertainty="0.4 %")
        wrong += not held(text).agrees
    assert wrong <= 8


def test_chances_are_probabilities() -> None:
    """The chance of chi squared as tables have it (7.815 for 3 is 5 %, 1.96 is 5 %); only the verdict corrects it."""
    assert chi2.sf(7.815, 3) == pytest.approx(0.05, abs=1e-4)
    circuit = read(WORKED / "slipway_level_filter.toml")
    found = study(circuit, prepare(circuit).bias)
    assert found is not None
    for one in found.held:
        joint = one.joint
        assert joint.chance == pytest.approx(chi2.sf(joint.squares, len(one.rows)))
        assert joint.along == pytest.approx(2 * norm.sf(abs(joint.score)))
        assert one.agrees == (min(joint.chance, joint.along) * joint.looks >= 0.05)
    said = [piece.value for piece in _verdict(found.held[0]) if isinstance(piece, Reading) and piece.unit == "%"]
    assert said == pytest.approx([48.6, 100 * found.held[0].joint.along, 5], rel=2e-3)
    assert "for the verdict" in "".join(p for p in _verdict(found.held[0]) if isinstance(p, str)).lower()
