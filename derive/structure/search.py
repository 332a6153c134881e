"""The search for short forms: networks thinned more and more, clustered, their sums shortened, each measured.

Enters: an inquiry, its exact answer, numbers, stated ratios. Leaves: the candidates on the frontier of error against
symbols. Must not know: words, LaTeX.

Everything is tried on a fixed grid, in a fixed order, so that the same description gives the same forms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import pi

import numpy as np

from derive.algebra.ring import Polynomial
from derive.algebra.spectrum import Spectrum
from derive.answers.exact import diagrams
from derive.answers.records import Inquiry
from derive.approximate.cone import Cone
from derive.approximate.error import SMALL, grid
from derive.approximate.reduce import Ground
from derive.errors import TooLarge
from derive.kernel.diagram import Diagram
from derive.structure.clusters import exact_coupling, groups, largest_term, polynomial_of
from derive.structure.dropping import Weighed, weigh
from derive.structure.factored import Factored, gathered
from derive.structure.records import Candidate, Point, Recipe, Stage
from derive.structure.separate import separated, split
from derive.structure.shares import Bordered, Shares, Values, admittances, both_sides, shares
from derive.structure.thinning import Thinned, thin

CUTS = (0.02, 0.1, 0.25, 0.5, 0.75, 1.0, 1.5)
"""Sums of removals' costs, in units of the error that is asked for, after which the network is looked at."""
THRESHOLDS = (0.0, 0.003, 0.01, 0.02, 0.03, 0.05, 0.1, 0.2)
TOLERANCES = (0.0, 0.05, 0.2, 0.5, 1.0, 2.0)
"""What is dropped of each sum by size, in units of the error that is asked for."""
LONGEST = 40
"""Terms of a factor above which a form is not looked at."""
SAMPLES_A_DECADE = 2
LARGEST = 20_000
"""Nodes of a diagram above which a network is not looked at before more of it is left out."""
HOPELESS = 4.0
"""Errors beyond this many times what is asked for are not kept even for the frontier."""


@dataclass(frozen=True)
class Aim:
    """What one search shares: the exact spectrum, its samples, the statements' cone, the error that is asked for."""

    ground: Ground
    exact: Spectrum
    cone: Cone
    within: Fraction
    frequencies: tuple[float, ...]
    dense: np.ndarray
    wanted: Values

    @classmethod
    def of(cls, exact: Spectrum, ground: Ground, cone: Cone, within: Fraction) -> Aim:
        low, high = (float(f) for f in ground.band)
        count = max(int(SAMPLES_A_DECADE * np.log10(high / low)), 3) + 1
        places = set(np.geomspace(low, high, count))
        places |= {abs(r) / (2 * pi) for r in (*exact.poles, *exact.zeros) if low < abs(r) / (2 * pi) < high}
        if low < float(ground.spot) < high:
            places.add(float(ground.spot))
        dense = grid((low, high), exact)
        return cls(ground, exact, cone, within, tuple(sorted(map(float, places))), dense, exact.sample(dense))

    def roughly(self, spectrum: Spectrum) -> float:
        """The worst error on a fixed grid, without a search for its peak."""
        peak = np.max(np.abs(self.wanted))
        base = np.where(np.abs(self.wanted) < SMALL * peak, peak, np.abs(self.wanted))
        with np.errstate(divide="ignore", invalid="ignore"):
            errors = np.abs(spectrum.sample(self.dense) - self.wanted) / base
        return float(np.max(np.where(np.isnan(errors), np.inf, errors)))


@dataclass(frozen=True)
class _Side:
    diagram: Diagram
    bordered: Bordered
    exactly: np.ndarray
    shares: Shares | None
    largest: frozenset[str]
    sign: int


def candidates(inquiry: Inquiry, aim: Aim) -> list[Candidate]:
    """All forms found whose error is not hopeless, in the order of the grid."""
    if not any(aim.exact.numerator):
        return []
    most = float(aim.within) * CUTS[-1]
    states = list(thin(inquiry, aim.ground.numbers, aim.frequencies, most))
    found: list[Candidate] = []
    seen: set[tuple[tuple[str, int], ...]] = set()
    for place in sorted({max(i for i, s in enumerate(states) if s.spent <= cut * float(aim.within)) for cut in CUTS}):
        found += _of_network(states[place], aim, seen)
    return found


