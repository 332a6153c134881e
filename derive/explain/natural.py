"""The natural frequencies of a network: the roots of its whole determinant, whether an answer shows them or not.

Enters: a network, numbers. Leaves: records. Must not know: questions, words, LaTeX.

An answer N/D hides a pole that its numerator cancels; a circuit with such a pole in the right half plane runs away all
the same. So the determinant itself is taken, signals zeroed. A pair exactly on the axis is found as a common root of
the even and the odd part of the polynomial (Routh's singular case), not by rounding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Any

import flint

from derive.algebra.ring import fraction
from derive.algebra.spectrum import coefficients_of, roots
from derive.answers.exact import connected, independent
from derive.answers.inquire import zeroed
from derive.answers.records import Inquiry
from derive.approximate.axis import crossings, polynomial
from derive.kernel.build import determinant
from derive.network.records import Network


@dataclass(frozen=True)
class Natural:
    """Poles in rad/s. ``left`` and ``right`` of the axis, smallest first; ``axis``: the angular frequencies of pairs on
    it; ``at_zero``: how many lie at zero."""

    left: tuple[complex, ...]
    right: tuple[complex, ...]
    axis: tuple[float, ...]
    at_zero: int

    @property
    def stable(self) -> bool:
        """Whether no pole lies in the right half plane or, but for zero, on the axis."""
        return not self.right and not self.axis

    @property
    def least_damping(self) -> float | None:
        """The least -Re p/|p| over all poles but those at zero; None without such poles. Negative: it grows."""
        found = [-p.real / abs(p) for p in (*self.left, *self.right)] + [0.0 for _ in self.axis]
        return min(found, default=None)

    @property
    def all(self) -> tuple[complex, ...]:
        axis = tuple(sign * 1j * w for w in self.axis for sign in (1, -1))
        return (*(0j for _ in range(self.at_zero)), *self.left, *axis, *self.right)


def natural(network: Network, numbers: Mapping[str, Fraction]) -> Natural | None:
    """The natural frequencies; None where the determinant vanishes identically. Raises TooLarge."""
    found = determinant_of(network, numbers)
    return None if not found else parted(found)


def determinant_of(network: Network, numbers: Mapping[str, Fraction]) -> tuple[Fraction, ...]:
    """The determinant as a polynomial in s, signals zeroed; () where it vanishes. Raises TooLarge."""
    ground = network.ground
    nowhere = (ground, ground)
    still = connected(Inquiry("", zeroed(network, network.drives), "current", nowhere, nowhere))
    base = [(e.current, e.voltage) for e in independent(still.forced)]
    diagram = determinant(still.elements, base, ground)
    return coefficients_of(diagram, {e.name: e for e in still.elements}, numbers)


def parted(coefficients: Sequence[Fraction]) -> Natural:
    """The roots of a polynomial by the side of the axis on which they lie."""
    at_zero = next(power for power, c in enumerate(coefficients) if c)
    rest = polynomial(coefficients[at_zero:])
    even, odd = (_turned(rest.coeffs()[start::2]) for start in (0, 1))
    common = even.gcd(odd) if odd != 0 else even
    places = [float(fraction(place)) ** 0.5 for place in crossings(common)]
    axis: list[float] = []
    left: list[complex] = []
    right: list[complex] = []
    for root in roots(coefficients[at_zero:]):
        place = next((w for w in places if abs(root - 1j * w) <= NEAR * w or abs(root + 1j * w) <= NEAR * w), None)
        if place is None:
            (right if root.real > 0 else left).append(root)
        elif root.imag > 0:
            axis.append(place)
    return Natural(tuple(left), tuple(right), tuple(axis), at_zero)


NEAR = 1e-9
"""How near, as a part of it, a rounded root must come to a pair that lies on the axis exactly to be one of it."""


def _turned(coefficients: Sequence[Any]) -> Any:
    """E(-x) from the coefficients of E."""
    return flint.fmpq_poly([-c if power % 2 else c for power, c in enumerate(coefficients)])


def hertz(pole: complex) -> float:
    """The magnitude of a pole as a frequency."""
    return abs(pole) / (2 * pi)
