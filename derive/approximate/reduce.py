"""An answer under its statements: limits act on the network, alike symbols become one, stated ratios drop terms.

Enters: an inquiry, its exact answer, the resolved statements that apply. Leaves: the approximate answer, measured.
Must not know: LaTeX, how statements were parsed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import fraction, rational, terms
from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.answers.exact import WRITABLE, NoSolution, diagrams, spectrum
from derive.answers.records import Exact, Inquiry
from derive.approximate.alike import Alike, alike
from derive.approximate.cone import Cone
from derive.approximate.contradictions import substituted
from derive.approximate.drop import Lessened, Side, cancelling, drop
from derive.approximate.error import HOLDS_WITHIN
from derive.approximate.expand import Powers, expand_pruned
from derive.approximate.ground import Ground as Ground
from derive.approximate.limits import Limited, limited
from derive.approximate.limits import under_limits as under_limits
from derive.approximate.records import Approximate, Effect, Pruned, Reduced, Resolved
from derive.errors import TooLarge


def approximate(
    exact: Exact, statements: Sequence[Resolved], ground: Ground, *, within: float = HOLDS_WITHIN
) -> Approximate:
    """The answer under all statements, and what each costs alone and together with those before it."""
    tries = Tries()
    # Longest first: what is too long under many statements is so under fewer, and need not be tried.
    some = [statements[:count] for count in range(len(statements), -1, -1)]
    together = [reduce_answer(exact, chosen, ground, tries) for chosen in some][::-1]
    effects: list[Effect] = []
    for place, statement in enumerate(statements):
        before, reduced = together[place], together[place + 1]
        alone = reduced if place == 0 else reduce_answer(exact, (statement,), ground, tries)
        changed = (reduced.terms, reduced.spectrum) != (before.terms, before.spectrum)
        effects.append(
            Effect(statement.number, ground.error(alone, exact), ground.error(reduced, exact), reduced, changed)
        )
    error = ground.error(together[-1], exact, search=True, within=within)
    return Approximate(together[-1], error, tuple(effects))


@dataclass
class Tries:
    """Statements under which an answer was too long: it is under any fewer ratios, with the same other statements."""

    failed: list[tuple[set[int], set[int]]] = field(default_factory=list)

    def hopeless(self, statements: Sequence[Resolved]) -> bool:
        others, ratios = self._numbers(statements)
        return any(others == known and ratios <= more for known, more in self.failed)

    def note(self, statements: Sequence[Resolved]) -> None:
        self.failed.append(self._numbers(statements))

    def _numbers(self, statements: Sequence[Resolved]) -> tuple[set[int], set[int]]:
        ratios = {s.number for s in statements if s.generators}
        return {s.number for s in statements} - ratios, ratios


def reduce_answer(
    exact: Exact, statements: Sequence[Resolved], ground: Ground, tries: Tries | None = None
) -> Reduced:
    """The answer under exactly these statements: limits first, then equalities, then dropped terms.

    ``tries`` remembers, for one answer, under which statements it was too long to write out.
    """
    limits = [s.limit for s in statements if s.limit is not None]
    taken = limited(exact.inquiry, limits, ground) if limits else Limited(exact)
    found = INFINITE
    if taken.exact is not None:
        found = _without_limits(taken.exact, statements, ground, tries or Tries())
    if not taken.in_order:
        return found
    return replace(found, in_order=True, reverse=taken.reverse.spectrum if taken.reverse is not None else None)


INFINITE = Reduced(None, None, (0, 0))


def _without_limits(exact: Exact, statements: Sequence[Resolved], ground: Ground, tries: Tries) -> Reduced:
    same = alike([e for s in statements for e in s.equalities])
    cone = Cone(substituted([g for s in statements for g in s.generators], same))
    if not cone.generators and not same.replaced:
        return Reduced(exact.ratio, exact.spectrum, _counts(exact))
    pruned: tuple[Pruned, ...] = ()
    try:
        if exact.ratio is not None:
            ratio = same.ratio(exact.ratio)
        elif tries.hopeless(statements):
            return _in_numbers(exact, same, ground)
        else:
            ratio, pruned = _pruned(exact.inquiry, same, cone, ground)
    except TooLarge:
        tries.note(statements)
        return _in_numbers(exact, same, ground)
    except ZeroDivisionError:
        return INFINITE
    if exact.ratio is None and (whole := cancelling(ratio, cone, ground)):
        # Multiplied out whole it would be too long to write, so it is kept in numbers.
        return replace(_in_numbers(exact, same, ground), kept_whole=whole)
    less = drop(ratio, cone, ground) if cone.generators else Lessened(ratio, (), ())
    try:
        found = spectrum_of_ratio(less.ratio, ground.numbers)
    except ZeroDivisionError:
        return INFINITE
    return Reduced(less.ratio, found, less.ratio.counts, less.dropped, less.kept_whole, pruned)


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


def _pruned(inquiry: Inquiry, same: Alike, cone: Cone, ground: Ground) -> tuple[Ratio, tuple[Pruned, ...]]:
    """The ratio of what stays at the nodes of the diagrams, and what went there."""
    ring = ground.ring
    above, below = diagrams(inquiry)
    elements = {element.name: element for element in inquiry.network.elements}
    went: tuple[Counter[Powers], Counter[Powers]] = Counter(), Counter()
    tables = [expand_pruned(d, elements, ring, cone, same, w) for d, w in zip((above, below), went, strict=True)]
    if max(map(len, tables)) > WRITABLE:
        raise TooLarge("too many terms stay")
    if inquiry.factor:
        place = ring.index[inquiry.factor]
        unit = tuple(int(i == place) for i in range(len(ring.names)))
        tables[0] = {tuple(a + b for a, b in zip(e, unit, strict=True)): c for e, c in tables[0].items()}
    sides = same.sides(ring, *(table.items() for table in tables))
    sides_of: tuple[Side, Side] = ("numerator", "denominator")
    pruned = [Pruned(p, *item) for p, w in zip(sides_of, went, strict=True) for item in sorted(w.items())]
    return lowest_terms(ring, *map(ring.polynomial, sides)), tuple(pruned)


def spectrum_of_ratio(ratio: Ratio, numbers: Mapping[str, Any]) -> Spectrum:
    """The spectrum of a symbolic ratio at the numbers of its symbols, exact."""
    sides = []
    for side in (ratio.above, ratio.below):
        # In flint's rationals, each power of a number made once: several times faster than with fractions.
        coefficients: dict[int, Any] = {}
        powers: dict[tuple[int, int], Any] = {}
        for exponents, coefficient in terms(side):
            value = rational(Fraction(coefficient))
            for at in enumerate(exponents):
                if at[0] and at[1]:
                    if at not in powers:
                        powers[at] = rational(Fraction(numbers[ratio.ring.names[at[0]]]) ** at[1])
                    value *= powers[at]
            coefficients[exponents[0]] = coefficients.get(exponents[0], 0) + value
        top = max(coefficients, default=0)
        sides.append([fraction(coefficients[k]) if k in coefficients else Fraction(0) for k in range(1 + top)])
    return from_coefficients(sides[0], sides[1])
