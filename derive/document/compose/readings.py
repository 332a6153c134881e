"""Words for one number read off an answer: what it is of, which quantity, at which frequency.

Enters: names and quantities. Leaves: words. Must not know: LaTeX, where numbers come from.
"""

from __future__ import annotations

from fractions import Fraction

from derive.answers.measures import MEASURES
from derive.expression.tree import Call, Name
from derive.words import Formula, Reading, Words

DIGITS = 4
QUANTITIES = {"phase": "phase of ", "resistance": "parallel resistance of ", "capacitance": "parallel capacitance of "}


def named(of: str, quantity: str) -> Words:
    """The reading in algebra and words: |A|, phase of A."""
    if quantity in ("magnitude", "decibels"):
        return (Formula(Call("abs", Name(of))),)
    return (QUANTITIES[quantity], Formula(Name(of)))


def named_at(of: str, quantity: str, frequency: Fraction, spot: Fraction) -> Words:
    """As ``named``, with the frequency where it is not the spot."""
    if frequency == spot:
        return named(of, quantity)
    return (*named(of, quantity), " at ", Reading(float(frequency), "Hz", 6, "stated"))


def number(value: float, unit: str, digits: int = DIGITS) -> Words:
    return (Reading(value, unit, digits),)


def relative(quantity: str) -> bool:
    """Whether a difference of the quantity is told in per cent; of angles and decibels it is told in their own unit."""
    return MEASURES[quantity].unit not in ("°", "dB")
