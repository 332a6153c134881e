"""Exact evaluation at random rational points: the check that every printed equality passes.

Enters: two sides and the numbers of their names. Leaves: nothing, or raises Defect.
Must not know: where the sides come from.

Two ratios of polynomials of degree d that differ agree at a point drawn from N numbers with a chance below
d/N (J. T. Schwartz, J. ACM 27 (1980) 701; R. Zippel, EUROSAM 1979). With primes of seven digits and three points
a false line passes with a chance below 1e-12. The points are fixed, so that a sheet is the same every time.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from derive.algebra.ratio import Ratio
from derive.errors import Defect
from derive.expression.text import write as write_text
from derive.expression.tree import Expr, Name, evaluate, symbols

TRIALS = 3


@lru_cache(maxsize=64)
def points(names: tuple[str, ...]) -> tuple[Mapping[str, Fraction], ...]:
    """TRIALS points: a positive random rational for each name, the same for the same names, and every beta."""
    found = []
    for trial in range(TRIALS):
        source = random.Random(f"{trial}")
        point = {name: Fraction(source.randrange(10**6, 10**7), source.randrange(1, 1000)) for name in names}
        for name in names:
            owner = name.removeprefix("gm_")
            if name != owner and f"rpi_{owner}" in point:
                point[f"beta_{owner}"] = point[name] * point[f"rpi_{owner}"]
        found.append(point)
    return tuple(found)


def require_equal(tree: Expr, ratio: Ratio, named: Mapping[Name, Ratio] | None = None) -> None:
    """Raises Defect unless the tree has the ratio's value at every point."""
    for point in points(ratio.ring.names):
        values: dict[Any, Fraction] = dict(point)
        for name, part in (named or {}).items():
            values[name] = part.value(point, point["s"])
        if evaluate(tree, values) != ratio.value(point, point["s"]):
            raise Defect(f"a form is not equal to its answer: {write_text(tree)}")


def names_in(trees: Iterable[Expr]) -> tuple[str, ...]:
    """All symbols of some trees, sorted."""
    return tuple(sorted(frozenset().union(*(symbols(tree) for tree in trees))))
