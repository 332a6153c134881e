"""Exact numbers within algebra.

Enters: fractions. Leaves: ``Piece``. Must not know: units; those are for readings.
"""

from __future__ import annotations

from fractions import Fraction

from derive.typeset.glyphs import SCRIPT_SPACE
from derive.typeset.metrics import ROMAN
from derive.typeset.pens import LATEX, Pen
from derive.typeset.pieces import BINARY, FRACTION, Piece, minus, stack


def number(value: Fraction, pen: Pen = LATEX) -> Piece:
    """An exact number: whole, a short decimal, a small fraction, or digits times a power of ten."""
    if value < 0:
        return minus(number(-value, pen), pen)
    if value.denominator == 1 and value < 10**6:
        return _digits(str(value.numerator), pen)
    if value.denominator in (5, 10) and value.numerator < 100:
        # Tenths are decimals, as a drop of 1.8 V; thirds and halves are fractions.
        decimal = _short_decimal(value, pen)
        if decimal is not None:
            return decimal
    if value.numerator < 10 and value.denominator < 10:
        width = ROMAN["0"][1] / 1000 + FRACTION
        return Piece(pen.small_fraction(value.numerator, value.denominator), width, "atom", 0, number=True)
    decimal = _short_decimal(value, pen)
    if decimal is not None:
        return decimal
    return stack(_digits(str(value.numerator), pen), _digits(str(value.denominator), pen), pen, outer=False)


def _short_decimal(value: Fraction, pen: Pen) -> Piece | None:
    """The number as a decimal of at most eight significant digits, None where it has more."""
    power = 0
    while value >= 10:
        value, power = value / 10, power + 1
    while value < 1:
        value, power = value * 10, power - 1
    scaled = value * 10**7
    if scaled.denominator != 1:
        return None
    digits = str(scaled.numerator).rstrip("0")
    if -4 <= power < 6:
        point = power + 1
        whole = digits[:point].ljust(point, "0") if point > 0 else "0"
        part = digits[point:] if point > 0 else "0" * -point + digits
        return _digits(whole + ("." + part if part else ""), pen)
    head = digits[0] + ("." + digits[1:] if digits[1:] else "")
    mantissa = _digits(head, pen)
    script = (len(str(power)) * 0.4 + 0.25 * (power < 0)) + SCRIPT_SPACE
    return Piece(
        pen.ten(mantissa.ink, power),
        mantissa.width + BINARY + 1.0 + script,
        "product",
        number=True,
    )


def _digits(text: str, pen: Pen) -> Piece:
    return Piece(pen.digits(text), sum(ROMAN[digit][0] for digit in text) / 1000, number=True)
