"""Arithmetic of spectra, exact: sums, products and quotients of N(s)/D(s).

Enters: spectra. Leaves: spectra in lowest terms, or raises ZeroDivisionError, Defect. Must not know: what they are of.
"""

from __future__ import annotations

from fractions import Fraction

from derive.algebra.spectrum import Spectrum, from_coefficients, multiplied
from derive.errors import Defect

UNIT = Spectrum((Fraction(1),), (Fraction(1),))
INVERSE_S = Spectrum((Fraction(1),), (Fraction(0), Fraction(1)))
PURE_S = Spectrum((Fraction(0), Fraction(1)), (Fraction(1),))


def constant(value: Fraction) -> Spectrum:
    return Spectrum((value,), (Fraction(1),))


def plus(left: Spectrum, right: Spectrum) -> Spectrum:
    """The sum.

    >>> plus(UNIT, UNIT).numerator
    (Fraction(2, 1),)
    """
    over, under = multiplied(left.numerator, right.denominator), multiplied(right.numerator, left.denominator)
    size = max(len(over), len(under))
    over, under = (side + [Fraction(0)] * (size - len(side)) for side in (over, under))
    above = [a + b for a, b in zip(over, under, strict=True)]
    return from_coefficients(above, multiplied(left.denominator, right.denominator))


def minus(left: Spectrum, right: Spectrum) -> Spectrum:
    return plus(left, times(constant(Fraction(-1)), right))


def times(left: Spectrum, right: Spectrum) -> Spectrum:
    above = multiplied(left.numerator, right.numerator)
    return from_coefficients(above, multiplied(left.denominator, right.denominator))


def over(left: Spectrum, right: Spectrum) -> Spectrum:
    """The quotient. Raises ZeroDivisionError where ``right`` is zero."""
    above = multiplied(left.numerator, right.denominator)
    return from_coefficients(above, multiplied(left.denominator, right.numerator))


def require_same(left: Spectrum, right: Spectrum, what: str) -> None:
    """Raises Defect unless two spectra are one and the same ratio of polynomials in s."""
    if multiplied(left.numerator, right.denominator) != multiplied(right.numerator, left.denominator) and (
        minus(left, right).numerator != (Fraction(0),)
    ):
        raise Defect(f"{what} is not equal to the nodal answer")