def frontier(found: Sequence[Candidate]) -> list[Candidate]:
    """Those that no other beats in both length and error, shortest first."""
    kept: list[Candidate] = []
    for candidate in sorted(found, key=lambda c: (c.symbols, c.worst)):
        if not kept or candidate.worst < kept[-1].worst * (1 - 1e-6):
            kept.append(candidate)
    return kept


def points(found: Sequence[Candidate]) -> tuple[Point, ...]:
    """The frontier in numbers."""
    return tuple(Point(c.symbols, c.worst) for c in frontier(found))


def _of_network(state: Thinned, aim: Aim, seen: set[tuple[tuple[str, int], ...]]) -> Iterator[Candidate]:
    try:
        sides = _sides(state.inquiry, aim)
    except TooLarge:
        return
    if any(side.diagram.root == 0 for side in sides):
        return
    done: set[tuple[object, ...]] = set()
    for threshold in THRESHOLDS:
        names = [groups(s.diagram.elements, s.exactly, s.shares, threshold) for s in sides]
        key = (tuple(names[0]), tuple(names[1]))
        if key in done:
            continue
        done.add(key)
        try:
            parts, stages = _parts(state.inquiry, sides, names, aim)
        except TooLarge:
            continue
        s = 2j * np.pi * np.array(aim.frequencies)
        ring, numbers = aim.ground.ring, aim.ground.numbers
        weighed = [(weigh(ring, polynomial, numbers, s, aim.cone), power) for polynomial, power in parts]
        for tolerance in TOLERANCES:
            recipe = Recipe(len(state.removals), threshold, tolerance * float(aim.within))
            for candidate in _shortened(weighed, stages, state, recipe, aim):
                text = tuple((str(factor), power) for factor, power in candidate.factored.factors)
                if text not in seen:
                    seen.add(text)
                    yield candidate


def _sides(inquiry: Inquiry, aim: Aim) -> list[_Side]:
    numbers = aim.ground.numbers
    spot = float(aim.ground.spot) or aim.frequencies[0]
    sizes = dict(
        zip(
            (e.name for e in inquiry.network.elements),
            np.abs(admittances(inquiry.network.elements, numbers, (spot,))[0]).tolist(),
            strict=True,
        )
    )
    found = []
    pair = diagrams(inquiry)
    if max(diagram.size for diagram in pair) > LARGEST:
        raise TooLarge("the diagram is too large to be looked at group by group")
    for diagram, bordered in zip(pair, both_sides(inquiry), strict=True):
        elements = [next(e for e in bordered.elements if e.name == name) for name in diagram.elements]
        ordered = Bordered(bordered.places, tuple(elements), bordered.borders)
        largest, sign = largest_term(diagram, sizes)
        shared = shares(ordered, admittances(elements, numbers, aim.frequencies))
        found.append(_Side(diagram, ordered, exact_coupling(ordered, diagram.elements), shared, largest, sign))
    return found


Parts = list[tuple[Polynomial, int]]


def _parts(
    inquiry: Inquiry, sides: list[_Side], names: list[list[tuple[str, ...]]], aim: Aim
) -> tuple[Parts, tuple[Stage, ...]]:
    """The polynomials of all groups with their powers, those of both sides cancelled; and the groups that are left."""
    ring = aim.ground.ring
    elements = {e.name: e for e in inquiry.network.elements}
    table: dict[str, tuple[Polynomial, int]] = {}
    owners: dict[str, dict[int, tuple[str, ...]]] = {}
    for side, found, power in zip(sides, names, (1, -1), strict=True):
        for group in found:
            polynomial = polynomial_of(side.diagram, group, side.largest, elements, ring) * side.sign
            key = str(polynomial)
            table[key] = (polynomial, table.get(key, (polynomial, 0))[1] + power)
            owners.setdefault(key, {})[power] = group
        # Each group brings the sign of the largest term, and so does the whole.
        constant = ring.one * side.sign
        table[str(constant)] = (constant, table.get(str(constant), (constant, 0))[1] + power)
    if inquiry.factor:
        table[inquiry.factor] = (ring.generator(inquiry.factor), table.get(inquiry.factor, (ring.one, 0))[1] + 1)
    stages = []
    for key, (polynomial, power) in table.items():
        if power and len(polynomial) > 1:
            word = "numerator" if power > 0 else "denominator"
            stages.append(Stage(next(iter(owners[key].values())), word))  # type: ignore[arg-type]
    return [(polynomial, power) for polynomial, power in table.values() if power], tuple(stages)


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
