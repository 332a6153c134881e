"""Exact values on the imaginary axis, in rational arithmetic.

Enters: a spectrum, a rational angular frequency or its square. Leaves: real and imaginary part.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.algebra.spectrum import Spectrum

Pair = tuple[Fraction, Fraction]


def value_on_axis(spectrum: Spectrum, omega: Fraction | None = None, *, squared: Fraction | None = None) -> Pair:
    """The value at s = j omega as (real, imaginary), exact.

    With only the ``squared`` frequency given (it need not be a square of a rational), the second of the pair is
    the imaginary part divided by omega.
    """
    if squared is None:
        assert omega is not None
        squared = omega**2
    (a, b), (c, d) = (_split(side, squared) for side in (spectrum.numerator, spectrum.denominator))
    # (a + jwb)/(c + jwd)
    size = c**2 + squared * d**2
    return (a * c + squared * b * d) / size, (b * c - a * d) / size * (omega if omega is not None else 1)


def _split(coefficients: Sequence[Fraction], squared: Fraction) -> Pair:
    """The even and the odd part (the odd one without its factor j omega) of a polynomial at s² = -omega²."""
    even = sum((c * (-squared) ** k for k, c in enumerate(coefficients[::2])), Fraction(0))
    odd = sum((c * (-squared) ** k for k, c in enumerate(coefficients[1::2])), Fraction(0))
    return even, odd
