"""Numbers in engineering notation: a mantissa, an SI prefix or a power of ten, and a unit.

Enters: exact or floating values in SI base units. Leaves: rounded digits as text.
Must not know: LaTeX, HTML, circuits. Whoever renders spells the pieces.

Prefixes by the SI brochure (BIPM, 9th edition, table 7); digits in groups of three by thin spaces, none for
four digits alone (ISO 80000-1, clause 7.3; from memory). Halves are rounded away from zero, on the exact
value of what is given.
"""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from derive.errors import Defect

PREFIXES = {-15: "f", -12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G", 12: "T"}
RATIOS = frozenset({"1", "V/V", "A/A", ""})
LINEAR = frozenset({"dB", "°", "°C", "K", "dec", "%"})
"""Units that never take a prefix."""
PREFIXED = re.compile(r"(Ω|S|F|H|V|A|s|Hz|W|J|C|eV|V/√Hz|A/√Hz)(?![\^²³⁻\w])")
"""A unit takes a prefix if its first factor is one of these to the power one."""
POWER = re.compile(r"\^(-?[0-9]+)")
THIN, MINUS, INFINITY = "\u2009", "\u2212", "∞"
PLAIN_DIGITS = {"%": 9}
"""Longest whole part of a number without prefix that is printed without a power of ten; six where not named."""
SMALL = -6
"""Pure ratios below this power of ten have one digit before the point: nothing asks for steps of three."""


@dataclass(frozen=True)
class Engineering:
    """``mantissa`` × 10^``exponent`` ``prefix````unit``; prefix and exponent never both.

    The mantissa has U+2212 as its minus and U+2009 between groups of digits. ``unit`` is empty for a ratio.
    """

    mantissa: str
    prefix: str
    unit: str
    exponent: int = 0

    @property
    def negative(self) -> bool:
        return self.mantissa.startswith(MINUS)

    def __str__(self) -> str:
        power = f" × 10{_superscript(self.exponent)}" if self.exponent else ""
        unit = self.prefix + self.unit
        space = "" if unit in ("", "°") else " "
        unit = POWER.sub(lambda found: _superscript(int(found.group(1))), unit)
        return f"{self.mantissa}{power}{space}{unit}"


def engineering(value: Fraction | float | int, unit: str, digits: int = 4) -> Engineering:
    """The value rounded to ``digits`` significant digits, in engineering notation.

    ``unit`` as in ``derive.document.records.Reading``. Decibels and degrees have at most two decimals.
    Raises Defect for what is not a number.

    >>> str(engineering(4700, "Ω", 3)), str(engineering(999.96, "Ω"))
    ('4.70 kΩ', '1.000 kΩ')
    """
    if digits < 1:
        raise Defect(f"a number with {digits} digits cannot be printed")
    name = "" if unit in RATIOS else unit
    if isinstance(value, float) and not math.isfinite(value):
        if math.isnan(value):
            raise Defect("a result is not a number")
        return Engineering((MINUS if value < 0 else "") + INFINITY, "", name)
    exact = Fraction(value)
    if unit in ("dB", "°"):
        decimals = max(0, min(2, digits - _whole_digits(exact)))
        return Engineering(_fixed(exact, decimals), "", name)
    if exact == 0:
        return Engineering("0", "", name)
    return _scaled(exact, name, unit, digits)


def _scaled(exact: Fraction, name: str, unit: str, digits: int) -> Engineering:
    rounded, power = _round(exact, digits)
    prefixed = unit not in RATIOS and unit not in LINEAR and PREFIXED.match(unit) is not None
    if not prefixed and -3 <= power < PLAIN_DIGITS.get(unit, 6):
        return Engineering(_fixed(rounded, max(0, digits - 1 - power)), "", name)
    step = 3 * (power // 3)
    if prefixed:
        # Beyond the table of prefixes a power of ten is clearer than five digits before the point.
        usable = step in PREFIXES
        prefix, exponent = (PREFIXES[step], 0) if usable else ("", step)
    else:
        step = power if power < SMALL and unit in RATIOS | {"%"} else step
        prefix, exponent = "", step
    mantissa = _fixed(rounded / Fraction(10) ** step, max(0, digits - 1 - (power - step)))
    return Engineering(mantissa, prefix, name, exponent)


def grouped_count(count: int) -> str:
    """A whole number with its thousands apart.

    >>> grouped_count(10317160)
    '10\u2009317\u2009160'
    """
    return f"{count:,}".replace(",", THIN)


def of_terms(terms: tuple[int, int]) -> str:
    """How many terms stand above and below."""
    return f"{grouped_count(terms[0])} over {grouped_count(terms[1])} terms"


def polar(value: complex) -> tuple[float, float]:
    """Magnitude and phase in degrees of a complex value; a real one keeps its sign and has no phase.

    A value counts as real where its phase would be printed as 0.00° or 180.0°.

    >>> polar(-2 + 0j), polar(2 + 1e-9j)
    ((-2.0, 0.0), (2.0, 0.0))
    """
    if value.imag == 0 or math.isinf(abs(value)):
        return (value.real if value.imag == 0 else math.inf), 0.0
    phase = math.degrees(cmath.phase(value))
    if abs(phase) < 0.005:
        return abs(value), 0.0
    if 180 - abs(phase) < 0.05:
        return -abs(value), 0.0
    return abs(value), phase


def phase_text(degrees: float) -> str:
    """A phase with one decimal, two where it is under a degree."""
    return _fixed(Fraction(degrees), 2 if abs(degrees) < 0.995 else 1)


def trimmed(parts: Engineering) -> Engineering:
    """The same number without trailing zeros after the point: an author's 2.2 k stays 2.2 k."""
    if "." not in parts.mantissa:
        return parts
    return replace(parts, mantissa=parts.mantissa.rstrip(f"0{THIN}").rstrip("."))


def plain(value: complex | Fraction, unit: str, digits: int = 4) -> str:
    """A number for terminals and plain text; a complex one as magnitude and phase.

    >>> plain(4700, "Ω", 3), plain(-0.5 + 0j, "1", 2), plain(1 + 1j, "Ω", 3)
    ('4.70 kΩ', '−0.50', '1.41 Ω ∠ 45.0°')
    """
    if isinstance(value, Fraction):
        return str(engineering(value, unit, digits))
    size, phase = polar(complex(value))
    text = str(engineering(size, unit, digits))
    return f"{text} ∠ {phase_text(phase)}°" if phase else text


def rounded_up(value: float, digits: int) -> float:
    """The nearest number of so many significant digits that is not smaller (positive values).

    >>> rounded_up(0.01234, 2), rounded_up(0.012, 2)
    (0.013, 0.012)
    """
    return _directed(value, digits, math.ceil)


def inwards(low: float, high: float, digits: int = 3) -> tuple[float, float, int]:
    """A band with its ends rounded into it, and to how many digits: more than asked where it would vanish. Neither
    0 nor inf changes.

    >>> inwards(25.996, 20794.4), inwards(0.0, math.inf), inwards(1.00012, 1.00048)
    ((26.0, 20700.0, 3), (0.0, inf, 3), (1.0002, 1.0004, 5))
    """
    for count in range(digits, 16):
        ends = _directed(low, count, math.ceil), _directed(high, count, math.floor)
        if ends[0] < ends[1]:
            return *ends, count
    return low, high, 16


def _directed(value: float, digits: int, whole: Callable[[Fraction], int]) -> float:
    if value <= 0 or not math.isfinite(value):
        return value
    exact = Fraction(value)
    scale = Fraction(10) ** (digits - _whole_digits(exact))
    found = float(whole(exact * scale) / scale)
    # A value that has no more digits than asked stays as it is, though its float lies beside the decimal.
    nearest = float(round(exact * scale) / scale)
    return nearest if abs(nearest - value) <= 1e-15 * value else found


def _round(exact: Fraction, digits: int) -> tuple[Fraction, int]:
    """The value rounded to significant digits, and the power of ten of its first digit after rounding."""
    power = _whole_digits(exact) - 1
    rounded = _to_decimals(exact, digits - 1 - power)
    # 999.96 becomes 1000: its first digit has moved.
    return rounded, power + 1 if abs(rounded) >= Fraction(10) ** (power + 1) else power


def _whole_digits(exact: Fraction) -> int:
    """Number of digits before the decimal point; zero or negative where zeros follow it. One for zero."""
    if exact == 0:
        return 1
    size = abs(exact)
    guess = len(str(size.numerator)) - len(str(size.denominator))
    return guess + 1 if size >= Fraction(10) ** guess else guess


def _to_decimals(exact: Fraction, decimals: int) -> Fraction:
    scale = Fraction(10) ** decimals
    units = math.floor(abs(exact) * scale + Fraction(1, 2))
    return (-units if exact < 0 else units) / scale


def _fixed(exact: Fraction, decimals: int) -> str:
    """Digits with so many decimals, grouped by thin spaces, with a true minus sign."""
    rounded = _to_decimals(exact, decimals)
    units = str(int(abs(rounded) * 10**decimals)).rjust(decimals + 1, "0")
    whole, part = (units[:-decimals], units[-decimals:]) if decimals else (units, "")
    text = _grouped(whole, from_right=True)
    if part:
        text += "." + _grouped(part, from_right=False)
    return (MINUS if rounded < 0 else "") + text


def _grouped(digits: str, *, from_right: bool) -> str:
    if len(digits) <= 4:
        return digits
    first = len(digits) % 3 if from_right else 0
    groups = [digits[:first]] if first else []
    groups += [digits[start : start + 3] for start in range(first, len(digits), 3)]
    return THIN.join(groups)


def _superscript(exponent: int) -> str:
    return str(exponent).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
