"""Whether two exact answers are the same, and how that is put.

Enters: a spectrum and an opinion. Leaves: a verdict. Must not know: who formed the opinion, and how.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from derive.algebra.spectrum import Spectrum

Coefficients = tuple[Fraction, ...]


@dataclass(frozen=True)
class Opinion:
    """lcapy's answer: exact coefficients, lowest power of s first, common factors not cancelled."""

    numerator: Coefficients
    denominator: Coefficients
    seconds: float = 0.0


@dataclass(frozen=True)
class Verdict:
    """What the second opinion says of one answer; ``why`` is empty when it was confirmed."""

    name: str
    outcome: Literal["confirmed", "disagrees", "not available"]
    why: str = ""
    seconds: float = 0.0


def judge(name: str, spectrum: Spectrum | None, opinion: Opinion | str) -> Verdict:
    """The verdict on one answer."""
    if isinstance(opinion, str):
        return Verdict(name, "not available", opinion)
    if spectrum is None:
        return Verdict(name, "not available", "there is no answer to compare with", opinion.seconds)
    if compare(spectrum, opinion):
        return Verdict(name, "confirmed", "", opinion.seconds)
    return Verdict(name, "disagrees", "lcapy's exact coefficients give another ratio", opinion.seconds)


def compare(spectrum: Spectrum, opinion: Opinion, points: Sequence[Fraction] | None = None) -> bool:
    """Whether the two ratios are the same, decided without rounding.

    N·D' = N'·D is checked at more rational values of s than both sides' degree, which proves the identity.
    A denominator that is zero throughout is never the same as anything. ``points``: the values of s to use
    (by default 0, 1, 2, …); raises ValueError when they are too few to decide.

    >>> from derive.algebra.spectrum import Spectrum
    >>> one = Spectrum((Fraction(1),), (Fraction(1), Fraction(2)))
    >>> compare(one, Opinion((Fraction(3), Fraction(3)), (Fraction(3), Fraction(9), Fraction(6))))
    True
    >>> compare(one, Opinion((Fraction(3),), (Fraction(3), Fraction(6), Fraction(6))))
    False
    """
    if not any(spectrum.denominator) or not any(opinion.denominator):
        return False
    sides = (spectrum.numerator, opinion.denominator, opinion.numerator, spectrum.denominator)
    enough = max(len(sides[0]) + len(sides[1]), len(sides[2]) + len(sides[3])) - 1
    chosen = [Fraction(k) for k in range(enough)] if points is None else points
    if len({*chosen}) < enough:
        raise ValueError(f"{enough} values of s are needed to decide, not {len({*chosen})}")
    return all(_at(sides[0], s) * _at(sides[1], s) == _at(sides[2], s) * _at(sides[3], s) for s in chosen)


def _at(coefficients: Coefficients, s: Fraction) -> Fraction:
    total = Fraction(0)
    for coefficient in reversed(coefficients):
        total = total * s + coefficient
    return total
