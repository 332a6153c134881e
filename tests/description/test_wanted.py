"""Criteria, targets, measurements and chance in a description: what is read, and what is refused in which words."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from derive.circuit.wanted import Meter, Wanted
from derive.description.reader import read, read_text
from derive.errors import DescriptionError
from tests.description.samples import DIVIDER

Z = '[[question]]\nname = "Z"\nimpedance = { at = "out" }\n'


def wanted(text: str) -> Wanted:
    return read_text(DIVIDER + Z + text, "wanted.toml").wanted


def test_what_is_read() -> None:
    found = wanted(
        """
[tolerance]
samples = 5000
seed = 3
distribution = "normal"
[[criterion]]
of = "A"
at_least = "-4 dB"
[[criterion]]
of = "Z"
quantity = "capacitance"
frequency = "2 kHz"
at_most = "10 pF"
[[solve]]
part = "R1"
so_that = "A"
equals = "40 %"
[[bench]]
of = "Z"
value = "0.7 kΩ"
uncertainty = "2 %"
meter = { resistance = "1 MΩ" }
[[bench]]
of = "A"
phase = "1°"
uncertainty = "0.5°"
k = 1
"""
    )
    assert (found.chance.samples, found.chance.seed, found.chance.distribution) == (5000, 3, "normal")
    assert [(c.quantity, c.unit, c.at_least, c.at_most) for c in found.criteria] == [
        ("decibels", "dB", -4, None),
        ("capacitance", "F", None, Fraction(1, 10**11)),
    ]
    assert found.targets[0].equals == Fraction(2, 5)
    assert found.benches[0].meter == Meter("out", "gnd", Fraction(10**6), None)
    assert found.benches[0].taken[0].uncertainty == 14
    assert (found.benches[1].taken[0].unit, found.benches[1].k) == ("°", 1)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[[criterion]]\nof = "B"\nat_least = 1\n', ["line 13", "criterion 1", "no question B"]),
        ('[[criterion]]\nof = "A"\n', ["sets no limit", "at_least"]),
        ('[[criterion]]\nof = "A"\nat_least = 2\nat_most = 1\n', ["at_least is above at_most"]),
        ('[[criterion]]\nof = "A"\nat_least = 2\nat_most = "3 dB"\n', ["one limit is in decibels"]),
        ('[[criterion]]\nof = "A"\nquantity = "resistance"\nat_least = 2\n', ["no impedance", "no resistance"]),
        ('[[criterion]]\nof = "Z"\nquantity = "capacitance"\nfrequency = 0\nat_least = 2\n', ["at 0 Hz"]),
        ('[[criterion]]\nof = "Z"\nquantity = "reactance"\nat_least = 2\n', ["reactance", "quantity"]),
        ('[[criterion]]\nof = "Z"\nat_least = "2 V"\n', ["in volts", "ohms"]),
        ("[tolerance]\nsamples = 10\n", ["tolerance: samples", "from 1000"]),
        ('[tolerance]\ndistribution = "flat"\n', ["flat", '"uniform" or "normal"']),
        ('[[solve]]\npart = "R9"\nso_that = "A"\nequals = 1\n', ["no part R9", "R1"]),
        ('[[solve]]\npart = "Vs"\nso_that = "A"\nequals = 1\n', ["a signal", "no single value"]),
        ('[[solve]]\npart = "R1"\nso_that = "A"\n', ["equals is missing"]),
        ('[[solve]]\npart = "R1"\nso_that = "A"\nequals = 0\n', ["a magnitude of zero"]),
        ('[[solve]]\npart = "R1"\nso_that = "A"\nequals = 1\nseries = "E13"\n', ["E13", "E12"]),
        ('[[bench]]\nof = "A"\nvalue = 0.5\n', ["without an uncertainty"]),
        ('[[bench]]\nof = "A"\nuncertainty = "1 %"\n', ["holds no measurement"]),
        ('[[bench]]\nof = "A"\nvalue = -0.5\nuncertainty = "1 %"\n', ["is negative", "180°"]),
        ('[[bench]]\nof = "A"\nvalue = 0.5\nuncertainty = 0\n', ["not greater than zero"]),
        ('[[bench]]\nof = "A"\nphase = "5°"\nuncertainty = "1 %"\n', ["of an angle", '"1 °"']),
        ('[[bench]]\nof = "A"\nvalue = 0.5\nuncertainty = "1 %"\nk = 9\n', ["coverage factor"]),
        ('[[bench]]\nof = "A"\nvalue = 0.5\nuncertainty = "1 %"\nmeter = {}\n', ["neither resistance nor capacitance"]),
        (
            '[[bench]]\nof = "A"\nvalue = 0.5\nuncertainty = "1 %"\nmeter = { resistance = "1 MΩ", at = "x" }\n',
            ["there is no node x"],
        ),
        ('[[bench]]\nof = "A"\nsweep = "a.csv"\nuncertainty = "1 %"\n', ["sweep without columns"]),
        ('[bench]\nof = "A"\n', ["single brackets", "[[bench]]"]),
        ("solve = 3\n", ["unknown key"]),
    ],
)
def test_what_is_refused(text: str, words: list[str]) -> None:
    with pytest.raises(DescriptionError) as caught:
        wanted(text)
    assert all(word in str(caught.value) for word in words), str(caught.value)


SWEEP = '[[bench]]\nof = "A"\nsweep = "{name}"\ncolumns = {columns}\nuncertainty = "1 %"\n'


def sweep(
    folder: Path, content: str, name: str = "sweep.csv", columns: str = '["frequency Hz", "magnitude V/V"]'
) -> Wanted:
    """The measurements of a sweep beside a description."""
    (folder / "sweep.csv").write_text(content, encoding="utf-8")
    path = folder / "described.toml"
    path.write_text(DIVIDER + SWEEP.format(name=name, columns=columns), encoding="utf-8")
    return read(path).wanted


@pytest.mark.parametrize(
    "content",
    [
        "f,A\n10,0.66\n1e3,0.67\n",
        "10;0.66\n1000;0.67",
        "# a remark\n10 0.66\n\n+1000 +0.67\n",
        "10,0.66,x\n1000,0.67,y\n",
    ],
)
def test_ways_to_write_a_sweep(content: str, tmp_path: Path) -> None:
    (bench,) = sweep(tmp_path, content).benches
    assert [(float(t.frequency), float(t.value)) for t in bench.taken] == [(10.0, 0.66), (1000.0, 0.67)]


def test_columns_with_units(tmp_path: Path) -> None:
    columns = '["-", "frequency kHz", "magnitude dB", "uncertainty dB"]'
    (bench,) = sweep(tmp_path, "x,1,-3.5,0.2\n", columns=columns).benches
    (taken,) = bench.taken
    assert (taken.frequency, taken.value, taken.uncertainty) == (1000, Fraction("-3.5"), Fraction("0.2"))


@pytest.mark.parametrize(
    ("content", "name", "columns", "words"),
    [
        ("1,2\n", "../sweep.csv", '["frequency Hz", "magnitude 1"]', ["leads out of the description's folder"]),
        ("1,2\n", "/etc/passwd", '["frequency Hz", "magnitude 1"]', ["leads out of the description's folder"]),
        ("1,2\n", "gone.csv", '["frequency Hz", "magnitude 1"]', ["there is no file"]),
        ("1,2\n", "link.csv", '["frequency Hz", "magnitude 1"]', ["leads out of the description's folder"]),
        ("1,2\n", "sweep.csv", '["frequency Hz"]', ["no measured quantity"]),
        ("1,2\n", "sweep.csv", '["magnitude dB", "-"]', ["no frequency"]),
        ("1,2\n", "sweep.csv", '["frequency Hz", "loudness dB"]', ["column 2", "magnitude"]),
        ("1,2\n", "sweep.csv", '["frequency s", "magnitude dB"]', ["column 1", "kHz"]),
        ("1,2\n", "sweep.csv", '["frequency Hz", "frequency Hz"]', ["two columns"]),
        ("1,2\n", "sweep.csv", '["frequency Hz", "resistance Ω"]', ["no impedance"]),
        ("1\n", "sweep.csv", '["frequency Hz", "magnitude 1"]', ["line 1", "1 columns, and 2"]),
        ("1,2\n3,four\n", "sweep.csv", '["frequency Hz", "magnitude 1"]', ["line 2, column 2", '"four"']),
        ("1,nan\n", "sweep.csv", '["frequency Hz", "magnitude 1"]', ["not a number"]),
        ("f,A\n", "sweep.csv", '["frequency Hz", "magnitude 1"]', ["holds no measurement"]),
    ],
)
def test_sweeps_that_are_refused(content: str, name: str, columns: str, words: list[str], tmp_path: Path) -> None:
    folder = tmp_path / "inner"
    folder.mkdir()
    (tmp_path / "outside.csv").write_text("1,2\n", encoding="utf-8")
    (folder / "link.csv").symlink_to(tmp_path / "outside.csv")
    with pytest.raises(DescriptionError) as caught:
        sweep(folder, content, name, columns)
    assert all(word in str(caught.value) for word in words), str(caught.value)
    assert str(caught.value).startswith(str(folder / "described.toml"))


def test_a_description_without_a_file_has_no_sweep() -> None:
    with pytest.raises(DescriptionError, match="no folder"):
        read_text(DIVIDER + SWEEP.format(name="sweep.csv", columns='["frequency Hz", "magnitude 1"]'), "nowhere.toml")
