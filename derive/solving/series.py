"""The preferred values of IEC 60063 and the nearest of them.

Enters: a value. Leaves: values of a series. Must not know: what the value is of.

E3 to E24 are a table (rounded to two digits, some of them otherwise than by arithmetic); E48 to E192 are powers of the
48th, 96th and 192nd root of ten to three digits, but for 9.20 of E192 (IEC 60063:2015; from memory).
"""

from __future__ import annotations

from bisect import bisect_right
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from functools import cache

_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
_STRIDES = {"E3": 8, "E6": 4, "E12": 2, "E24": 1}


@cache
def mantissas(series: str) -> tuple[Fraction, ...]:
    """The values of a series from one up to, and without, ten.

    >>> [float(value) for value in mantissas("E6")]
    [1.0, 1.5, 2.2, 3.3, 4.7, 6.8]
    """
    if series in _STRIDES:
        return tuple(Fraction(value, 10) for value in _E24[:: _STRIDES[series]])
    count = int(series.removeprefix("E"))
    with localcontext() as context:
        context.prec = 30
        found = [
            (Decimal(10) ** (Decimal(place) / count)).quantize(Decimal("0.01"), ROUND_HALF_UP) for place in range(count)
        ]
    if count == 192:
        found[found.index(Decimal("9.19"))] = Decimal("9.20")
    return tuple(Fraction(value) for value in found)


def around(value: Fraction, series: str) -> tuple[Fraction, Fraction]:
    """The largest value of the series that is not above, and the smallest that is above.

    >>> [int(v) for v in around(Fraction(5000), "E12")]
    [4700, 5600]
    """
    if value <= 0:
        raise ValueError("only positive values have neighbours in a series")
    decade = Fraction(1)
    while decade * 10 <= value:
        decade *= 10
    while decade > value:
        decade /= 10
    grid = [*mantissas(series), Fraction(10)]
    place = bisect_right(grid, value / decade) - 1
    return decade * grid[place], decade * grid[place + 1]


def nearest(value: Fraction, series: str) -> Fraction:
    """The value of the series with the smallest ratio to the one given.

    >>> int(nearest(Fraction(5120), "E24")), int(nearest(Fraction(4990), "E96"))
    (5100, 4990)
    """
    low, high = around(value, series)
    return low if value / low <= high / value else high
