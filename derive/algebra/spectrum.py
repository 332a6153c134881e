"""Ratios of polynomials in s with exact numbers: values, poles, zeros.

Enters: diagrams and the numbers of their elements. Leaves: spectra, complex values in double precision or more.
Must not know: symbols, how numbers are printed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import flint
import mpmath
import numpy as np

from derive.algebra.ring import fraction, rational
from derive.kernel.diagram import Diagram
from derive.network.records import Element

DIGITS = 40
"""Decimal digits of single values; bands are sampled in double precision."""


@dataclass(frozen=True)
class Spectrum:
    """N(s)/D(s): coefficients lowest power first, without common factors."""

    numerator: tuple[Fraction, ...]
    denominator: tuple[Fraction, ...]

    def at(self, s: complex | mpmath.mpc) -> mpmath.mpc:
        """The value at one complex frequency to DIGITS digits, infinite at a pole."""
        with mpmath.workdps(DIGITS):
            point = mpmath.mpmathify(s)
            above, below = _horner(self.numerator, point), _horner(self.denominator, point)
            return mpmath.mpc("inf") if below == 0 else above / below

    def at_frequency(self, frequency: Fraction | float) -> complex:
        """The value at s = j 2 pi f, f in Hz."""
        frequency = Fraction(frequency)
        with mpmath.workdps(DIGITS):
            omega = 2 * mpmath.pi * mpmath.mpf(frequency.numerator) / frequency.denominator
            return complex(self.at(mpmath.mpc(0, omega)))

    def exactly_at(self, s: Fraction) -> Fraction:
        """The exact value at a rational s. Raises ZeroDivisionError at a pole."""
        return _exact_horner(self.numerator, s) / _exact_horner(self.denominator, s)

    def sample(self, frequencies: np.ndarray) -> np.ndarray:
        """Values over an array of frequencies in Hz, in double precision."""
        reference = 2 * np.pi * float(np.sqrt(np.max(frequencies) * max(np.min(frequencies), 1e-3)))
        points = 2j * np.pi * frequencies / reference
        above, shift_above = _scaled(self.numerator, reference)
        below, shift_below = _scaled(self.denominator, reference)
        ratio = np.polynomial.polynomial.polyval(points, above) / np.polynomial.polynomial.polyval(points, below)
        return ratio * float(shift_above / shift_below)

    @property
    def poles(self) -> tuple[complex, ...]:
        """In rad/s, with multiplicity, smallest magnitude first."""
        return roots(self.denominator)

    @property
    def zeros(self) -> tuple[complex, ...]:
        return roots(self.numerator)


def spectrum_of(
    above: Diagram,
    below: Diagram,
    elements: Mapping[str, Element],
    numbers: Mapping[str, Fraction],
    factor: Fraction = Fraction(1),
) -> Spectrum:
    """The exact spectrum of a ratio of determinants. Raises ZeroDivisionError when the lower one vanishes."""
    numerator, denominator = (_polynomial(diagram, elements, numbers) for diagram in (above, below))
    return lowest(numerator * rational(factor), denominator)


def lowest(numerator: Any, denominator: Any) -> Spectrum:
    """Two polynomials of flint as a spectrum, common factors cancelled and the denominator's first number one."""
    if denominator == 0:
        raise ZeroDivisionError("denominator is zero")
    common = numerator.gcd(denominator) if numerator != 0 else denominator
    numerator, denominator = numerator // common, denominator // common
    below = [fraction(c) for c in denominator.coeffs()]
    above = [fraction(c) for c in numerator.coeffs()]
    lead = next(c for c in below if c)
    return Spectrum(tuple(c / lead for c in above) or (Fraction(0),), tuple(c / lead for c in below))


def multiplied(left: Sequence[Fraction], right: Sequence[Fraction]) -> list[Fraction]:
    """The coefficients of a product of polynomials, lowest power first."""
    result = [Fraction(0)] * (len(left) + len(right) - 1)
    for i, a in enumerate(left):
        for j, b in enumerate(right):
            result[i + j] += a * b
    return result


def from_coefficients(above: Sequence[Fraction], below: Sequence[Fraction]) -> Spectrum:
    """A spectrum from coefficients, lowest power first."""
    return lowest(*(flint.fmpq_poly([rational(c) for c in side]) for side in (above, below)))


def roots(coefficients: Sequence[Fraction]) -> tuple[complex, ...]:
    """All complex roots, with multiplicity, each right to double precision."""
    polynomial = flint.fmpq_poly([rational(c) for c in coefficients])
    if polynomial.degree() < 1:
        return ()
    found: list[complex] = []
    pairs: Any = polynomial.numer().complex_roots()
    for root, multiplicity in pairs:
        found += [complex(root)] * multiplicity
    return tuple(sorted(found, key=lambda r: (abs(r), r.real, r.imag)))


def coefficients_of(
    diagram: Diagram, elements: Mapping[str, Element], numbers: Mapping[str, Fraction]
) -> tuple[Fraction, ...]:
    """The determinant as a polynomial in s, lowest power first, nothing cancelled; () for zero.

    Cleared of denominators as in ``derive.algebra.ring``, so that ratios of coefficients are those of the determinant.
    """
    return tuple(fraction(c) for c in _polynomial(diagram, elements, numbers).coeffs())


def _polynomial(diagram: Diagram, elements: Mapping[str, Element], numbers: Mapping[str, Fraction]) -> Any:
    contracted, deleted = [], []
    one = flint.fmpq_poly([1])
    for name in diagram.elements:
        element = elements[name]
        number = rational(numbers[name]) if element.law != "unity" else flint.fmpq(1)
        match element.law:
            case "resistance" | "ratio":
                pair = (one, flint.fmpq_poly([number]))
            case "capacitance" | "delay":
                pair = (flint.fmpq_poly([0, number]), one)
            case "inductance":
                pair = (one, flint.fmpq_poly([0, number]))
            case _:
                pair = (flint.fmpq_poly([number]), one)
        contracted.append(pair[0])
        deleted.append(pair[1])
    return diagram.fold(one, flint.fmpq_poly([0]), contracted, deleted)


def _horner(coefficients: Sequence[Fraction], point: mpmath.mpc) -> mpmath.mpc:
    total = mpmath.mpc(0)
    for c in reversed(coefficients):
        total = total * point + mpmath.mpf(c.numerator) / c.denominator
    return total


def _exact_horner(coefficients: Sequence[Fraction], point: Fraction) -> Fraction:
    total = Fraction(0)
    for c in reversed(coefficients):
        total = total * point + c
    return total


def _scaled(coefficients: Sequence[Fraction], reference: float) -> tuple[np.ndarray, Fraction]:
    """Coefficients for s in units of ``reference``, divided by their largest, so that nothing underflows."""
    step = Fraction(reference)
    scaled = [c * step**power for power, c in enumerate(coefficients)]
    largest = max((abs(c) for c in scaled), default=Fraction(0)) or Fraction(1)
    return np.array([float(c / largest) for c in scaled] or [0.0]), largest
