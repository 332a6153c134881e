"""A ratio written as an engineer would: factors, R1 ∥ R2 kept, 1 + small, a sum split where that is shorter.

Enters: a ratio in lowest terms. Leaves: a tree, equal to it. Must not know: which question it answers, LaTeX.

Candidates are few and each is exact: the fraction of factors (derive.forms.factors); m + (N - m D)/D where D times
a monomial m lies within N; N0/D + x N1/D for a symbol x, or for a parallel combination x whose sum of admittances
divides D; the reciprocal of such a split. The cheapest is kept. A split whose parts hold more symbols than the
best form so far costs is not looked into.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Polynomial
from derive.expression.tree import ONE, ZERO, Expr, Num, Quotient, Sum, negate, product, quotient, total
from derive.forms.branches import in_parallel
from derive.forms.factors import admittance_bases, factors, write_factored
from derive.forms.laurent import Laurent, Style, common, dimension, laurent, monomial, over, times
from derive.forms.merge import merge, restore
from derive.forms.sums import multiply, write_sum

SPLITTABLE = 12
"""Terms above which no split is tried."""
DEPTH = 2
EFFORT = 60
"""Ratios looked at in one search after which no more splits are tried."""
SIMPLE = 5.0
"""Cost up to which no split is tried."""
JOINED = 0.3
"""Cost of a plus sign."""


MOST_TERMS = 15
"""Terms in all factors above which no readable form is looked for."""


def write_ratio(style: Style, ratio: Ratio, limit: float) -> Expr | None:
    """The cheapest tree found; equal to the ratio by construction (and checked by whoever prints it).

    None where the ratio is too long for a search to be worth while, or for a form that costs less than ``limit``.
    """
    if max(_counts(ratio)) > MOST_TERMS**2:
        return None
    inner, small = merge(style, ratio)
    search = _Search(inner, limit)
    if search.least(small) > limit or not _short_enough(small):
        return None
    return restore(style, inner, search.best(small, DEPTH))


def _counts(ratio: Ratio) -> tuple[int, int]:
    """The number of terms above and below, without a look at the terms."""
    return len(ratio.above), len(ratio.below)


def _short_enough(ratio: Ratio) -> bool:
    """Few terms, counted factor by factor."""
    held = 0
    for side in (ratio.above, ratio.below):
        _, found = side.factor()
        held += sum(len(factor) for factor, _ in found if len(factor) > 1)
    return held <= MOST_TERMS


class _Search:
    def __init__(self, style: Style, limit: float) -> None:
        self.limit = limit
        self.style, self.ring = style, style.ring
        self.known: dict[tuple[str, str], tuple[int, Expr]] = {}
        self.left = EFFORT

    def best(self, ratio: Ratio, depth: int) -> Expr:
        if ratio.above.is_zero():
            return ZERO
        key = (str(ratio.above), str(ratio.below))
        known = self.known.get(key)
        if known is not None and known[0] >= depth:
            return known[1]
        chosen = self._searched(ratio, depth)
        self.known[key] = (depth, chosen)
        return chosen

    def _searched(self, ratio: Ratio, depth: int) -> Expr:
        table = laurent(ratio.above)
        if len(table) > 1 and table[max(table, key=self.style.size)] < 0:
            # The minus sign stands in front of the whole.
            return negate(self.best(Ratio(ratio.ring, -ratio.above, ratio.below), depth))
        chosen = write_factored(self.style, ratio)
        above, below = _counts(ratio)
        if below == 1 and above > 1:
            chosen = min(chosen, self._term_by_term(ratio), key=lambda e: round(self.style.cost(e), 6))
        price = self.style.cost(chosen)
        self.left -= 1
        simple = price <= max(SIMPLE, self.least(ratio) + 1.5)
        if not depth or simple or self.left <= 0 or max(above, below) > SPLITTABLE:
            return chosen
        best = [(min(round(price, 6), self.limit), chosen)]
        for found in self._candidates(ratio, depth, best):
            cost = round(self.style.cost(found), 6)
            if cost < best[0][0]:
                best[0] = (cost, found)
        return best[0][1]

    def _term_by_term(self, ratio: Ratio) -> Expr:
        """The sum that is left when every term is divided by the single term below."""
        ((divisor, number),) = laurent(ratio.below).items()
        inner = write_sum(self.style, {over(e, divisor): c for e, c in laurent(ratio.above).items()})
        return inner if number == 1 else multiply(quotient(ONE, Num(Fraction(number))), inner)

    def _candidates(self, ratio: Ratio, depth: int, best: list[tuple[float, Expr]]) -> Iterator[Expr]:
        above, below = _counts(ratio)
        if above > 1 and below > 1:
            yield from self._splits(ratio, depth, best)
            yield from self._reciprocals(ratio, depth, best)
            yield from self._without_content(ratio, depth)
        elif above > 2 and below == 1:
            yield from self._by_symbol(ratio, depth, best)

    def least(self, *ratios: Ratio) -> float:
        """A cost that no sum of forms of the ratios can be below."""
        least = -JOINED
        for ratio in ratios:
            above, below = ratio.above.degrees(), ratio.below.degrees()
            held = [i for i, (a, b) in enumerate(zip(above, below, strict=True)) if a or b]
            least += self.style.least(held) + JOINED
        return least

    def _splits(self, ratio: Ratio, depth: int, best: list[tuple[float, Expr]]) -> Iterator[Expr]:
        yield from self._by_division(ratio, depth, best)
        yield from self._by_parallel(ratio, depth, best)
        yield from self._by_symbol(ratio, depth, best)

    def _reciprocals(self, ratio: Ratio, depth: int, best: list[tuple[float, Expr]]) -> Iterator[Expr]:
        """One over a split of the reciprocal: for an impedance branches in parallel, for a number 1/(1 + x)."""
        unit = dimension(self.style, over(next(iter(laurent(ratio.above))), next(iter(laurent(ratio.below)))))
        if unit not in ((1, 0), (0, 0)):
            return
        for split in self._splits(ratio.reciprocal(), depth, best):
            if isinstance(split, Sum) and unit == (1, 0):
                yield in_parallel(self.style, split)
            elif isinstance(split, Sum) and ONE in split.terms:
                yield quotient(ONE, split)

    def _without_content(self, ratio: Ratio, depth: int) -> Iterator[Expr]:
        """A monomial that stands in every term, times the rest of the ratio."""
        above, below = (common(laurent(side)) for side in (ratio.above, ratio.below))
        if not any(above) and not any(below):
            return
        sides = [
            self.ring.polynomial({over(e, m): c for e, c in laurent(side).items()})
            for side, m in ((ratio.above, above), (ratio.below, below))
        ]
        rest = self.best(Ratio(self.ring, *sides), depth)
        upper, lower = (rest.above, rest.below) if isinstance(rest, Quotient) else (rest, ONE)
        outside = [monomial(self.style, side) for side in (above, below)]
        yield quotient(product(outside[0], upper), product(outside[1], lower))

    def _by_division(self, ratio: Ratio, depth: int, best: list[tuple[float, Expr]]) -> Iterator[Expr]:
        """m + (N - m D)/D for monomials m of which m D lies within N."""
        above, below = laurent(ratio.above), laurent(ratio.below)
        first = next(iter(below))
        for exponents, coefficient in above.items():
            step, scale = over(exponents, first), Fraction(coefficient, below[first])
            if min(step) < 0 or scale.denominator != 1:
                continue
            if all(above.get(times(e, step)) == c * scale for e, c in below.items()):
                multiple = self.ring.monomial(step, int(scale))
                rest = lowest_terms(self.ring, ratio.above - multiple * ratio.below, ratio.below)
                whole = monomial(self.style, step, scale)
                if self.least(rest) + self.style.cost(whole) + JOINED < best[0][0]:
                    yield _plus(whole, self.best(rest, depth - 1))

    def _by_parallel(self, ratio: Ratio, depth: int, best: list[tuple[float, Expr]]) -> Iterator[Expr]:
        """N = M K + F L for a factor F of D with F/M a sum of admittances: (M/F) K/D' + L/D'."""
        above = laurent(ratio.above)
        for factor, _ in factors(self.style, ratio.below)[1]:
            if len(factor) < 2:
                continue
            for base in admittance_bases(self.style, tuple(factor.items())):
                inside = {e: c for e, c in above.items() if all(p >= b for p, b in zip(e, base, strict=True))}
                if not inside or len(inside) == len(above):
                    continue
                rest = self.ring.polynomial({e: c for e, c in above.items() if e not in inside})
                _, remainder = divmod(rest, self.ring.polynomial(dict(factor)))
                if remainder.is_zero():
                    yield from self._parts(ratio, inside, rest, depth, best)

    def _by_symbol(self, ratio: Ratio, depth: int, best: list[tuple[float, Expr]]) -> Iterator[Expr]:
        """N0/D + x N1/D for each symbol x of N that stands in some of its terms only."""
        table = laurent(ratio.above)
        for i in range(1, len(self.ring.names)):
            with_it = {e: c for e, c in table.items() if e[i]}
            if with_it and len(with_it) < len(table):
                without = self.ring.polynomial({e: c for e, c in table.items() if not e[i]})
                yield from self._parts(ratio, with_it, without, depth, best)

    def _parts(
        self, ratio: Ratio, inside: Laurent, rest: Polynomial, depth: int, best: list[tuple[float, Expr]]
    ) -> Iterator[Expr]:
        """The sum of two parts of the numerator over the denominator, where both become simpler."""
        counts = _counts(ratio)
        parts = []
        for side in (rest, self.ring.polynomial(dict(inside))):
            part = lowest_terms(self.ring, side, ratio.below)
            if max(_counts(part)) >= max(counts) and sum(_counts(part)) >= sum(counts):
                return
            parts.append(part)
        if self.least(*parts) >= best[0][0]:
            return
        first = self.best(parts[0], depth - 1)
        if self.style.cost(first) + JOINED + self.least(parts[1]) < best[0][0]:
            yield _plus(first, self.best(parts[1], depth - 1))


def _plus(first: Expr, second: Expr) -> Expr:
    """The sum, a bare number first."""
    flat = total(first, second)
    return Sum(tuple(sorted(flat.terms, key=lambda t: t != ONE))) if isinstance(flat, Sum) else flat
