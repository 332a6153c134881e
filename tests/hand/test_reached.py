"""Limits found by value are those that polynomials give."""

from __future__ import annotations

from random import Random

from derive.algebra.ratio import lowest_terms
from derive.algebra.ring import Ring
from derive.hand.limits import Going
from derive.hand.reached import reached, take

NAMES = ["a", "b", "c", "d", "e"]


def test_limits_that_were_taken_are_found_again() -> None:
    source = Random("limits")
    ring = Ring.of(NAMES)
    found = 0
    for _ in range(60):
        sides = [ring.polynomial(_some_terms(source)) for _ in range(2)]
        ratio = lowest_terms(ring, *sides)
        taken = tuple(Going(name, source.choice(("0", "inf"))) for name in sorted(source.sample(NAMES, 2)))
        hand = take(ratio, taken)
        if hand is None or hand != take(ratio, taken[::-1]) or hand == ratio:
            continue
        equal = reached(ratio, hand, 3).equal
        assert all(take(ratio, each) == hand for each in equal)
        assert equal, (ratio, taken)
        found += 1
    assert found > 10


def _some_terms(source: Random) -> dict[tuple[int, ...], int]:
    places = [(0, *(source.randrange(2) for _ in NAMES)) for _ in range(source.randrange(3, 9))]
    return {place: source.randrange(1, 4) for place in places}
