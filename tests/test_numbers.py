"""Engineering notation against a table, and against the rounding of the decimal module."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from derive.errors import Defect
from derive.numbers import MINUS, PREFIXES, THIN, engineering, plain

TABLE = [
    (Fraction(4700), "Ω", 3, "4.70 kΩ"),
    (4700, "Ω", 4, "4.700 kΩ"),
    (999.96, "Ω", 4, "1.000 kΩ"),
    (999.94, "Ω", 4, "999.9 Ω"),
    (Fraction("999.95"), "Ω", 4, "1.000 kΩ"),
    (Fraction(-47, 10**9), "F", 2, "−47 nF"),
    (1.5e-13, "F", 3, "150 fF"),
    (3.3e-6, "F", 2, "3.3 µF"),
    (1e12, "Ω", 3, "1.00 TΩ"),
    (1e15, "Ω", 3, "1.00 × 10¹⁵ Ω"),
    (1e-18, "A", 3, "1.00 × 10⁻¹⁸ A"),
    (0, "V", 4, "0 V"),
    (math.inf, "Ω", 4, "∞ Ω"),
    (-math.inf, "1", 4, "−∞"),
    (0.5, "V/V", 4, "0.5000"),
    (12345.678, "1", 4, f"12{THIN}350"),
    (123456.7, "1", 7, f"123{THIN}456.7"),
    (999999.5, "1", 6, "1.000 00 × 10⁶".replace(" 00", f"{THIN}00")),
    (1.2345e7, "1", 4, "12.35 × 10⁶"),
    (0.001234, "1", 4, f"0.001{THIN}234"),
    (0.0001234, "1", 3, "123 × 10⁻⁶"),
    (2.5e-12, "s^2", 3, "2.50 × 10⁻¹² s²"),
    (2.5e-12, "s", 3, "2.50 ps"),
    (6283.2, "1/s", 4, "6283 1/s"),
    (0.002, "A/V^2", 2, "2.0 mA/V²"),
    (6e-9, "s^3", 2, "6.0 × 10⁻⁹ s³"),
    (3.5e6, "1/s^2", 2, "3.5 × 10⁶ 1/s²"),
    (4e-9, "V/√Hz", 2, "4.0 nV/√Hz"),
    (-3.0103, "dB", 4, "−3.01 dB"),
    (-0.001, "dB", 4, "0.00 dB"),
    (123.456, "°", 4, "123.5°"),
    (-12.345, "°", 3, "−12.3°"),
    (0.0123, "%", 2, "0.012 %"),
    (7.7e-16, "1", 2, "7.7 × 10⁻¹⁶"),
    (Fraction("9.996e-7"), "1", 3, "1.00 × 10⁻⁶"),
    (1.234e-7, "1", 3, "1.23 × 10⁻⁷"),
    (-1e-11, "%", 2, "−1.0 × 10⁻¹¹ %"),
    (1234.5, "%", 2, "1200 %"),
    (15e6, "%", 2, f"15{THIN}000{THIN}000 %"),
    (2.5e11, "%", 2, "250 × 10⁹ %"),
]


@pytest.mark.parametrize(("value", "unit", "digits", "text"), TABLE)
def test_table(value: float, unit: str, digits: int, text: str) -> None:
    assert str(engineering(value, unit, digits)) == text


def test_every_prefix_begins_at_one_thousand_of_the_one_below() -> None:
    for power, prefix in PREFIXES.items():
        parts = engineering(Fraction(10) ** power, "V", 3)
        assert (parts.mantissa, parts.prefix, parts.exponent) == ("1.00", prefix, 0)


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**20), max_value=10**20), st.integers(1, 8))
def test_rounds_as_the_decimal_module_does(value: Decimal, digits: int) -> None:
    parts = engineering(Fraction(value), "V", digits)
    scale = {prefix: power for power, prefix in PREFIXES.items()}[parts.prefix] + parts.exponent
    printed = Decimal(parts.mantissa.replace(MINUS, "-").replace(THIN, "")).scaleb(scale)
    exact = Context(prec=digits, rounding=ROUND_HALF_UP, Emin=-(10**6), Emax=10**6).create_decimal(value)
    assert printed == exact


@given(st.floats(min_value=1e-14, max_value=9.9e14), st.integers(3, 6))
def test_mantissa_has_its_digits(value: float, digits: int) -> None:
    parts = engineering(value, "Ω", digits)
    bare = parts.mantissa.replace(THIN, "").replace(".", "")
    assert len(bare) == digits
    assert 1 <= float(parts.mantissa.replace(THIN, "")) < 1000


def test_plain_text_of_complex_values() -> None:
    assert plain(3 + 4j, "Ω", 3) == "5.00 Ω ∠ 53.1°"
    assert plain(-2 + 0j, "V/V", 2) == "−2.0"
    assert plain(-1e-9j, "1", 3) == "1.00 × 10⁻⁹ ∠ −90.0°"
    assert plain(complex(math.inf, 1), "Ω") == "∞ Ω"


def test_what_is_not_a_number_is_a_defect() -> None:
    with pytest.raises(Defect):
        engineering(math.nan, "Ω")
