"""An answer under its statements: limits act on the network, alike symbols become one, stated ratios drop terms.

Enters: an inquiry, its exact answer, the resolved statements that apply. Leaves: the approximate answer, measured.
Must not know: LaTeX, how statements were parsed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import terms
from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.answers.exact import WRITABLE, NoSolution, diagrams, spectrum
from derive.answers.records import Exact, Inquiry
from derive.approximate.alike import Alike, alike
from derive.approximate.cone import Cone
from derive.approximate.contradictions import substituted
from derive.approximate.error import HOLDS_WITHIN
from derive.approximate.drop import cancelling, drop
from derive.approximate.expand import expand_pruned
from derive.approximate.ground import Ground as Ground
from derive.approximate.limits import Limited, limited
from derive.approximate.limits import under_limits as under_limits
from derive.approximate.records import Approximate, Effect, Reduced, Resolved
from derive.errors import TooLarge


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
    """The answer under exactly these statements: limits first, then equalities, then dropped terms."""
    limits = [s.limit for s in statements if s.limit is not None]
    taken = limited(exact.inquiry, limits, ground) if limits else Limited(exact)
    found = _without_limits(taken.exact, statements, ground) if taken.exact is not None else INFINITE
    if not taken.in_order:
        return found
    return replace(found, in_order=True, reverse=taken.reverse.spectrum if taken.reverse is not None else None)


INFINITE = Reduced(None, None, (0, 0))


def _without_limits(exact: Exact, statements: Sequence[Resolved], ground: Ground) -> Reduced:
    same = alike([e for s in statements for e in s.equalities])
    cone = Cone(substituted([g for s in statements for g in s.generators], same))
    if not cone.generators and not same.replaced:
        return Reduced(exact.ratio, exact.spectrum, _counts(exact))
    try:
        ratio = same.ratio(exact.ratio) if exact.ratio is not None else _pruned(exact.inquiry, same, cone, ground)
    except TooLarge:
        return _in_numbers(exact, same, ground)
    except ZeroDivisionError:
        return INFINITE
    if exact.ratio is None and (whole := cancelling(ratio, cone, ground)):
        # Multiplied out whole it would be too long to write, so it is kept in numbers.
        return replace(_in_numbers(exact, same, ground), kept_whole=whole)
    if not cone.generators:
        return Reduced(ratio, spectrum_of_ratio(ratio, ground.numbers), ratio.counts)
    less = drop(ratio, cone, ground)
    found = spectrum_of_ratio(less.ratio, ground.numbers)
    return Reduced(less.ratio, found, less.ratio.counts, less.dropped, less.kept_whole)


def _in_numbers(exact: Exact, same: Alike, ground: Ground) -> Reduced:
    """The answer where it has too many terms to be written out, with the numbers of what is alike."""
    if not same.replaced:
        return Reduced(None, exact.spectrum, exact.terms)
    try:
        return Reduced(None, spectrum(exact.inquiry, same.numbers(ground.ring, ground.numbers)), exact.terms)
    except NoSolution:
        return INFINITE


def _counts(exact: Exact) -> tuple[int, int]:
    return exact.ratio.counts if exact.ratio is not None else exact.terms


def _pruned(inquiry: Inquiry, same: Alike, cone: Cone, ground: Ground) -> Ratio:
    ring = ground.ring
    above, below = diagrams(inquiry)
    elements = {element.name: element for element in inquiry.network.elements}
    tables = [expand_pruned(d, elements, ring, cone, same) for d in (above, below)]
    if max(map(len, tables)) > WRITABLE:
        raise TooLarge("too many terms stay")
    if inquiry.factor:
        place = ring.index[inquiry.factor]
        unit = tuple(int(i == place) for i in range(len(ring.names)))
        tables[0] = {tuple(a + b for a, b in zip(e, unit, strict=True)): c for e, c in tables[0].items()}
    sides = same.sides(ring, *(table.items() for table in tables))
    return lowest_terms(ring, *map(ring.polynomial, sides))


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
