"""An answer under its statements: limits act on the network, stated ratios drop terms, every step is measured.

Enters: an inquiry, its exact answer, the resolved statements that apply. Leaves: the approximate answer.
Must not know: LaTeX, how statements were parsed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Literal

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.answers.exact import WRITABLE, NoSolution, answer, diagrams
from derive.answers.records import Exact, Inquiry
from derive.approximate.cone import Cone, as_fractions
from derive.approximate.error import HOLDS_WITHIN, Error, measure
from derive.approximate.expand import expand_pruned
from derive.approximate.records import Approximate, Dropped, Effect, Generator, Limit, Reduced, Resolved
from derive.errors import TooLarge

Side = Literal["numerator", "denominator"]
CANCELS = 3
"""A sum is kept whole where the magnitudes of its remaining terms exceed the sum itself by this factor."""


@dataclass(frozen=True)
class Ground:
    """What all reductions of one sheet share: numbers, ring, band and spot (Hz)."""

    numbers: Mapping[str, Fraction]
    ring: Ring
    band: tuple[Fraction, Fraction]
    spot: Fraction

    def error(
        self, reduced: Reduced, exact: Exact, *, search: bool = False, within: float = HOLDS_WITHIN
    ) -> Error:
        return measure(reduced.spectrum, exact.spectrum, self.band, self.spot, search=search, within=within)


def approximate(
    exact: Exact, statements: Sequence[Resolved], ground: Ground, *, within: float = HOLDS_WITHIN
) -> Approximate:
    """The answer under all statements, and what each costs alone and together with those before it."""
    effects: list[Effect] = []
    before = reduced = reduce_answer(exact, (), ground)
    for place, statement in enumerate(statements):
        alone = reduce_answer(exact, (statement,), ground)
        reduced = alone if place == 0 else reduce_answer(exact, statements[: place + 1], ground)
        changed = (reduced.terms, reduced.spectrum) != (before.terms, before.spectrum)
        effects.append(
            Effect(statement.number, ground.error(alone, exact), ground.error(reduced, exact), reduced, changed)
        )
        before = reduced
    return Approximate(reduced, ground.error(reduced, exact, search=True, within=within), tuple(effects))


def reduce_answer(exact: Exact, statements: Sequence[Resolved], ground: Ground) -> Reduced:
    """The answer under exactly these statements; limits first, then dropped terms."""
    limits = [s.limit for s in statements if s.limit is not None]
    cone = Cone(tuple(g for s in statements for g in s.generators))
    limited = exact
    if limits:
        inquiry = under_limits(exact.inquiry, limits)
        try:
            limited = answer(inquiry, ground.numbers, ground.ring)
        except NoSolution:
            return Reduced(None, None, (0, 0))
    if not cone.generators:
        return Reduced(limited.ratio, limited.spectrum, _counts(limited))
    if limited.ratio is not None:
        return _drop(limited.ratio, cone, ground)
    try:
        pruned = _pruned(limited.inquiry, cone, ground)
    except TooLarge:
        return Reduced(None, limited.spectrum, limited.terms)
    return _drop(pruned, cone, ground)


def under_limits(inquiry: Inquiry, limits: Sequence[Limit]) -> Inquiry:
    """The inquiry in the network with the limits taken; they are deletions and contractions and commute."""
    network = inquiry.network
    for limit in limits:
        network = network.delete(*limit.deleted).contract(*limit.contracted)
    return replace(inquiry, network=network)


def _counts(exact: Exact) -> tuple[int, int]:
    return exact.ratio.counts if exact.ratio is not None else exact.terms


def _pruned(inquiry: Inquiry, cone: Cone, ground: Ground) -> Ratio:
    above, below = diagrams(inquiry)
    elements = {element.name: element for element in inquiry.network.elements}
    numerator, denominator = (expand_pruned(d, elements, ground.ring, cone) for d in (above, below))
    if inquiry.factor:
        numerator = numerator * ground.ring.generator(inquiry.factor)
    if max(len(numerator.to_dict()), len(denominator.to_dict())) > WRITABLE:
        raise TooLarge("too many terms stay")
    return lowest_terms(ground.ring, numerator, denominator)


def _drop(ratio: Ratio, cone: Cone, ground: Ground) -> Reduced:
    """The ratio without dominated terms, in each power of s of the numerator and of the denominator."""
    dropped: list[Dropped] = []
    whole: list[tuple[str, int]] = []
    sides: list[Polynomial] = []
    parts: tuple[tuple[Side, Polynomial], ...] = (("numerator", ratio.above), ("denominator", ratio.below))
    for part, side in parts:
        kept: dict[Exponents, int] = {}
        for power, group in enumerate(_groups(side)):
            stays, gone, cancels = _drop_in_sum(part, power, group, cone, ground)
            kept.update(stays)
            dropped += gone
            if cancels:
                whole.append((part, power))
        sides.append(ground.ring.polynomial(kept))
    result = lowest_terms(ground.ring, *sides)
    return Reduced(result, spectrum_of_ratio(result, ground.numbers), result.counts, tuple(dropped), tuple(whole))


def _groups(side: Polynomial) -> list[dict[Exponents, int]]:
    found = terms(side)
    groups: list[dict[Exponents, int]] = [{} for _ in range(1 + max((e[0] for e, _ in found), default=-1))]
    for exponents, coefficient in found:
        groups[exponents[0]][exponents] = coefficient
    return groups


def _drop_in_sum(
    part: Side, power: int, group: dict[Exponents, int], cone: Cone, ground: Ground
) -> tuple[dict[Exponents, int], list[Dropped], bool]:
    """What stays of one sum, why the rest went, and whether it was kept whole because its terms cancel."""
    names = list(group)
    places, reasons = cone.maximal(names)
    if not reasons:
        return group, [], False
    stays = {names[place]: group[names[place]] for place in places}
    sizes = [_size(e, c, ground) for e, c in stays.items()]
    if abs(sum(sizes, Fraction(0))) * CANCELS < sum(abs(x) for x in sizes):
        return group, [], True
    gone = [
        Dropped(part, power, names[place], names[above], _by_statement(cone.generators, as_fractions(powers)))
        for place, (above, powers) in sorted(reasons.items())
    ]
    return stays, gone, False


def _by_statement(generators: Sequence[Generator], powers: Sequence[Fraction]) -> tuple[tuple[int, Fraction], ...]:
    sums: dict[int, Fraction] = {}
    for generator, power in zip(generators, powers, strict=True):
        if power:
            sums[generator.statement] = sums.get(generator.statement, Fraction(0)) + power
    return tuple(sorted(sums.items()))


def _size(exponents: Exponents, coefficient: int, ground: Ground) -> Fraction:
    value = Fraction(coefficient)
    for name, exponent in zip(ground.ring.names[1:], exponents[1:], strict=True):
        if exponent:
            value *= ground.numbers[name] ** exponent
    return value


def spectrum_of_ratio(ratio: Ratio, numbers: Mapping[str, Any]) -> Spectrum:
    """The spectrum of a symbolic ratio at the numbers of its symbols, exact."""
    sides = []
    for side in (ratio.above, ratio.below):
        coefficients: dict[int, Fraction] = {}
        for exponents, coefficient in terms(side):
            value = Fraction(coefficient)
            for name, exponent in zip(ratio.ring.names[1:], exponents[1:], strict=True):
                if exponent:
                    value *= numbers[name] ** exponent
            coefficients[exponents[0]] = coefficients.get(exponents[0], Fraction(0)) + value
        sides.append([coefficients.get(power, Fraction(0)) for power in range(1 + max(coefficients, default=0))])
    return from_coefficients(sides[0], sides[1])
