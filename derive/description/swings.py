"""Amplitudes: how large a signal is, with the word that says how it is counted.

Enters: one value of the TOML data. Leaves: a Swing, or WrongValue. Must not know: which signal.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, NamedTuple

from derive.constants import exact_sqrt
from derive.description.hints import quote
from derive.description.values import WrongValue, read_quantity

_SHOWN = 'write "100 mV peak" or "70 mV rms"'


class Swing(NamedTuple):
    """The size of a sine: its peak in volts or amperes, and how the author counted it."""

    peak: Fraction
    unit: str
    counted: Literal["peak", "rms"]
    text: str


def read_swing(value: object) -> Swing:
    """The peak of a sine from its peak or its effective value. Raises WrongValue.

    >>> read_swing("100 mV peak").peak, read_swing("1 V rms").counted
    (Fraction(1, 10), 'rms')
    """
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} does not say whether it is peak or rms", _SHOWN)
    number, _, counted = value.strip().rpartition(" ")
    if counted not in ("peak", "rms") or not number:
        raise WrongValue(f"{quote(value)} does not say whether it is peak or rms", _SHOWN)
    unit = "A" if number.rstrip().endswith("A") else "V"
    size = read_quantity(number.strip(), unit).value
    peak = size if counted == "peak" else size * exact_sqrt(Fraction(2))
    return Swing(peak, unit, "peak" if counted == "peak" else "rms", value.strip())
