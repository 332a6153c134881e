"""A ratio written as an engineer would: factors, R1 ∥ R2 kept, 1 + small, a sum split where that is shorter.

Enters: a ratio in lowest terms. Leaves: a tree, equal to it. Must not know: which question it answers, LaTeX.

Candidates are few and each is exact: the factored fraction with every factor divided by the monomial that makes
it shortest; a factor that is a sum of admittances as a parallel combination; m + (N - m D)/D where D times a
monomial m lies within N; N0/D + x N1/D for a symbol x; the reciprocal of such a split. The cheapest is kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import product as choices

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring
from derive.expression.tree import ONE, ZERO, Expr, Parallel, Quotient, Sum, negate, product, quotient, total
from derive.forms.laurent import Laurent, Style, common, dimension, laurent, monomial, over, times
from derive.forms.sums import parallel_of, single_impedance, write_sum

SPLITTABLE = 12
"""Terms above which no split is tried."""
DEPTH = 2
EFFORT = 60
"""Ratios looked at in one search after which no more splits are tried."""
MOST_CHOICES = 600
KEPT_CHOICES = 4
SIMPLE = 5.0
"""Cost up to which no split is tried."""


def write_ratio(style: Style, ratio: Ratio) -> Expr:
    """The cheapest tree found; equal to the ratio by construction (and checked by whoever prints it)."""
    inner, small = _within_its_symbols(style, ratio)
    return _Search(inner, small.ring).best(small, DEPTH)


def _within_its_symbols(style: Style, ratio: Ratio) -> tuple[Style, Ratio]:
    """The same ratio in the ring of only those symbols that stand in it: the search is quicker there."""
    tables = [laurent(side) for side in (ratio.above, ratio.below)]
    width = len(ratio.ring.names)
    used = (0, *(i for i in range(1, width) if any(e[i] for table in tables for e in table)))
    inner = style.within(used)
    ring = inner.ring
    sides = [ring.polynomial({tuple(e[i] for i in used): int(c) for e, c in table.items()}) for table in tables]
    return inner, Ratio(ring, *sides)


@dataclass(frozen=True)
class _Way:
    """One way to write a power of a factor: a monomial outside, times a tree to a power."""

    outside: Exponents
    tree: Expr
    power: int


class _Search:
    def __init__(self, style: Style, ring: Ring) -> None:
        self.style, self.ring = style, ring
        self.known: dict[tuple[str, str], tuple[int, Expr]] = {}
        self.left = EFFORT

    def best(self, ratio: Ratio, depth: int) -> Expr:
        if ratio.above.is_zero():
            return ZERO
        key = (str(ratio.above), str(ratio.below))
        known = self.known.get(key)
        if known is not None and known[0] >= depth:
            return known[1]
        found = [self._factored(ratio)]
        above, below = ratio.counts
        simple = self.style.cost(found[0]) <= max(SIMPLE, _held(ratio) + 1.5)
        self.left -= 1
        if depth and not simple and self.left > 0 and max(above, below) <= SPLITTABLE:
            if above > 1 and below > 1:
                found += self._splits(ratio, depth)
                found += self._reciprocals(ratio, depth)
                found += self._without_content(ratio, depth)
            elif above > 1 and below == 1:
                found += self._by_symbol(ratio, depth) if above > 2 else []
        chosen = min(found, key=lambda e: round(self.style.cost(e), 6))
        self.known[key] = (depth, chosen)
        return chosen

    def _splits(self, ratio: Ratio, depth: int) -> list[Expr]:
        return self._by_division(ratio, depth) + self._by_symbol(ratio, depth)

    def _reciprocals(self, ratio: Ratio, depth: int) -> list[Expr]:
        """One over a split of the reciprocal; for an impedance the split's parts are branches in parallel."""
        unit = dimension(self.style, over(next(iter(laurent(ratio.above))), next(iter(laurent(ratio.below)))))
        splits = self._splits(ratio.reciprocal(), depth)
        if unit == (1, 0):
            return [_branches(split) for split in splits if isinstance(split, Sum)]
        # One over a sum reads well for a pure number, 1/(1 + x); a time constant is better left a fraction.
        return [quotient(ONE, split) for split in splits] if unit == (0, 0) else []

    def _without_content(self, ratio: Ratio, depth: int) -> list[Expr]:
        """A monomial that stands in every term, times the rest of the ratio."""
        above, below = (common(laurent(side)) for side in (ratio.above, ratio.below))
        if not any(above) and not any(below):
            return []
        sides = [
            self.ring.polynomial({over(e, m): c for e, c in laurent(side).items()})
            for side, m in ((ratio.above, above), (ratio.below, below))
        ]
        rest = self.best(Ratio(self.ring, *sides), depth)
        upper, lower = (rest.above, rest.below) if isinstance(rest, Quotient) else (rest, ONE)
        outside = [monomial(self.style, side) for side in (above, below)]
        return [quotient(product(outside[0], upper), product(outside[1], lower))]

    def _by_division(self, ratio: Ratio, depth: int) -> list[Expr]:
        """m + (N - m D)/D for monomials m of which m D lies within N."""
        above, below = laurent(ratio.above), laurent(ratio.below)
        first = next(iter(below))
        found = []
        for exponents, coefficient in above.items():
            step, scale = over(exponents, first), Fraction(coefficient, below[first])
            if min(step) < 0 or scale.denominator != 1:
                continue
            if all(above.get(times(e, step)) == c * scale for e, c in below.items()):
                multiple = self.ring.monomial(step, int(scale))
                rest = lowest_terms(self.ring, ratio.above - multiple * ratio.below, ratio.below)
                whole = monomial(self.style, step, scale)
                found.append(self._sum(whole, self.best(rest, depth - 1)))
        return found

    def _by_symbol(self, ratio: Ratio, depth: int) -> list[Expr]:
        """N0/D + x N1/D for each symbol x of N that stands in some of its terms only."""
        found = []
        table = laurent(ratio.above)
        for i in range(1, len(self.ring.names)):
            with_it = {e: c for e, c in table.items() if e[i]}
            if not with_it or len(with_it) == len(table):
                continue
            without = {e: c for e, c in table.items() if not e[i]}
            parts = [self._part(side, ratio.below) for side in (without, with_it)]
            if all(max(p.counts) < max(ratio.counts) or sum(p.counts) < sum(ratio.counts) for p in parts):
                found.append(self._sum(*(self.best(part, depth - 1) for part in parts)))
        return found

    def _part(self, side: Laurent, below: Polynomial) -> Ratio:
        return lowest_terms(self.ring, self.ring.polynomial(side), below)

    @staticmethod
    def _sum(*parts: Expr) -> Expr:
        positive = [p for p in parts if p != ZERO]
        return total(*positive)

    def _factored(self, ratio: Ratio) -> Expr:
        """One fraction of factors, each divided by the monomial that makes the whole shortest."""
        scale, above = _factors(ratio.above)
        divisor, below = _factors(ratio.below)
        base: Exponents = (0,) * len(self.ring.names)
        options: list[list[_Way]] = []
        for factor, power in [*above, *((f, -p) for f, p in below)]:
            if len(factor) == 1:
                base = times(base, _raised(next(iter(factor)), power))
            else:
                options.append(self._ways(factor, power))
        coefficient = Fraction(scale, divisor)
        found = [self._assemble(base, coefficient, choice) for choice in self._promising(base, options)]
        return min(found, key=lambda e: round(self.style.cost(e), 6))

    def _promising(self, base: Exponents, options: list[list[_Way]]) -> list[tuple[_Way, ...]]:
        """The few choices of ways that leave the fewest symbols, counted without building the trees."""
        prices = [[self.style.cost(way.tree) * abs(way.power) for way in option] for option in options]

        def price(places: tuple[int, ...]) -> float:
            whole = list(base)
            total_price = 0.0
            for option, price_list, place in zip(options, prices, places, strict=True):
                total_price += price_list[place]
                for i, e in enumerate(option[place].outside):
                    whole[i] += e
            return total_price + sum(abs(e) for e in whole)

        start = tuple(0 for _ in options)
        count = 1
        for option in options:
            count *= len(option)
        if count <= MOST_CHOICES:
            places = sorted(choices(*(range(len(option)) for option in options)), key=price)[:KEPT_CHOICES]
        else:
            places = [start]
        return [tuple(option[place] for option, place in zip(options, chosen, strict=True)) for chosen in places]

    def _ways(self, factor: Laurent, power: int) -> list[_Way]:
        """Ways to write F^power: as it is, as M^power (F/M)^power, as M^power over a parallel combination."""
        ways = [_Way((0,) * len(self.ring.names), write_sum(self.style, factor), power)]
        for exponents in factor:
            if any(exponents):
                inner = write_sum(self.style, {over(e, exponents): c for e, c in factor.items()})
                ways.append(_Way(_raised(exponents, power), inner, power))
        for exponents in self._admittance_bases(factor):
            branches = [single_impedance(self.style, over(e, exponents), c) for e, c in factor.items()]
            together = parallel_of(self.style, [b for b in branches if b is not None])
            ways.append(_Way(_raised(exponents, power), together, -power))
        return ways

    def _admittance_bases(self, factor: Laurent) -> list[Exponents]:
        """Monomials M for which every term of F/M is the admittance of one part."""
        first = next(iter(factor))
        found = []
        for i in range(1, len(self.ring.names)):
            for sign in (1, -1):
                candidate = tuple(e + (sign if j == i else 0) for j, e in enumerate(first))
                if all(single_impedance(self.style, over(e, candidate), c) is not None for e, c in factor.items()):
                    found.append(candidate)
        return found

    def _assemble(self, base: Exponents, coefficient: Fraction, choice: tuple[_Way, ...]) -> Expr:
        for way in choice:
            base = times(base, way.outside)
        number = abs(coefficient)
        above = [monomial(self.style, tuple(max(e, 0) for e in base), Fraction(number.numerator))]
        below = [monomial(self.style, tuple(max(-e, 0) for e in base), Fraction(number.denominator))]
        for way in choice:
            (above if way.power > 0 else below).extend([way.tree] * abs(way.power))
        result = quotient(product(*above), product(*below))
        return negate(result) if coefficient < 0 else result


def _branches(admittances: Sum) -> Expr:
    """The parallel combination of what a sum of admittances stands for."""
    branches: list[Expr] = []
    for term in admittances.terms:
        match term:
            case Quotient(above, Parallel(inner)) if above == ONE:
                branches += inner
            case Quotient(above, below):
                branches.append(quotient(below, above))
            case _:
                branches.append(quotient(ONE, term))
    return Parallel(tuple(branches))


def _held(ratio: Ratio) -> int:
    """How many different symbols stand in the ratio: no form holds fewer."""
    sides = [*laurent(ratio.above), *laurent(ratio.below)]
    return sum(1 for column in zip(*sides, strict=True) if any(column))


def _raised(exponents: Exponents, power: int) -> Exponents:
    return tuple(e * power for e in exponents)


def _factors(polynomial: Polynomial) -> tuple[int, list[tuple[Laurent, int]]]:
    constant, factors = polynomial.factor()
    scale = int(constant)
    found: list[tuple[Laurent, int]] = []
    for factor, power in factors:
        table = laurent(factor)
        if sum(1 for c in table.values() if c < 0) * 2 > len(table):
            table = {e: -c for e, c in table.items()}
            scale *= (-1) ** int(power)
        found.append((table, int(power)))
    return scale, found
