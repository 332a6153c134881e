"""What a statement comes to at this bias point, in words.

Enters: resolved statements, the network. Leaves: words. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.approximate.ratios import PI
from derive.approximate.records import Equality, Generator, Resolved
from derive.expression.tree import Expr, Num, Parallel, Power, Sum, Sym, product, quotient, walk
from derive.network.records import Network
from derive.words import Formula, Reading, Words

LONGEST = 1000
"""Numerator and denominator up to which the pure number in a ratio is written as it is."""
EXACTLY = Fraction(1, 10**25)


def ratio_words(resolved: Resolved, network: Network) -> Words:
    """The stated ratio at this bias point; where sums were compared, each of the ratios that it stands for."""
    if len(resolved.generators) == 1 and not _compound(resolved):
        (generator,) = resolved.generators
        return ("ratio ", Reading(float(generator.value), "1", 3), *_place(generator))
    words: Words = ()
    for generator in resolved.generators:
        value = Reading(float(generator.value), "1", 3)
        formula = _formula(generator, network)
        named: Words = ("ratio ",) if formula is None else (Formula(formula), " = ")
        words = (*words, ", " if words else "", *named, value, *_place(generator))
    return words


def alike_words(equalities: Sequence[Equality]) -> Words:
    """How far the two sides are from alike, at worst."""
    off = max(abs(equality.value - 1) for equality in equalities)
    return ("alike within ", Reading(100 * float(off), "%", 2)) if off else ("alike exactly",)


def _compound(resolved: Resolved) -> bool:
    relation = resolved.statement.relation
    sides = () if relation is None else (relation.left, relation.right)
    return any(isinstance(part, Sum | Parallel) for side in sides for part in walk(side))


def _place(generator: Generator) -> Words:
    return () if generator.at is None else (" at ", Reading(float(generator.at), "Hz", 3, "stated"))


def _formula(generator: Generator, network: Network) -> Expr | None:
    """The ratio as algebra; None where its pure number is not a short one, so that its value would not be seen."""
    number = _number(generator.factor)
    if number is None:
        return None
    names = ["w", *(element.name for element in network.elements if element.symbol is not None)]
    powers = list(zip(names, generator.exponents, strict=True))
    above = product(number[0], *(_power(n, e) for n, e in powers if e > 0))
    below = product(number[1], *(_power(n, -e) for n, e in powers if e < 0))
    return quotient(above, below)


def _number(factor: Fraction) -> tuple[Expr, Expr] | None:
    """A pure number above and below, with powers of 2 pi apart."""
    for power in (0, 1, -1, 2, -2, 3, -3, 4, -4):
        rest = factor / (2 * PI) ** power
        short = rest.limit_denominator(LONGEST)
        if short and abs(rest / short - 1) < EXACTLY and short.numerator <= LONGEST:
            turns = tuple(p for p in (Num(Fraction(2)), Sym("pi")) for _ in range(abs(power)))
            above, below = Num(Fraction(short.numerator)), Num(Fraction(short.denominator))
            return (product(above, *turns), below) if power > 0 else (above, product(below, *turns))
    return None


def _power(name: str, exponent: int) -> Expr:
    return Sym(name) if exponent == 1 else Power(Sym(name), exponent)
