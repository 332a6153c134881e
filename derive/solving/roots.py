"""The values of one symbol at which an answer, (a + b t)/(c + d t), reads as wanted: roots of a quadratic.

Enters: the four numbers, the quantity and what it is to be. Leaves: positive values of t.
Must not know: networks, bias points.

With N = a + b t and D = c + d t every quantity is a polynomial of second degree in t: |N|² = v²|D|² for a magnitude,
Im(N D* e^(-jφ)) = 0 for a phase, Re(D N*) R = |N|² and Im(D N*) = ω C |N|² for the parallel pair of an impedance.
"""

from __future__ import annotations

from cmath import exp
from math import pi, radians

import numpy as np

from derive.answers.evaluate import Halves
from derive.answers.measures import MEASURES

CLOSE = 1e-7
"""Relative difference up to which a root is taken for one: double precision, cancelling quadratics included."""
LEAST, MOST = 1e-9, 1e9
"""Smallest and largest multiple of the present value that is looked for."""


def roots(halves: Halves, quantity: str, wanted: float, frequency: float) -> list[float]:
    """All positive t in ascending order. A negative magnitude asks for an answer with a negative real part."""
    n, d = np.array([halves.a, halves.b]), np.array([halves.c, halves.d])
    # Not the library's product of polynomials, which leaves out last coefficients that are zero.
    poly = np.convolve
    nn, dd = poly(n, n.conj()).real, poly(d, d.conj()).real
    match quantity:
        case "magnitude" | "decibels":
            size = 10 ** (wanted / 20) if quantity == "decibels" else abs(wanted)
            found = nn - size**2 * dd
        case "phase":
            found = (poly(n, d.conj()) * exp(-1j * radians(wanted))).imag
        case "resistance":
            found = poly(d, n.conj()).real * wanted - nn
        case _:
            found = poly(d, n.conj()).imag - 2 * pi * frequency * wanted * nn
    return sorted(t for t in _positive(found) if _reads(halves, t, quantity, wanted, frequency))


def value(halves: Halves, t: float) -> complex:
    """The answer at t."""
    return (halves.a + halves.b * t) / (halves.c + halves.d * t)


def _positive(coefficients: np.ndarray) -> list[float]:
    """Positive real roots, each once; a nearly double one that rounding made complex counts."""
    largest = float(np.abs(coefficients).max())
    if not largest:
        return []
    trimmed = np.where(np.abs(coefficients) < 1e-15 * largest, 0.0, coefficients)
    found: list[float] = []
    for root in np.polynomial.polynomial.polyroots(np.trim_zeros(trimmed, "b")):
        near = abs(root.imag) <= 1e-6 * abs(root.real)
        if near and LEAST < root.real < MOST and all(abs(root.real - t) > 1e-9 * t for t in found):
            found.append(float(root.real))
    return found


def _reads(halves: Halves, t: float, quantity: str, wanted: float, frequency: float) -> bool:
    if abs(halves.c + halves.d * t) == 0:
        return False
    z = value(halves, t)
    with np.errstate(all="ignore"):
        reading = float(MEASURES[quantity].take(np.complex128(z), frequency))
    if quantity == "magnitude" and wanted < 0:
        return z.real < 0 and abs(reading + wanted) <= CLOSE * abs(wanted)
    return abs(reading - wanted) <= CLOSE * max(abs(wanted), 1.0 if quantity in ("phase", "decibels") else 0.0)
