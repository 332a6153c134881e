"""Constants of nature, exact, and square roots and exponentials to fifty digits."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

PI = Fraction("3.14159265358979323846264338327950288419716939937510")
"""To fifty digits; what follows from it is exact for this value."""
BOLTZMANN = Fraction("1.380649e-23")
"""J/K, exact by definition of the SI (CODATA 2018)."""
ELEMENTARY_CHARGE = Fraction("1.602176634e-19")
"""C, exact by definition of the SI (CODATA 2018)."""


def thermal_voltage(temperature: Fraction) -> Fraction:
    """kT/q in volts, exact, for a temperature in kelvin.

    >>> round(float(thermal_voltage(Fraction(300))) * 1e3, 4)
    25.852
    """
    return BOLTZMANN * temperature / ELEMENTARY_CHARGE


def exact_sqrt(value: Fraction) -> Fraction:
    """The square root as a rational number, exact where the root is rational, else right to 50 digits.

    >>> exact_sqrt(Fraction(9, 4))
    Fraction(3, 2)
    """
    if value < 0:
        raise ValueError("square root of a negative number")
    above, below = isqrt(value.numerator), isqrt(value.denominator)
    if above * above == value.numerator and below * below == value.denominator:
        return Fraction(above, below)
    scale = 10 ** (60 + len(str(value.denominator)))
    return Fraction(isqrt(value.numerator * scale * scale // value.denominator), scale)


def exact_exp(value: Fraction) -> Fraction:
    """The exponential as a rational number, right to 50 digits.

    >>> round(float(exact_exp(Fraction(1))), 6)
    2.718282
    """
    import mpmath  # heavy, and not needed to read a description

    with mpmath.workdps(60):
        found = mpmath.exp(mpmath.mpf(value.numerator) / value.denominator)
        sign, mantissa, exponent, _ = found._mpf_
        return Fraction(-mantissa if sign else mantissa) * Fraction(2) ** exponent
