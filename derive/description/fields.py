"""Types of single fields: what a text, a date, a flag, a band may be.

Enters: one value of the TOML data. Leaves: the value, checked, or WrongValue. Used by the models of
schema.py; names are read by names.py. Must not know: which key it is, lines, circuits as a whole.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from typing import Any

from pydantic import PlainValidator

from derive.circuit.records import Quantity
from derive.description.hints import quote, suggest
from derive.description.values import WrongValue, read_quantity

Temperatures = tuple[Fraction, tuple[Fraction, Fraction] | None]
ROOM = Fraction("298.15")
"""25 °C in K."""
ACCURACIES = (Fraction(1, 10_000), Fraction(1, 2))
"""The finest and the coarsest accuracy that can be asked of the proposed statements."""
_RANGE = '["0 °C", "50 °C"] or ["0 °C", "25 °C", "50 °C"]'


def read_text(value: object, longest: int = 500) -> str:
    """A free text, not empty."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not a text", "write a text in quotes")
    if not value.strip():
        raise WrongValue("the text is empty", "write something, or leave the key out")
    if len(value) > longest:
        raise WrongValue(f"the text has {len(value)} characters", f"keep it to {longest}")
    return value


def read_mark(value: object) -> str:
    """A short text that may be written as a whole number (a revision, a number)."""
    return (
        str(value)
        if isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**12
        else read_text(value, 80)
    )


def read_date(value: object) -> str:
    """A date, as TOML has it or as a text."""
    return value.isoformat() if isinstance(value, datetime.date | datetime.datetime) else read_text(value, 80)


def read_flag(value: object) -> bool:
    """true or false."""
    if not isinstance(value, bool):
        raise WrongValue(f"{quote(value)} is neither true nor false", "write true or false")
    return value


def read_accuracy(value: object) -> Fraction:
    """How far an approximate answer may lie from the exact one, a fraction."""
    found = read_quantity(value, "1", "fraction").value
    finest, coarsest = ACCURACIES
    if not finest <= found <= coarsest:
        what = f"an accuracy of {quote(value)} is outside what can be asked"
        raise WrongValue(what, 'write a percentage from "0.01 %" to "50 %", such as "1 %"')
    return found


def read_band(value: object) -> tuple[Fraction, Fraction]:
    """Two frequencies in Hz, above zero and ascending."""
    if not isinstance(value, list) or len(value) != 2:
        raise WrongValue("a band has two frequencies", 'write ["20 Hz", "20 kHz"]')
    low, high = (read_quantity(part, "Hz").value for part in value)
    if low >= high:
        raise WrongValue("the band does not ascend", "write the lower frequency first")
    return low, high


def read_span(value: object, unit: str) -> tuple[Quantity, Quantity]:
    """Two values of one unit, above zero and ascending: the ends of a sweep."""
    example = {"Ω": '["50 Ω", "100 kΩ"]', "F": '["10 pF", "10 nF"]', "H": '["1 µH", "1 mH"]'}[unit]
    if not isinstance(value, list) or len(value) != 2:
        raise WrongValue(f"{quote(value)} is given, and a sweep has two ends", f"write {example}")
    low, high = (read_quantity(part, unit) for part in value)
    if low.value >= high.value:
        raise WrongValue("the sweep does not ascend", f"write the smaller value first, as in {example}")
    return low, high


def read_within(value: object) -> Fraction:
    """An error that may be made: a percentage, or a fraction, above zero."""
    found = read_quantity(value, "1", "fraction").value
    if not found:
        raise WrongValue("no error is the exact answer itself", 'write an error such as "5 %", or leave the key out')
    return found


def read_temperatures(value: object) -> Temperatures:
    """The temperature of the numbers, and the lowest and the highest where a range is written, all in K.

    Two are the lowest and the highest: the numbers are then at 25 °C where that is in the range, else in its middle.
    """
    if not isinstance(value, list):
        return _read_temperature(value), None
    if len(value) not in (2, 3):
        count = "1 temperature is" if len(value) == 1 else f"{len(value)} temperatures are"
        raise WrongValue(f"{count} given, and one, two or three are expected", f"write {_RANGE}")
    low, *middle, high = (_read_temperature(part) for part in value)
    if not all(one < other for one, other in pairwise((low, *middle, high))):
        raise WrongValue("the temperatures do not ascend", f"write the lowest first, as in {_RANGE}")
    usual = ROOM if low <= ROOM <= high else (low + high) / 2
    return middle[0] if middle else usual, (low, high)


COLDEST, HOTTEST = Fraction("73.15"), Fraction("673.15")
"""K; -200 °C to 400 °C, beyond which no circuit is meant."""


def _read_temperature(value: object) -> Fraction:
    kelvin = read_quantity(value, "K").value
    if not COLDEST <= kelvin <= HOTTEST:
        what = f"{quote(value)} is outside -200 °C to 400 °C"
        raise WrongValue(what, 'write one such as "25 °C"')
    return kelvin


def read_word(value: object, known: tuple[str, ...], kind: str) -> str:
    """One of a few words."""
    if isinstance(value, str) and value in known:
        return value
    words = " or ".join(f'"{word}"' for word in known)
    hint = f"write {words}" if len(known) <= 3 else suggest(value if isinstance(value, str) else "", known, "type")
    raise WrongValue(f"{quote(value)} is not a known {kind}", hint)


def checked(read: Callable[..., Any], *arguments: Any) -> PlainValidator:
    """What makes a field of a model read its value with a function."""
    return PlainValidator(lambda value: read(value, *arguments))
