"""The search for short forms: networks thinned more and more, clustered, their sums shortened, each measured.

Enters: an inquiry, its exact answer, numbers, stated ratios. Leaves: the candidates on the frontier of error against
symbols. Must not know: words, LaTeX.

Everything is tried on a fixed grid, in a fixed order, so that the same description gives the same forms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from derive.answers.records import Inquiry
from derive.approximate.cone import Cone
from derive.approximate.error import measure
from derive.errors import TooLarge
from derive.structure.aim import Aim
from derive.structure.clusters import groups
from derive.structure.dropping import Weighed, weigh
from derive.structure.factored import Factored, gathered
from derive.structure.records import Candidate, Point, Recipe, Stage
from derive.structure.separate import separated, split
from derive.structure.stages import Parts, parts_of, sides_of
from derive.structure.thinning import Thinned, thin


@dataclass(frozen=True)
class Grid:
    """What is tried: ``cuts``, sums of removals' costs, in units of the error that is asked for, after which the
    network is looked at; ``thresholds``, couplings taken for nothing; ``tolerances``, what is dropped of each sum by
    size, in units of the error that is asked for."""

    cuts: tuple[float, ...]
    thresholds: tuple[float, ...]
    tolerances: tuple[float, ...]


WHOLE = Grid(
    (0.02, 0.1, 0.25, 0.5, 0.75, 1.0, 1.5),
    (0.0, 0.003, 0.01, 0.02, 0.03, 0.05, 0.1, 0.2),
    (0.0, 0.05, 0.2, 0.5, 1.0, 2.0),
)
COARSE = Grid((0.1, 0.5, 1.0), (0.0, 0.01, 0.03, 0.1), (0.0, 0.2, 0.5, 1.0))
"""For factors of a product, of which there are many and each is small."""
LONGEST = 40
"""Terms of a factor above which a form is not looked at."""
MOST_POINTS = 12
"""Points of the frontier that are kept, from the shortest."""
HOPELESS = 4.0
"""Errors beyond this many times what is asked for are not kept even for the frontier."""


def candidates(inquiry: Inquiry, aim: Aim, grid: Grid = WHOLE) -> list[Candidate]:
    """All forms found whose error is not hopeless, in the order of the grid."""
    if not any(aim.exact.numerator):
        return []
    most = float(aim.within) * grid.cuts[-1]
    states = list(thin(inquiry, aim.ground.numbers, aim.frequencies, most))
    found: list[Candidate] = []
    seen: set[tuple[tuple[str, int], ...]] = set()
    within = float(aim.within)
    for place in sorted({max(i for i, s in enumerate(states) if s.spent <= cut * within) for cut in grid.cuts}):
        found += _of_network(states[place], aim, grid, seen)
    return found


def frontier(found: Sequence[Candidate]) -> list[Candidate]:
    """Those that no other beats in both length and error, shortest first."""
    kept: list[Candidate] = []
    for candidate in sorted(found, key=lambda c: (c.symbols, c.worst)):
        if not kept or candidate.worst < kept[-1].worst * (1 - 1e-6):
            kept.append(candidate)
    return kept


def points(found: Sequence[Candidate], aim: Aim) -> tuple[Point, ...]:
    """The frontier in numbers: each error measured as that of an answer is, and longer forms err less."""
    ground = aim.ground
    kept: list[Point] = []
    for candidate in frontier(found)[:MOST_POINTS]:
        worst = measure(candidate.spectrum, aim.exact, ground.band, ground.spot, search=False).worst
        if not kept or worst < kept[-1].worst:
            kept.append(Point(candidate.symbols, worst))
    return tuple(kept)


def _of_network(
    state: Thinned, aim: Aim, grid: Grid, seen: set[tuple[tuple[str, int], ...]]
) -> Iterator[Candidate]:
    try:
        sides = sides_of(state.inquiry, aim)
    except TooLarge:
        return
    if any(side.diagram.root == 0 for side in sides):
        return
    done: set[tuple[object, ...]] = set()
    for threshold in grid.thresholds:
        names = [groups(s.diagram.elements, s.exactly, s.shares, threshold) for s in sides]
        key = (tuple(names[0]), tuple(names[1]))
        if key in done:
            continue
        done.add(key)
        try:
            parts, stages = parts_of(state.inquiry, sides, names, aim)
        except TooLarge:
            continue
        s = 2j * np.pi * np.array(aim.frequencies)
        ring, numbers = aim.ground.ring, aim.ground.numbers
        weighed = [(weigh(ring, polynomial, numbers, s, aim.cone), power) for polynomial, power in parts]
        for tolerance in grid.tolerances:
            recipe = Recipe(len(state.removals), threshold, tolerance * float(aim.within))
            for candidate in _shortened(weighed, stages, state, recipe, aim):
                text = tuple((str(factor), power) for factor, power in candidate.factored.factors)
                if text not in seen:
                    seen.add(text)
                    yield candidate


def _shortened(
    parts: list[tuple[Weighed, int]], stages: tuple[Stage, ...], state: Thinned, recipe: Recipe, aim: Aim
) -> Iterator[Candidate]:
    ring, numbers = aim.ground.ring, aim.ground.numbers
    statements: dict[int, int] = {}
    gone = 0
    shorter: Parts = []
    for weighed, power in parts:
        made = weighed.without(recipe.tolerance)
        if len(made.polynomial) > LONGEST:
            return
        for number, count in made.by_statement:
            statements[number] = statements.get(number, 0) + count
        gone += made.by_size
        shorter.append((made.polynomial, power))
    factored = gathered(ring, shorter)
    by = tuple(sorted(statements.items()))

    def candidate(found: Factored, apart: float | None, recipe: Recipe) -> Candidate | None:
        spectrum = found.spectrum(numbers)
        worst = aim.roughly(spectrum)
        if not worst <= HOPELESS * float(aim.within):
            return None
        return Candidate(recipe, found, spectrum, state.removals, stages, by, gone, apart, worst)

    plain = candidate(factored, None, recipe)
    if plain is not None:
        yield plain
    apart = _separated(factored, recipe, aim)
    if apart is not None:
        other = candidate(apart[0], apart[1], replace(recipe, separated=True))
        if other is not None:
            yield other


def _separated(factored: Factored, recipe: Recipe, aim: Aim) -> tuple[Factored, float] | None:
    """Its factors in s of higher order as factors of low order, where groups of roots are far apart."""
    ring, numbers = factored.ring, aim.ground.numbers
    least: list[float] = []
    made: Parts = []
    flat = np.array([1.0 + 0j])
    for factor, power in factored.factors:
        far = split(ring, factor, numbers)
        if far is None:
            made.append((factor, power))
            continue
        least.append(far.least)
        coefficients = [
            weigh(ring, c, numbers, flat, Cone(())).without(recipe.tolerance).polynomial if not c.is_zero() else c
            for c in ring.by_powers_of_s(factor)
        ]
        made += separated(ring, coefficients, far, power)
    return (gathered(ring, made, factored.scale), min(least)) if least else None
