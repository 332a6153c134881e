"""Quantities: a number, an SI prefix and a unit, exact.

Enters: a text or number of a description and the unit that is expected. Leaves: a Quantity, or WrongValue.
Must not know: keys, parts, lines.

In a letter code (IEC 60062) the letter stands for the decimal point.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from derive.circuit.records import Quantity
from derive.description.hints import quote
from derive.description.units import FIXED, LETTERS, OPTIONAL, PREFIXES, SPELLINGS, ZERO

_NUMBER = re.compile(r"([+-]?)([0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE]([+-]?[0-9]+))?(?![0-9.])")
_CODE = re.compile(r"([0-9]*)([A-Za-zµμ])([0-9]*)")
_SPACES = " \u00a0\u2009\u202f"
_LARGEST_POWER = 40
_MOST_DIGITS = 60
_ZERO_CELSIUS = Fraction("273.15")  # K, exact by the definition of the degree Celsius
_PERCENT = 'write it as "1 %"'
_TEMPERATURE = 'write "25 °C" or "298.15 K"'


class WrongValue(ValueError):
    """A value without sense: what is wrong with it, and what would be right."""

    def __init__(self, what: str, remedy: str = "") -> None:
        self.what, self.remedy = what, remedy
        super().__init__(what)


def read_quantity(value: object, unit: str, sign: str = "positive") -> Quantity:
    """The exact quantity in SI base units. ``sign``: ``positive``, ``any``, ``not negative``, ``fraction`` (0 to 1)
    or ``count`` (positive, and never a percentage).

    A bare number counts in ``unit``. Raises WrongValue.

    >>> read_quantity("4k7", "Ω").value, read_quantity("3.3 uF", "F").value
    (Fraction(4700, 1), Fraction(33, 10000000))
    """
    if isinstance(value, bool):
        raise WrongValue(f"{quote(value)} is not a number", _remedy(unit, sign))
    if isinstance(value, int | Decimal):
        if unit == "K":
            raise WrongValue(f"{quote(value)} has no unit", _TEMPERATURE)
        number, text = _exact(value), str(value)
    elif isinstance(value, str):
        text = value.strip(_SPACES)
        if sign == "count":
            _refuse_ratio(text)
        number = _read_text(text, unit) if sign != "fraction" else _read_fraction(text)
    else:
        raise WrongValue(f"{quote(value)} is not a value", _remedy(unit, sign))
    if number != 0 and not Fraction(1, 10**_LARGEST_POWER) <= abs(number) <= 10**_LARGEST_POWER:
        raise WrongValue(f"{quote(text)} has no sensible size", f"write {_expected(unit)}")
    _check_sign(number, text, sign, unit)
    return Quantity(number, unit, text)


def _expected(unit: str) -> str:
    words, _, example = SPELLINGS[unit]
    return f'{words if unit == "1" else f"a value in {words}"}, such as "{example}"'


def _remedy(unit: str, sign: str) -> str:
    return _PERCENT if sign == "fraction" else f"write {_expected(unit)}"


def _exact(value: int | Decimal) -> Fraction:
    """The exact fraction of a TOML number, bounded before it is made."""
    if isinstance(value, int):
        too_large = value.bit_length() > 140
    else:
        too_large = abs(value.adjusted()) > _LARGEST_POWER or len(value.as_tuple().digits) > _MOST_DIGITS
    if too_large and value != 0:
        raise WrongValue("the number has no sensible size", "check its power of ten")
    return Fraction(value) if value != 0 else Fraction(0)


def _read_text(text: str, unit: str) -> Fraction:
    code = _read_code(text, unit)
    if code is not None:
        return code
    match = _NUMBER.match(text)
    if match is None:
        raise _no_number(text, unit)
    sign, digits, exponent = match.groups()
    if len(digits) > _MOST_DIGITS or len(exponent or "") > 4 or abs(int(exponent or 0)) > _LARGEST_POWER:
        raise WrongValue(f"{quote(text)} has no sensible size", f"write {_expected(unit)}")
    number = Fraction(digits) * Fraction(10) ** int(exponent or 0) * (-1 if sign == "-" else 1)
    rest = text[match.end() :].strip(_SPACES)
    if unit == "K" and rest in ("°C", "℃"):
        return number + _ZERO_CELSIUS
    factor = _factor(rest, unit)
    if factor is None:
        raise _wrong_unit(text, rest, unit)
    return number * factor


def _read_fraction(text: str) -> Fraction:
    """A number whose messages show a percentage."""
    try:
        return _read_text(text, "1")
    except WrongValue as wrong:
        raise WrongValue(wrong.what, _PERCENT if "such as" in wrong.remedy else wrong.remedy) from None


def _refuse_ratio(text: str) -> None:
    """Refuse a percentage or decibels where a ratio is counted, as a current gain is."""
    for ending, words, example in (("%", "a percentage", "1.5"), ("db", "in decibels", "1e5")):
        if text.lower().endswith(ending):
            what = f"{quote(text)} is {words}, and a pure number is expected"
            raise WrongValue(what, f"write the ratio itself, such as {example}")


def _factor(rest: str, unit: str) -> Fraction | None:
    """What the prefix and unit after a number are worth in the expected unit; None where they do not fit."""
    fixed = FIXED.get(unit, {})
    if rest in fixed:
        return fixed[rest]
    if unit == "K":
        return Fraction(1) if rest == "K" else None
    for spelling in (*SPELLINGS[unit][1], ""):
        if rest.endswith(spelling) and rest[: len(rest) - len(spelling)].rstrip(_SPACES) in PREFIXES:
            return Fraction(10) ** PREFIXES[rest[: len(rest) - len(spelling)].rstrip(_SPACES)]
    return None


def _read_code(text: str, unit: str) -> Fraction | None:
    """The value of a letter code (IEC 60062), with or without the unit behind it; None where it is none."""
    letters = LETTERS.get(unit)
    if letters is None:
        return None
    for spelling in SPELLINGS[unit][1]:
        if text.endswith(spelling) and not (spelling == "F" and text.count("F") == 1 and text[:-1].isdigit()):
            text = text[: -len(spelling)].rstrip(_SPACES)
            break
    match = _CODE.fullmatch(text)
    if match is None or match.group(2) not in letters or not (match.group(1) or match.group(3)):
        return None
    whole, letter, part = match.groups()
    if len(whole) + len(part) > _MOST_DIGITS:
        return None
    return Fraction(f"{whole or 0}.{part or 0}") * Fraction(10) ** letters[letter]


def _no_number(text: str, unit: str) -> WrongValue:
    lower = text.lower().lstrip("+-")
    if lower.startswith(("nan", "inf")):
        return WrongValue(f"{quote(text)} is not a finite number", f"write {_expected(unit)}")
    if not text:
        return WrongValue("the value is empty", f"write {_expected(unit)}")
    what = "is not a number" if unit == "1" else "is not a number with a unit"
    return WrongValue(f"{quote(text)} {what}", f"write {_expected(unit)}")


def _wrong_unit(text: str, rest: str, unit: str) -> WrongValue:
    words = SPELLINGS[unit][0]
    expected = f"write {_expected(unit)}"
    if rest.startswith(","):
        return WrongValue(f"{quote(text)} has a decimal comma", "write a decimal point")
    if re.match(r"/\s*[0-9]", rest):
        return WrongValue(f"{quote(text)} is a fraction", f"write it as a decimal, such as {quote(SPELLINGS[unit][2])}")
    if rest.lower().startswith("meg"):
        return WrongValue(f"{quote(rest)} is not a prefix", "M is mega, m is milli")
    if rest == "K" or (rest.startswith("K") and _factor("k" + rest[1:], unit) is not None):
        return WrongValue(f"K is kelvin in {quote(text)}", "write k for kilo")
    for other, (other_words, _, _) in SPELLINGS.items():
        if other != unit and rest not in PREFIXES and _factor(rest, other) is not None:
            is_in = other_words if other == "1" else f"in {other_words}"
            needs = words if unit == "1" else f"a value in {words}"
            return WrongValue(f"{quote(text)} is {is_in}, and {needs} is expected", expected)
    if re.match(r"[A-Za-zµμ][0-9]", rest):
        return WrongValue(f"{quote(text)} is no letter code for {words}", expected)
    return WrongValue(f"{quote(rest)} is not a unit of {words}", expected)


def _check_sign(number: Fraction, text: str, sign: str, unit: str) -> None:
    if unit == "K" and number <= 0:
        raise WrongValue(f"{quote(text)} is not above absolute zero (-273.15 °C)", _TEMPERATURE)
    if sign in ("positive", "count") and number <= 0:
        zero = "write its magnitude" if number < 0 else ZERO.get(unit, OPTIONAL)
        raise WrongValue(f"{quote(text)} is not greater than zero", zero)
    if sign == "not negative" and number < 0:
        raise WrongValue(f"{quote(text)} is less than zero", "write zero or more")
    if sign == "fraction" and not 0 <= number < 1:
        raise WrongValue(f"{quote(text)} is not between 0 % and 100 %", _PERCENT)
