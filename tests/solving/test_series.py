"""The preferred values of IEC 60063 (tables from memory)."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from derive.solving.series import around, mantissas, nearest

E24 = "1.0 1.1 1.2 1.3 1.5 1.6 1.8 2.0 2.2 2.4 2.7 3.0 3.3 3.6 3.9 4.3 4.7 5.1 5.6 6.2 6.8 7.5 8.2 9.1"
E48 = (
    "1.00 1.05 1.10 1.15 1.21 1.27 1.33 1.40 1.47 1.54 1.62 1.69 1.78 1.87 1.96 2.05 2.15 2.26 2.37 2.49 2.61 2.74 "
    "2.87 3.01 3.16 3.32 3.48 3.65 3.83 4.02 4.22 4.42 4.64 4.87 5.11 5.36 5.62 5.90 6.19 6.49 6.81 7.15 7.50 7.87 "
    "8.25 8.66 9.09 9.53"
)


def table(text: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(value) for value in text.split())


@pytest.mark.parametrize(
    ("series", "values"),
    [
        ("E3", table("1.0 2.2 4.7")),
        ("E6", table("1.0 1.5 2.2 3.3 4.7 6.8")),
        ("E12", table("1.0 1.2 1.5 1.8 2.2 2.7 3.3 3.9 4.7 5.6 6.8 8.2")),
        ("E24", table(E24)),
        ("E48", table(E48)),
    ],
)
def test_tables(series: str, values: tuple[Fraction, ...]) -> None:
    assert mantissas(series) == values


@pytest.mark.parametrize(("series", "count"), [("E96", 96), ("E192", 192)])
def test_fine_series(series: str, count: int) -> None:
    found = mantissas(series)
    assert len(set(found)) == count
    assert list(found) == sorted(found)
    assert set(mantissas("E48")) <= set(mantissas("E96")) <= set(mantissas("E192"))


def test_what_arithmetic_would_miss() -> None:
    """The one value of E192 that is not the rounded root: 9.20, where arithmetic gives 9.19."""
    assert Fraction("9.20") in mantissas("E192")
    assert Fraction("9.19") not in mantissas("E192")


def test_nearest_by_ratio() -> None:
    source = Random(4)
    for series in ("E6", "E24", "E96"):
        for _ in range(200):
            value = Fraction(source.randrange(1, 10**6), 10 ** source.randrange(0, 12))
            low, high = around(value, series)
            assert low <= value < high
            found = nearest(value, series)
            assert max(found / value, value / found) == min(value / low, high / value)


def test_at_the_end_of_a_decade() -> None:
    assert nearest(Fraction(990), "E12") == 1000
    assert nearest(Fraction(1), "E24") == 1
