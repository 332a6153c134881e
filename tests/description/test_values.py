"""Quantities: exact, in SI base units, refused in words.

Letter codes: IEC 60062, Marking codes for resistors and capacitors; examples from memory.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from derive.description.units import PREFIXES, SPELLINGS
from derive.description.values import WrongValue, read_quantity

E = Fraction(10)


@pytest.mark.parametrize(
    ("code", "ohms"),
    [
        ("R10", "0.10"),
        ("R332", "0.332"),
        ("1R0", "1.0"),
        ("3R32", "3.32"),
        ("59R04", "59.04"),
        ("590R", "590"),
        ("1K0", "1000"),
        ("3K32", "3320"),
        ("10K", "10000"),
        ("59K04", "59040"),
        ("1M0", "1000000"),
        ("3M32", "3320000"),
        ("1G0", "1e9"),
        ("10G", "1e10"),
        ("1T0", "1e12"),
        ("4k7", "4700"),
        ("1M5", "1.5e6"),
        ("R47", "0.47"),
        ("4k7Ω", "4700"),
        ("4R7 Ω", "4.7"),
    ],
)
def test_letter_codes_of_resistors(code: str, ohms: str) -> None:
    assert read_quantity(code, "Ω").value == Fraction(ohms)


@pytest.mark.parametrize(
    ("code", "farads"),
    [
        ("p10", "0.1e-12"),
        ("p332", "0.332e-12"),
        ("1p0", "1e-12"),
        ("3p32", "3.32e-12"),
        ("59p04", "59.04e-12"),
        ("100p", "100e-12"),
        ("1n0", "1e-9"),
        ("3n32", "3.32e-9"),
        ("1µ0", "1e-6"),
        ("4u7", "4.7e-6"),
        ("1m0", "1e-3"),
        ("3m32", "3.32e-3"),
        ("2n2", "2.2e-9"),
        ("2n2F", "2.2e-9"),
        ("1F0", "1"),
    ],
)
def test_letter_codes_of_capacitors(code: str, farads: str) -> None:
    assert read_quantity(code, "F").value == Fraction(farads)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("4.7 kΩ", "Ω", "4700"),
        ("4.7kΩ", "Ω", "4700"),
        ("4.7k", "Ω", "4700"),
        ("4.7 k\u2126", "Ω", "4700"),
        ("4.7 kohm", "Ω", "4700"),
        ("4.7\u00a0kΩ", "Ω", "4700"),
        ("22 M", "Ω", "22e6"),
        ("5 m", "Ω", "5e-3"),
        ("3.3 uF", "F", "3.3e-6"),
        ("3.3 \u00b5F", "F", "3.3e-6"),
        ("3.3 \u03bcF", "F", "3.3e-6"),
        ("10nF", "F", "10e-9"),
        ("1e-6", "F", "1e-6"),
        ("1 F", "F", "1"),
        ("2 mA", "A", "2e-3"),
        ("20 fA", "A", "20e-15"),
        ("-2 V", "V", "-2"),
        ("+2 V", "V", "2"),
        (".5 V", "V", "0.5"),
        ("0.01 1/V", "1/V", "0.01"),
        ("0.01/V", "1/V", "0.01"),
        ("1 %/V", "1/V", "0.01"),
        ("2 mA/V²", "A/V²", "2e-3"),
        ("2 mA/V^2", "A/V²", "2e-3"),
        ("2 mS", "S", "2e-3"),
        ("1 kHz", "Hz", "1000"),
        ("1 %", "1", "0.01"),
        ("200", "1", "200"),
        ("25 °C", "K", "298.15"),
        ("300 K", "K", "300"),
        ("-40 °C", "K", "233.15"),
        ("1.5e3 kΩ", "Ω", "1.5e6"),
    ],
)
def test_units_and_prefixes(text: str, unit: str, value: str) -> None:
    assert read_quantity(text, unit, "any").value == Fraction(value)


@pytest.mark.parametrize(("value", "exact"), [(Decimal("3.3e-6"), Fraction(33, 10**7)), (4700, Fraction(4700))])
def test_bare_numbers_are_exact(value: object, exact: Fraction) -> None:
    assert read_quantity(value, "F").value == exact


@pytest.mark.parametrize(
    ("value", "unit", "fragments"),
    [
        ("10 nF", "Ω", ["in farads", "ohms", "4.7 kΩ"]),
        ("4.7 kΩ", "F", ["in ohms", "farads"]),
        ("5 V", "1", ["in volts", "pure number"]),
        ("5", "K", ["degrees"]),
        (25, "K", ["no unit", "25 °C"]),
        ("4,7 k", "Ω", ["decimal comma", "decimal point"]),
        ("10 K", "Ω", ["kelvin", "k for kilo"]),
        ("10 meg", "Ω", ["M is mega"]),
        ("2n2", "Ω", ["letter code", "ohms"]),
        ("4k7", "F", ["letter code", "farads"]),
        ("4k7", "H", ["letter code"]),
        ("foo", "Ω", ["not a number"]),
        ("", "Ω", ["empty"]),
        ("nan", "Ω", ["finite"]),
        ("-inf", "Ω", ["finite"]),
        (True, "Ω", ["true is not a number"]),
        (False, "1", ["false is not a number"]),
        ([1], "Ω", ["a list"]),
        ({}, "Ω", ["a table"]),
        ("0", "Ω", ["greater than zero"]),
        ("-1k", "Ω", ["greater than zero"]),
        ("1e99", "Ω", ["sensible size"]),
        ("1e999999999", "Ω", ["sensible size"]),
        ("9" * 99, "Ω", ["sensible size"]),
        (Decimal("1e999999999"), "Ω", ["sensible size"]),
        (Decimal("1e-99"), "Ω", ["sensible size"]),
        (10**300, "Ω", ["sensible size"]),
        ("10 kV/s", "V", ["not a unit of volts"]),
        ("1.2.3", "Ω", ["not a number"]),
        ("٣ Ω", "Ω", ["not a number"]),
        ("1 k k", "Ω", ["not a unit"]),
    ],
)
def test_refused_in_words(value: object, unit: str, fragments: list[str]) -> None:
    with pytest.raises(WrongValue) as caught:
        read_quantity(value, unit)
    for fragment in fragments:
        assert fragment in f"{caught.value.what} {caught.value.remedy}"


@pytest.mark.parametrize(("sign", "bad"), [("fraction", "100 %"), ("fraction", "-1 %"), ("not negative", "-1")])
def test_signs(sign: str, bad: str) -> None:
    with pytest.raises(WrongValue):
        read_quantity(bad, "1", sign)
    assert read_quantity("0", "1", sign).value == 0


@given(
    st.decimals(min_value="0.001", max_value=9999, places=3),
    st.sampled_from([prefix for prefix in PREFIXES if prefix]),
    st.sampled_from(["Ω", "F", "H", "V", "A", "S", "Hz"]),
)
def test_every_prefix_is_a_power_of_ten(number: Decimal, prefix: str, unit: str) -> None:
    quantity = read_quantity(f"{number} {prefix}{unit}", unit)
    assert quantity.value == Fraction(number) * E ** PREFIXES[prefix]
    assert quantity.unit == unit


@given(st.text(max_size=20), st.sampled_from(list(SPELLINGS)))
@settings(max_examples=400, deadline=200)
def test_any_text_is_a_value_or_refused(text: str, unit: str) -> None:
    try:
        read_quantity(text, unit, "any")
    except WrongValue as wrong:
        fault = wrong.what
    else:
        fault = "none"
    assert 0 < len(fault) < 200
