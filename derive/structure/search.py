"""The search for short forms: networks thinned more and more, clustered, their sums shortened, each measured.

Enters: an inquiry, its exact answer, numbers, stated ratios. Leaves: the candidates on the frontier of error against
symbols. Must not know: words, LaTeX.

Everything is tried on a fixed grid, in a fixed order, so that the same description gives the same forms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from derive.algebra.ring import Polynomial
from derive.algebra.spectrum import Spectrum
from derive.answers.records import Inquiry
from derive.approximate.cone import Cone
from derive.approximate.error import measure
from derive.errors import TooLarge
from derive.structure.aim import Aim
from derive.structure.clusters import groups
from derive.structure.dropping import Shorter, Weighed, weigh
from derive.structure.factored import Factored, gathered, in_numbers
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
    found: list[Candidate] = []
    seen: set[tuple[tuple[str, int], ...]] = set()
    # What depends on the cone is kept under its identity, which stays its own while the cone is kept too.
    aim.known[("cone", id(aim.cone))] = aim.cone
    for view in _views(inquiry, aim, grid):
        weighed = [(key, _weighed(key, polynomial, aim), power) for key, polynomial, power in view.parts]
        for tolerance in grid.tolerances:
            recipe = Recipe(len(view.state.removals), view.threshold, tolerance * float(aim.within))
            found += _shortened(weighed, view, recipe, aim, seen)
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


@dataclass(frozen=True)
class _View:
    """A network looked at with couplings below a threshold taken for nothing: its factors with text and power."""

    state: Thinned
    threshold: float
    parts: tuple[tuple[str, Polynomial, int], ...]
    stages: tuple[Stage, ...]


def _views(inquiry: Inquiry, aim: Aim, grid: Grid) -> list[_View]:
    """All of them in the order of the grid. No statement bears on them: they are found once for all cones."""
    key = ("views", id(inquiry), grid)
    if key not in aim.known:
        within = float(aim.within)
        states = list(thin(inquiry, aim.ground.numbers, aim.frequencies, within * grid.cuts[-1]))
        places = sorted({max(i for i, s in enumerate(states) if s.spent <= cut * within) for cut in grid.cuts})
        # The inquiry is kept too, so that its identity stays its own.
        aim.known[key] = inquiry, [view for place in places for view in _of_network(states[place], aim, grid)]
    found: list[_View] = aim.known[key][1]
    return found


def _of_network(state: Thinned, aim: Aim, grid: Grid) -> Iterator[_View]:
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
        yield _View(state, threshold, tuple((str(p), p, power) for p, power in parts), stages)


def _weighed(key: str, polynomial: Polynomial, aim: Aim) -> Weighed:
    place = ("weighed", key, id(aim.cone))
    if place not in aim.known:
        s = 2j * np.pi * np.array(aim.frequencies)
        aim.known[place] = weigh(aim.ground.ring, polynomial, aim.ground.numbers, s, aim.cone)
    found: Weighed = aim.known[place]
    return found


def _shortened(
    parts: list[tuple[str, Weighed, int]],
    view: _View,
    recipe: Recipe,
    aim: Aim,
    seen: set[tuple[tuple[str, int], ...]],
) -> Iterator[Candidate]:
    """The forms at one tolerance that were not ``seen``."""
    statements: dict[int, int] = {}
    gone = 0
    shorter: Parts = []
    for key, weighed, power in parts:
        place = ("shorter", key, id(aim.cone), recipe.tolerance)
        if place not in aim.known:
            aim.known[place] = weighed.without(recipe.tolerance)
        made: Shorter = aim.known[place]
        if len(made.polynomial) > LONGEST:
            return
        for number, count in made.by_statement:
            statements[number] = statements.get(number, 0) + count
        gone += made.by_size
        shorter.append((made.polynomial, power))
    factored = gathered(aim.ground.ring, shorter)
    by = tuple(sorted(statements.items()))

    def candidate(found: Factored, apart: float | None, recipe: Recipe) -> Iterator[Candidate]:
        text = tuple((str(factor), power) for factor, power in found.factors)
        if text in seen:
            return
        spectrum, worst = _judged(found, text, aim)
        if worst <= HOPELESS * float(aim.within):
            seen.add(text)
            yield Candidate(recipe, found, spectrum, view.state.removals, view.stages, by, gone, apart, worst)

    yield from candidate(factored, None, recipe)
    apart = _separated(factored, recipe, aim)
    if apart is not None:
        yield from candidate(apart[0], apart[1], replace(recipe, separated=True))


def _judged(found: Factored, text: tuple[tuple[str, int], ...], aim: Aim) -> tuple[Spectrum, float]:
    """The spectrum of a form, and about its worst error."""
    place = ("judged", found.scale, text)
    if place not in aim.known:
        spectrum = found.spectrum_of(lambda factor: _coefficients(factor, aim))
        aim.known[place] = spectrum, aim.roughly(spectrum)
    judged: tuple[Spectrum, float] = aim.known[place]
    return judged


def _coefficients(factor: Polynomial, aim: Aim) -> list[Fraction]:
    place = ("coefficients", str(factor))
    if place not in aim.known:
        aim.known[place] = in_numbers(aim.ground.ring, factor, aim.ground.numbers)
    found: list[Fraction] = aim.known[place]
    return found


def _separated(factored: Factored, recipe: Recipe, aim: Aim) -> tuple[Factored, float] | None:
    """Its factors in s of higher order as factors of low order, where groups of roots are far apart."""
    least: list[float] = []
    made: Parts = []
    for factor, power in factored.factors:
        apart = _apart(factor, recipe.tolerance, aim)
        if apart is None:
            made.append((factor, power))
            continue
        least.append(apart[0])
        made += [(block, times * power) for block, times in apart[1]]
    return (gathered(factored.ring, made, factored.scale), min(least)) if least else None


def _apart(factor: Polynomial, tolerance: float, aim: Aim) -> tuple[float, Parts] | None:
    """One factor split at its roots, if they lie far apart, and how far they do."""
    place = ("apart", str(factor), tolerance)
    if place not in aim.known:
        ring, numbers = aim.ground.ring, aim.ground.numbers
        far = split(_coefficients(factor, aim))
        aim.known[place] = None
        if far is not None:
            flat = np.array([1.0 + 0j])
            coefficients = [
                weigh(ring, c, numbers, flat, Cone(())).without(tolerance).polynomial if not c.is_zero() else c
                for c in ring.by_powers_of_s(factor)
            ]
            aim.known[place] = far.least, separated(ring, coefficients, far, 1)
    found: tuple[float, Parts] | None = aim.known[place]
    return found
