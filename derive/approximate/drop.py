"""Terms that go beside larger ones, in the sums of an answer.

Enters: a ratio, the cone of stated ratios. Leaves: the ratio without them, each with its reason.
Must not know: limits, how statements were parsed, LaTeX.

A sum is what stands at one power of s in the numerator or in the denominator; where frequency was stated to be small
or large, it is the whole numerator or denominator, and powers of s count as powers of w. A sum whose remaining terms
nearly cancel is kept whole. Across powers of s that is judged at both ends of the band, where the terms add up as
complex numbers; when they cancel there, terms are dropped only beside others of their own power of s.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import log
from typing import Literal

import numpy as np

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, terms
from derive.approximate.cone import Cone, by_statement
from derive.approximate.ground import Ground
from derive.approximate.ratios import PI, number_of
from derive.approximate.records import Dropped

Side = Literal["numerator", "denominator"]
Sum = Mapping[Exponents, int]
CANCELS = 3
"""A sum is kept whole where the magnitudes of its remaining terms exceed the sum itself by this factor."""
DOUBTFUL = 1e-6
"""How near to the border a sum in floating point decides nothing."""
DELICATE = 20
"""The factor from which a sum is said to rest on a small difference, whether or not anything was dropped."""


@dataclass(frozen=True)
class Lessened:
    """What stays, what went and why, and which sums were kept whole (None: a part as a whole)."""

    ratio: Ratio
    dropped: tuple[Dropped, ...]
    kept_whole: tuple[tuple[str, int | None], ...]


def drop(ratio: Ratio, cone: Cone, ground: Ground) -> Lessened:
    """The ratio without dominated terms, in lowest terms."""
    above = _side("numerator", ratio.above, cone, ground)
    below = _side("denominator", ratio.below, cone, ground)
    sides = (ground.ring.polynomial(dict(stays)) for stays, _, _ in (above, below))
    return Lessened(lowest_terms(ground.ring, *sides), (*above[1], *below[1]), (*above[2], *below[2]))


def cancelling(ratio: Ratio, cone: Cone, ground: Ground) -> tuple[tuple[str, int | None], ...]:
    """The sums of a ratio that nearly cancel: where terms have gone before, they went beside too little."""
    found: list[tuple[str, int | None]] = []
    for part, side in (("numerator", ratio.above), ("denominator", ratio.below)):
        found += [(part, power) for power, group in _groups(dict(terms(side))).items() if _cancels(group, ground)]
        if crosses(cone) and _cancels_at_ends(dict(terms(side)), ground):
            found.append((part, None))
    return tuple(found)


def nearly_cancels(ratio: Ratio, ground: Ground) -> list[tuple[Side, int, Fraction]]:
    """The sums over one power of s in which terms of both signs nearly cancel, each with the magnitudes of its terms
    over the sum itself: by so much an error of one term counts more in the sum.
    """
    found: list[tuple[Side, int, Fraction]] = []
    parts: tuple[tuple[Side, Polynomial], ...] = (("numerator", ratio.above), ("denominator", ratio.below))
    for part, side in parts:
        for power, group in _groups(dict(terms(side))).items():
            sizes = [_size(e, c, ground) for e, c in group.items()]
            left, magnitude = abs(sum(sizes, Fraction(0))), sum((abs(x) for x in sizes), Fraction(0))
            if left and left * DELICATE < magnitude:
                found.append((part, power, magnitude / left))
    return found


def crosses(cone: Cone) -> bool:
    """Whether some statement is about frequency, so that terms of different powers of s can be compared."""
    return any(generator.exponents[0] for generator in cone.generators)


Found = tuple[Sum, list[Dropped], list[tuple[str, int | None]]]


def _side(part: Side, side: Polynomial, cone: Cone, ground: Ground) -> Found:
    everything = dict(terms(side))
    if not crosses(cone):
        return _by_power(part, everything, cone, ground)
    stays, gone, whole = _in_sum(part, everything, cone, ground)
    if any(item.dominated_by[0] != item.term[0] for item in gone) and _cancels_at_ends(stays, ground):
        stays, gone, whole = _by_power(part, everything, cone, ground)
        return stays, gone, [*whole, (part, None)]
    return stays, gone, whole


def _by_power(part: Side, everything: Sum, cone: Cone, ground: Ground) -> Found:
    stays: dict[Exponents, int] = {}
    gone: list[Dropped] = []
    whole: list[tuple[str, int | None]] = []
    for group in _groups(everything).values():
        kept, dropped, cancels = _in_sum(part, group, cone, ground)
        stays.update(kept)
        gone += dropped
        whole += cancels
    return stays, gone, whole


def _in_sum(part: Side, sum_: Sum, cone: Cone, ground: Ground) -> Found:
    """What stays of one sum and why the rest went; what is left of a power of s and cancels is put back whole."""
    names = list(sum_)
    places, reasons = cone.maximal(names)
    kept = {names[place]: sum_[names[place]] for place in places}
    left = _groups(kept)
    shrunk = {names[place][0] for place in reasons if names[place][0] in left}
    whole = {power for power in shrunk if _cancels(left[power], ground)}
    stays = {e: c for e, c in sum_.items() if e in kept or e[0] in whole}
    gone = [
        Dropped(part, names[place][0], names[place], names[above], by_statement(cone.generators, powers))
        for place, (above, powers) in sorted(reasons.items())
        if names[place][0] not in whole
    ]
    return stays, gone, [(part, power) for power in sorted(whole)]


def _groups(sum_: Sum) -> dict[int, dict[Exponents, int]]:
    groups: dict[int, dict[Exponents, int]] = {}
    for exponents, coefficient in sum_.items():
        groups.setdefault(exponents[0], {})[exponents] = coefficient
    return dict(sorted(groups.items()))


def _cancels(group: Sum, ground: Ground) -> bool:
    found = _in_floats(group, ground)
    if found is not None:
        close = _is_small(abs(complex(found.sum())), float(np.abs(found).sum()))
        if close is not None:
            return close
    sizes = [_size(e, c, ground) for e, c in group.items()]
    return abs(sum(sizes, Fraction(0))) * CANCELS < sum(abs(x) for x in sizes)


def _cancels_at_ends(sum_: Sum, ground: Ground) -> bool:
    """Whether the terms nearly cancel at an end of the band, as the complex numbers that they are there."""
    for frequency in ground.band:
        found = _in_floats(sum_, ground, float(2 * PI * frequency))
        close = None if found is None else _is_small(abs(complex(found.sum())), float(np.abs(found).sum()))
        if _cancels_at(sum_, ground, frequency) if close is None else close:
            return True
    return False


def _cancels_at(sum_: Sum, ground: Ground, frequency: Fraction) -> bool:
    omega = 2 * PI * frequency
    turned = [Fraction(0), Fraction(0)]
    magnitude = Fraction(0)
    for exponents, coefficient in sum_.items():
        power = exponents[0]
        size = _size(exponents, coefficient, ground) * omega**power
        turned[power % 2] += size if power % 4 < 2 else -size
        magnitude += abs(size)
    return (turned[0] ** 2 + turned[1] ** 2) * CANCELS**2 < magnitude**2


def _in_floats(sum_: Sum, ground: Ground, omega: float | None = None) -> np.ndarray | None:
    """The terms beside the largest of them, with s = jω where ω is told; None where a number has no logarithm."""
    numbers = [ground.numbers[name] for name in ground.ring.names[1:]]
    if not sum_ or not all(numbers):
        return None
    exponents = np.array(list(sum_), dtype=float)
    coefficients = np.array([float(c) for c in sum_.values()])
    logs = exponents[:, 1:] @ np.array([log(abs(n)) for n in numbers]) + np.log(np.abs(coefficients))
    negative = (exponents[:, 1:] @ np.array([n < 0 for n in numbers], dtype=float)) % 2
    signs: np.ndarray = np.where(negative, -1.0, 1.0) * np.sign(coefficients)
    if omega is not None:
        logs = logs + exponents[:, 0] * log(omega)
        signs = signs * np.array([1, 1j, -1, -1j])[exponents[:, 0].astype(int) % 4]
    return np.asarray(signs * np.exp(logs - logs.max()))


def _is_small(left: float, magnitude: float) -> bool | None:
    """Whether a sum nearly cancels; None where that is too close for floating point, and is left to exact numbers."""
    if abs(left * CANCELS - magnitude) < DOUBTFUL * magnitude:
        return None
    return left * CANCELS < magnitude


def _size(exponents: Exponents, coefficient: int, ground: Ground) -> Fraction:
    """The number of a term without its power of s."""
    return coefficient * number_of((0, *exponents[1:]), ground.ring, ground.numbers)
