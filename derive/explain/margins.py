"""What a return ratio says along the frequency axis: sense, crossings of one, margins. All from exact roots.

Enters: the spectrum of a return ratio T = N/D. Leaves: records. Must not know: circuits, words, LaTeX.

The sign is that of the return ratio: the closed loop's poles are the zeros of 1 + T, so the critical point is T = -1.
Along the axis N·conj(D) = R + jω·I with R and I polynomials in x = ω², so that every place where |T| = 1, where
|1 + T| = 1 and where T is real is a root of a polynomial: nothing is sampled. The phase margin at a crossing of one is
how far arg T is from -180° (above it where |T| falls), the gain margin 1/|T| where T is real and negative: the factor
by which the source would have to grow (above one) or shrink for a pole to lie on the axis (H. W. Bode, "Network
Analysis and Feedback Amplifier Design", Van Nostrand 1945; from memory).
"""

from __future__ import annotations

import cmath
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import degrees, inf
from typing import Any, Literal

import flint

from derive.algebra.ring import fraction
from derive.algebra.spectrum import Spectrum
from derive.approximate.axis import ZERO, crossings, frequency_of, polynomial, squared

Sense = Literal["negative", "positive", "none"]


@dataclass(frozen=True)
class Stretch:
    """Frequencies (Hz; 0 and inf where it has no end) over which the feedback keeps its sense."""

    low: float
    high: float
    sense: Sense


@dataclass(frozen=True)
class Crossing:
    """|T| passes one at ``frequency`` (Hz), ``rising`` or falling.

    ``phase_margin``: how far arg T lies above -180° there, in degrees from -180° to 180°; where |T| rises, how far
    below. So it is positive on the safe side either way.
    """

    frequency: float
    phase_margin: float
    rising: bool = False


@dataclass(frozen=True)
class Critical:
    """T is real and negative at ``frequency`` (Hz); ``factor`` times the source puts poles there on the axis."""

    frequency: float
    factor: float


@dataclass(frozen=True)
class Margins:
    """All crossings ascend in frequency. ``stretches`` cover the whole axis."""

    stretches: tuple[Stretch, ...]
    unity: tuple[Crossing, ...]
    critical: tuple[Critical, ...]

    @property
    def phase(self) -> Crossing | None:
        """The crossing with the least margin by size; None where |T| never is one."""
        return min(self.unity, key=lambda c: abs(c.phase_margin), default=None)

    @property
    def upward(self) -> Critical | None:
        """The least factor above one; None where no larger source puts a pole on the axis."""
        return min((c for c in self.critical if c.factor > 1), key=lambda c: c.factor, default=None)

    @property
    def downward(self) -> Critical | None:
        """The largest factor below one; None where no smaller source does."""
        return max((c for c in self.critical if c.factor < 1), key=lambda c: c.factor, default=None)


def margins(ratio: Spectrum) -> Margins:
    """Everything about the critical point that the spectrum of T holds."""
    above, below = polynomial(ratio.numerator), polynomial(ratio.denominator)
    return Margins(_stretches(above, below), _unity(above, below), critical_places(above, below))


def sense_at(ratio: Spectrum, frequency: Fraction | float) -> Sense:
    """The sense at a frequency in Hz, by |1 + T|."""
    size = abs(1 + ratio.at_frequency(frequency))
    return "none" if abs(size - 1) < INDIFFERENT else "negative" if size > 1 else "positive"


INDIFFERENT = 1e-9
"""How near to one |1 + T| must lie to count as one."""


def _stretches(above: Any, below: Any) -> tuple[Stretch, ...]:
    """Where |N + D|² - |D|² keeps its sign."""
    difference = squared(above + below) - squared(below)
    if difference == 0:
        return (Stretch(0.0, inf, "none"),)
    places = crossings(difference)
    found: list[Stretch] = []
    for low, high in pairwise((ZERO, *places, None)):
        value = difference(2 * low + 1 if high is None else (low + high) / 2)
        sense: Sense = "negative" if value > 0 else "positive"
        start, end = frequency_of(low), inf if high is None else frequency_of(high)
        if found and found[-1].sense == sense:
            start = found.pop().low
        found.append(Stretch(start, end, sense))
    return tuple(found)


def _unity(above: Any, below: Any) -> tuple[Crossing, ...]:
    real, imaginary, _ = _parts(above, below)
    difference = squared(above) - squared(below)
    found = []
    for place in crossings(difference):
        phase = _phase(real, imaginary, place)
        margin = phase + 180 if phase <= 0 else phase - 180
        rising = bool(difference.derivative()(place) > 0)
        found.append(Crossing(frequency_of(place), -margin if rising else margin, rising))
    return tuple(found)


def critical_places(above: Any, below: Any) -> tuple[Critical, ...]:
    """The places where above/below is real and negative, d.c. included; d.c. alone where it is real throughout."""
    real, imaginary, size = _parts(above, below)
    places = [ZERO, *crossings(imaginary)] if imaginary != 0 else [ZERO]
    found = []
    for place in places:
        base = size(place)
        if base != 0 and real(place) < 0:
            found.append(Critical(frequency_of(place), float(fraction(-base / real(place)))))
    return tuple(found)


def _parts(above: Any, below: Any) -> tuple[Any, Any, Any]:
    """R, I and |D|² in x = ω², with N·conj(D) = R + jω·I."""
    up_even, up_odd = _halves(above)
    low_even, low_odd = _halves(below)
    x = flint.fmpq_poly([0, 1])
    return up_even * low_even + x * up_odd * low_odd, up_odd * low_even - up_even * low_odd, squared(below)


def _halves(side: Any) -> tuple[Any, Any]:
    """E(-x) and O(-x) of side = E(s²) + s·O(s²)."""
    coefficients = side.coeffs()
    even, odd = (
        flint.fmpq_poly([-c if power % 2 else c for power, c in enumerate(coefficients[start::2])]) for start in (0, 1)
    )
    return even, odd


def _phase(real: Any, imaginary: Any, place: Any) -> float:
    """arg T in degrees at x, from exact values scaled so that neither overflows."""
    omega = float(fraction(place)) ** 0.5
    one, other = fraction(real(place)), fraction(imaginary(place))
    largest = max(abs(one), abs(other)) or fraction(flint.fmpq(1))
    return degrees(cmath.phase(complex(float(one / largest), omega * float(other / largest))))
