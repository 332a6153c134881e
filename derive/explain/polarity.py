"""Which way each node moves when the source rises: sign, size, phase, and where in the band that changes.

Enters: a field. Leaves: motions. Must not know: words, LaTeX.
"""

from __future__ import annotations

import cmath
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import degrees
from typing import Literal

import flint

from derive.algebra.spectrum import Spectrum
from derive.approximate.axis import crossings, frequency_of, place_of, polynomial
from derive.explain.field import Field
from derive.explain.thresholds import STILL, STRAIGHT

Sense = Literal["with", "against", "ahead", "behind", "still"]


@dataclass(frozen=True)
class Motion:
    """A node's response per volt (or ampere) of the source: at the spot and at the ends of the band.

    ``sense``: by its phase at the spot (``derive.explain.thresholds``). ``turns``: frequencies (Hz) in the band at
    which the part of it that is in phase with the source changes its sign, found from the roots of a polynomial.
    """

    node: str
    spectrum: Spectrum
    spot: complex
    ends: tuple[complex, complex]
    sense: Sense
    turns: tuple[float, ...]

    @property
    def rises(self) -> bool:
        """Whether it goes up when the source does."""
        return self.spot.real > 0


def motions(field: Field, nodes: Sequence[str], band: tuple[Fraction, Fraction]) -> tuple[Motion, ...]:
    """The motion of each node, in the order given; nodes whose response is infinite at the spot are left out."""
    spectra = {node: field.answer((node, field.ground)) for node in nodes}
    spots = {node: s.at_frequency(field.spot) for node, s in spectra.items() if s is not None}
    spots = {node: value for node, value in spots.items() if cmath.isfinite(value)}
    largest = max((abs(value) for value in spots.values()), default=0.0)
    found = []
    for node, value in spots.items():
        spectrum = spectra[node]
        assert spectrum is not None
        ends = (spectrum.at_frequency(band[0]), spectrum.at_frequency(band[1]))
        found.append(Motion(node, spectrum, value, ends, sense_of(value, largest), turns(spectrum, band)))
    return tuple(found)


def sense_of(value: complex, largest: float) -> Sense:
    """The sense of a response beside the largest one.

    >>> [sense_of(v, 1.0) for v in (0.9, -0.5, 0.5j, -0.5j, 1e-5)]
    ['with', 'against', 'ahead', 'behind', 'still']
    """
    if abs(value) <= STILL * largest:
        return "still"
    phase = degrees(cmath.phase(value))
    if abs(phase) <= STRAIGHT:
        return "with"
    if abs(phase) >= 180 - STRAIGHT:
        return "against"
    return "ahead" if phase > 0 else "behind"


def turns(spectrum: Spectrum, band: tuple[Fraction, Fraction]) -> tuple[float, ...]:
    """Where in the band the real part of a response changes its sign.

    Re N(jω)/D(jω) has the sign of Re N(jω)·D(-jω): the even part of N(s)·D(-s), a polynomial in x = ω².
    """
    below = polynomial([-c if power % 2 else c for power, c in enumerate(spectrum.denominator)])
    product = polynomial(spectrum.numerator) * below
    even = flint.fmpq_poly([-c if power % 2 else c for power, c in enumerate(product.coeffs()[::2])])
    low, high = place_of(band[0]), place_of(band[1])
    found = crossings(even, low, high)
    edges = [low, *found, high]
    signs = [even((a + b) / 2) > 0 for a, b in itertools.pairwise(edges)]
    return tuple(
        frequency_of(place) for place, (a, b) in zip(found, itertools.pairwise(signs), strict=True) if a != b
    )
