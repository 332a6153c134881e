"""A ratio as one fraction of factors, each divided by the monomial that makes the whole shortest.

Enters: a ratio in lowest terms. Leaves: a tree, equal to it. Must not know: splits of a ratio into sums, LaTeX.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product as choices
from math import prod

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents, Polynomial
from derive.expression.tree import Expr, negate, product, quotient
from derive.forms.laurent import Laurent, Style, laurent, monomial, over, times
from derive.forms.sums import parallel_of, single_impedance, write_sum

Items = tuple[tuple[Exponents, int], ...]
"""The terms of a factor."""
MOST_CHOICES = 600
KEPT_CHOICES = 4
FEW = 4
"""Terms up to which a factor is divided by each of them in turn; a longer one by the largest few."""
DIVISORS = 2


@dataclass(frozen=True)
class _Way:
    """One way to write a power of a factor: a monomial outside, times a tree to a power."""

    outside: Exponents
    tree: Expr
    power: int


def write_factored(style: Style, ratio: Ratio) -> Expr:
    """The cheapest fraction of factors found."""
    scale, above = factors(style, ratio.above)
    divisor, below = factors(style, ratio.below)
    base: Exponents = (0,) * len(style.ring.names)
    sums: list[tuple[Laurent, int]] = []
    for factor, power in [*above, *((f, -p) for f, p in below)]:
        if len(factor) == 1:
            base = times(base, _raised(next(iter(factor)), power))
        else:
            sums.append((factor, power))
    options = [[*_ways(style, tuple(f.items()), power), *_cancelling(style, f, power, base)] for f, power in sums]
    coefficient = Fraction(scale, divisor)
    found = [_assemble(style, base, coefficient, choice) for choice in _promising(style, base, options)]
    return min(found, key=lambda e: round(style.cost(e), 6))


def factors(style: Style, polynomial: Polynomial) -> tuple[int, list[tuple[Laurent, int]]]:
    """The number in front, and the factors with their powers, the largest term of each positive."""
    scale, found = style.ring.factored(polynomial)
    signed: list[tuple[Laurent, int]] = []
    for factor, power in found:
        table = laurent(factor)
        if table[max(table, key=style.size)] < 0:
            table = {e: -c for e, c in table.items()}
            scale *= (-1) ** power
        signed.append((table, power))
    return scale, signed


def _promising(style: Style, base: Exponents, options: list[list[_Way]]) -> list[tuple[_Way, ...]]:
    """The few choices of ways that leave the fewest symbols, counted without building the trees."""
    weights = [style.weights[name].cost for name in style.ring.names]
    prices = [[style.cost(way.tree) * abs(way.power) for way in option] for option in options]

    def price(places: tuple[int, ...]) -> float:
        whole = list(base)
        total_price = 0.0
        for option, price_list, place in zip(options, prices, places, strict=True):
            total_price += price_list[place]
            for i, e in enumerate(option[place].outside):
                whole[i] += e
        return total_price + sum(abs(e) * w for e, w in zip(whole, weights, strict=True) if e)

    ranges = [sorted(range(len(list_)), key=list_.__getitem__) for list_ in prices]
    while prod(len(places) for places in ranges) > MOST_CHOICES:
        max(ranges, key=len).pop()
    places = sorted(choices(*ranges), key=price)[:KEPT_CHOICES]
    return [tuple(option[place] for option, place in zip(options, chosen, strict=True)) for chosen in places]


def _cancelling(style: Style, factor: Laurent, power: int, base: Exponents) -> list[_Way]:
    """F above the line divided by what stands below it and within F as well."""
    if power < 0:
        return []
    held = [any(column) for column in zip(*factor, strict=True)]
    other = tuple(max(-e, 0) if inside else 0 for e, inside in zip(base, held, strict=True))
    if not any(other) or other in factor or max(other) > 1:
        return []
    inner = write_sum(style, {over(e, other): c for e, c in factor.items()})
    return [_Way(_raised(other, power), inner, power)]


@lru_cache(maxsize=20_000)
def _ways(style: Style, items: Items, power: int) -> list[_Way]:
    """Ways to write F^power: as it is, as M^power (F/M)^power, as M^power over a parallel combination."""
    factor = dict(items)
    ways = [_Way((0,) * len(style.ring.names), write_sum(style, factor), power)]
    largest = sorted((e for e in factor if any(e)), key=style.size, reverse=True)
    divisors = largest if len(factor) <= FEW else largest[:DIVISORS]
    for exponents in [*divisors, *_towards_betas(style, factor)]:
        inner = write_sum(style, {over(e, exponents): c for e, c in factor.items()})
        ways.append(_Way(_raised(exponents, power), inner, power))
    for exponents in admittance_bases(style, items):
        branches = [single_impedance(style, over(e, exponents), c) for e, c in factor.items()]
        together = parallel_of(style, [b for b in branches if b is not None])
        ways.append(_Way(_raised(exponents, power), together, -power))
    return ways


def _towards_betas(style: Style, factor: Laurent) -> list[Exponents]:
    """Monomials M for which a term of F/M is the current gain of a device."""
    found = []
    for gm, rpi, _ in style.betas:
        if any(e[gm] for e in factor) and not any(e[rpi] for e in factor):
            found += [tuple(p - (i in (gm, rpi)) for i, p in enumerate(e)) for e in factor if e[gm]]
    return found


@lru_cache(maxsize=20_000)
def admittance_bases(style: Style, items: Items) -> list[Exponents]:
    """Monomials M for which every term of F/M is the admittance of one part."""
    factor = dict(items)
    first = next(iter(factor))
    found = []
    for i in range(1, len(style.ring.names)):
        for sign in (1, -1):
            candidate = tuple(e + (sign if j == i else 0) for j, e in enumerate(first))
            if all(single_impedance(style, over(e, candidate), c) is not None for e, c in factor.items()):
                found.append(candidate)
    return found


def _assemble(style: Style, base: Exponents, coefficient: Fraction, choice: tuple[_Way, ...]) -> Expr:
    for way in choice:
        base = times(base, way.outside)
    number = abs(coefficient)
    above = [monomial(style, tuple(max(e, 0) for e in base), Fraction(number.numerator))]
    below = [monomial(style, tuple(max(-e, 0) for e in base), Fraction(number.denominator))]
    for way in choice:
        (above if way.power > 0 else below).extend([way.tree] * abs(way.power))
    result = quotient(product(*above), product(*below))
    return negate(result) if coefficient < 0 else result


def _raised(exponents: Exponents, power: int) -> Exponents:
    return tuple(e * power for e in exponents)


def shortest_way(style: Style, factor: Polynomial, power: int, base: Exponents) -> tuple[Exponents, Expr, int]:
    """A sum to a power by itself: the monomial that it leaves outside, the tree, and its side of the line.

    ``base`` is the monomial that stands outside already. F^power = outside · tree^(± |power|).
    """
    table = laurent(factor)
    ways = [*_ways(style, tuple(table.items()), power), *_cancelling(style, table, power, base)]
    weights = [style.weights[name].cost for name in style.ring.names]

    def cost(way: _Way) -> float:
        left = times(base, way.outside)
        return style.cost(way.tree) + sum(abs(e) * w for e, w in zip(left, weights, strict=True) if e)

    way = min(ways, key=lambda w: round(cost(w), 6))
    return way.outside, way.tree, 1 if way.power > 0 else -1
