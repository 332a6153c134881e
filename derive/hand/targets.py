"""What a repaired formula may come to: the answer, the answer under statements, the answer in cheap limits.

Enters: the matter. Leaves: targets with their values in the prime field, the plainest first.
Must not know: formulas by hand, LaTeX.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from typing import Any

from derive.algebra.ratio import Ratio
from derive.answers.records import Exact
from derive.approximate.error import measure
from derive.approximate.records import Generator, Resolved
from derive.approximate.reduce import reduce_answer, spectrum_of_ratio
from derive.circuit.records import Statement
from derive.hand.limits import Going, limit, symbols_of
from derive.hand.matter import Matter
from derive.hand.worth import Field, Side

MOST_TARGETS = 160
LONGEST = 400
"""Terms of the answer above and below up to which its limits are taken."""


@dataclass(frozen=True)
class Target:
    """``penalty``: what the approximation costs in plausibility. ``values``: at the points of the field."""

    penalty: float
    values: tuple[Any, ...]


def targets(before: Side, matter: Matter, points: Sequence[Field], tolerance: float) -> list[Target]:
    """All targets. ``before``: what the side should be, which the answer follows where that is another."""
    found: list[Target] = []
    for penalty, side in _sides(before, matter, tolerance):
        try:
            values = tuple(side.in_field(point) for point in points)
        except (ZeroDivisionError, KeyError):
            continue
        if all(values[0] != other.values[0] for other in found):
            found.append(Target(penalty, values))
        if len(found) == MOST_TARGETS:
            break
    return found


def _sides(before: Side, matter: Matter, tolerance: float) -> Iterator[tuple[float, Side]]:
    ring, numbers = matter.ground.ring, matter.ground.numbers
    if before.is_rational:
        yield 0.0, before
    yield 0.01, matter.right
    for statements, reduced in matter.stated:
        if reduced.ratio is not None:
            yield 0.1 + 0.01 * len(statements), Side(ring, numbers, known=reduced.ratio)
    ratio = matter.right.ratio
    if ratio is None or sum(ratio.counts) > LONGEST or ratio.above.is_zero():
        return
    starts = [(0.15, ratio)]
    large = _large_beta(matter)
    if large is not None and large != ratio:
        starts.append((0.2, large))
        yield 0.2, Side(ring, numbers, known=large)
    cheap = _cheap(ratio, matter, 2 * tolerance)
    for size in (1, 2, 3):
        for chosen in combinations(cheap, size):
            for penalty, start in starts:
                reached = _taken(start, chosen)
                if reached is not None:
                    yield penalty + 0.1 * size, Side(ring, numbers, known=reached)


def _cheap(ratio: Ratio, matter: Matter, tolerance: float) -> list[Going]:
    """Limits of one symbol that cost little over the band."""
    found = []
    for name in symbols_of(ratio):
        for going in (Going(name, "0"), Going(name, "inf")):
            reached = limit(ratio, going).ratio
            if reached is None or reached.above.is_zero():
                continue
            spectrum = spectrum_of_ratio(reached, matter.ground.numbers)
            error = measure(spectrum, matter.exact.spectrum, matter.ground.band, matter.ground.spot, search=False)
            if min(error.worst, error.spot) <= tolerance:
                found.append((error.worst, going))
    return [going for _, going in sorted(found, key=lambda each: each[0])[:10]]


def _taken(ratio: Ratio, chosen: Sequence[Going]) -> Ratio | None:
    for going in chosen:
        reached = limit(ratio, going).ratio
        if reached is None or reached.above.is_zero():
            return None
        ratio = reached
    return ratio


def _large_beta(matter: Matter) -> Ratio | None:
    """The answer with every beta large beside one, where beta stays: beta + 1 written as beta."""
    generators: list[Generator] = []
    ring = matter.ground.ring
    for name in ring.names:
        owner = name.removeprefix("gm_")
        if owner != name and f"rpi_{owner}" in ring.index:
            exponents = tuple(int(n in (name, f"rpi_{owner}")) for n in ring.names)
            value = Fraction(matter.ground.numbers[name] * matter.ground.numbers[f"rpi_{owner}"])
            generators.append(Generator(len(generators) + 1, exponents, value))
    if not generators:
        return None
    stated = Resolved(Statement(0, "", ()), tuple(generators))
    exact: Exact = matter.exact
    return reduce_answer(exact, [stated], matter.ground).ratio
