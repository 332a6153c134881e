"""What a description says of its bias point: temperatures, and near which voltages to seek it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.circuit.records import Circuit
from derive.description.reader import read_text
from derive.errors import DescriptionError
from tests.description.samples import BUFFER, DIVIDER


def kelvin(celsius: str) -> Fraction:
    """The degree Celsius is defined by T/K = t/°C + 273.15 (SI Brochure, 9th edition, section 2.3.1)."""
    return Fraction(celsius) + Fraction("273.15")


def with_end(lines: str) -> Circuit:
    return read_text(DIVIDER + lines, "c.toml")


@pytest.mark.parametrize(
    ("written", "nominal", "limits"),
    [
        ('"40 °C"', "40", None),
        ('["0 °C", "50 °C"]', "25", ("0", "50")),
        ('["25 °C", "70 °C"]', "25", ("25", "70")),
        ('["30 °C", "70 °C"]', "50", ("30", "70")),
        ('["-40 °C", "0 °C"]', "-20", ("-40", "0")),
        ('["0 °C", "40 °C", "50 °C"]', "40", ("0", "50")),
        ('["273.15 K", "50 °C"]', "25", ("0", "50")),
    ],
)
def test_temperatures(written: str, nominal: str, limits: tuple[str, str] | None) -> None:
    about = with_end(f"[about]\ntemperature = {written}\n").about
    assert about.temperature == kelvin(nominal)
    assert about.temperatures == (limits and tuple(kelvin(one) for one in limits))


def test_without_a_range() -> None:
    about = with_end("").about
    assert (about.temperature, about.temperatures) == (kelvin("25"), None)


def test_near() -> None:
    circuit = with_end('[bias]\nnear = { out = "5 V", "R1.first" = -0.5 }\n')
    assert {node: (one.value, one.unit) for node, one in circuit.near.items()} == {
        "out": (5, "V"),
        "in": (Fraction(-1, 2), "V"),
    }
    assert not with_end("").near


def test_near_in_a_table_of_its_own() -> None:
    text = BUFFER + '[bias.near]\n"Q1.source" = "6 V"\nd = "11.4 V"\n'
    assert list(read_text(text, "c.toml").near) == ["out", "d"]


WRONG = {
    "descending": ('[about]\ntemperature = ["50 °C", "0 °C"]\n', 10, ["do not ascend", '["0 °C", "50 °C"]']),
    "descending in the middle": ('[about]\ntemperature = ["0 °C", "60 °C", "50 °C"]\n', 10, ["do not ascend"]),
    "equal": ('[about]\ntemperature = ["50 °C", "50 °C"]\n', 10, ["do not ascend"]),
    "one in a list": ('[about]\ntemperature = ["50 °C"]\n', 10, ["1 temperature is given", "two or three"]),
    "four": ('[about]\ntemperature = ["1 K", "2 K", "3 K", "4 K"]\n', 10, ["4 temperatures are given"]),
    "below absolute zero": ('[about]\ntemperature = "-300 °C"\n', 10, ["absolute zero", "-273.15 °C", '"25 °C"']),
    "at absolute zero": ('[about]\ntemperature = "0 K"\n', 10, ["not above absolute zero"]),
    "a list below absolute zero": ('[about]\ntemperature = ["-300 °C", "0 °C"]\n', 10, ["absolute zero"]),
    "unknown node": ('[bias]\nnear = { oot = "5 V" }\n', 10, ["no node oot", "nearest node is out"]),
    "unknown pin": ('[bias]\nnear = { "R1.base" = "5 V" }\n', 10, ["R1 has no pin base"]),
    "ground": ('[bias]\nnear = { gnd = "0 V" }\n', 10, ["ground is zero"]),
    "one node twice": ('[bias]\nnear = { in = "5 V", "R1.first" = "4 V" }\n', 10, ["in and R1.first are one node"]),
    "in amperes": ('[bias]\nnear = { out = "5 mA" }\n', 10, ["near.out", "in amperes", "volts"]),
    "a pin without quotes": ('[bias]\nnear = { R1.first = "5 V" }\n', 10, ["in quotes", '"R1.first"']),
    "no node": ('[bias]\nnear = { "o ut" = "5 V" }\n', 10, ["neither a node nor a pin"]),
    "no table": ('[bias]\nnear = "5 V"\n', 10, ["not a table", 'near = { out = "5 V" }']),
    "empty": ("[bias]\nnear = { }\n", 10, ["table is empty"]),
    "nothing": ("[bias]\n", 9, ["near is missing"]),
    "another key": ("[bias]\nner = { }\n", 10, ["ner", "near"]),
    "no table at all": ("bias = 3\n", 9, ["unknown key", "gain"]),
    "two tables": ('[[bias]]\nnear = { out = "5 V" }\n', 9, ["a list is not a table"]),
}


@pytest.mark.parametrize("case", WRONG)
def test_refused_in_words(case: str) -> None:
    lines, number, fragments = WRONG[case]
    with pytest.raises(DescriptionError) as caught:
        with_end(lines)
    assert caught.value.line == number, str(caught.value)
    for fragment in fragments:
        assert fragment in f"{caught.value.what}; {caught.value.remedy}", str(caught.value)
    assert str(caught.value).isprintable()
