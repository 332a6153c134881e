"""Which symbols an author may mean to be alike, where terms nearly cancel.

Enters: an answer, and which of its sums nearly cancel. Leaves: words that offer statements.
Must not know: LaTeX, pages.

A pair is offered when the two are of one kind, within a tenth of each other, and when writing one for the other lets
terms of such a sum cancel; two pairs together, where no single one does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents, Ring, terms
from derive.approximate.alike import Alike, alike
from derive.approximate.ground import Ground
from derive.approximate.ratios import number_of
from derive.approximate.records import Equality
from derive.expression.tree import Relation, Sym
from derive.network.records import Network
from derive.words import Formula, Inline, Reading, Words

WITHIN = Fraction(1, 10)
FEWER = Fraction(9, 10)
"""Terms cancel where the magnitudes of a sum add up to less than this part of what they were."""
MOST_PAIRS, MOST_OFFERS = 16, 3
Pair = tuple[str, str, Fraction]
Sum = dict[Exponents, int]


def offers(
    ratio: Ratio | None, where: Sequence[tuple[str, int | None]], network: Network, ground: Ground
) -> list[Words]:
    """A sentence with statements to make; nothing where no pair of symbols explains what cancels."""
    if ratio is None or not where:
        return []
    sums = list(_sums(ratio, where))
    held = {name for sum_ in sums for e in sum_ for name, power in zip(ground.ring.names, e, strict=True) if power}
    pairs = [pair for pair in _pairs(network, ground) if {pair[0], pair[1]} <= held][:MOST_PAIRS]
    chosen = [(pair,) for pair in pairs if _cancels((pair,), sums, ground)]
    if not chosen:
        chosen = [both for both in combinations(pairs, 2) if _cancels(both, sums, ground)]  # type: ignore[misc]
    if not chosen:
        return []
    words: list[Inline] = ["Where they are meant to be matched, state so: "]
    for place, some in enumerate(chosen[:MOST_OFFERS]):
        words += [" or " if place else ""]
        for number, (first, second, off) in enumerate(some):
            words += [" with " if number else "", Formula(Relation(Sym(first), "=", Sym(second)))]
            words += [" (alike within ", Reading(100 * float(off), "%", 2), ")"] if off else [" (equal here)"]
    return [(*words, "; then the terms cancel exactly.")]


def _sums(ratio: Ratio, where: Sequence[tuple[str, int | None]]) -> Iterator[Sum]:
    sides = {"numerator": dict(terms(ratio.above)), "denominator": dict(terms(ratio.below))}
    for part, power in where:
        yield {e: c for e, c in sides[part].items() if power is None or e[0] == power}


def _pairs(network: Network, ground: Ground) -> list[Pair]:
    """Symbols of one law within a tenth of each other, the closest first."""
    known = [e for e in network.elements if e.symbol is not None]
    found = []
    for one, other in combinations(known, 2):
        if one.law == other.law:
            off = abs(ground.numbers[one.name] / ground.numbers[other.name] - 1)
            if off <= WITHIN:
                found.append((one.name, other.name, off))
    return sorted(found, key=lambda pair: pair[2])


def _cancels(pairs: Sequence[Pair], sums: Sequence[Sum], ground: Ground) -> bool:
    same = alike([_equality(pair, ground.ring) for pair in pairs])
    numbers = same.numbers(ground.ring, ground.numbers)
    for sum_ in sums:
        before = sum((abs(c) * number_of((0, *e[1:]), ground.ring, numbers) for e, c in sum_.items()), Fraction(0))
        if _merged(sum_, same, ground) < FEWER * before:
            return True
    return False


def _merged(sum_: Sum, same: Alike, ground: Ground) -> Fraction:
    """The magnitudes of the terms that are left."""
    table: dict[Exponents, Fraction] = {}
    for exponents, coefficient in sum_.items():
        new, factor = same.term(exponents)
        table[new] = table.get(new, Fraction(0)) + coefficient * factor
    return sum((abs(c) * number_of((0, *e[1:]), ground.ring, ground.numbers) for e, c in table.items()), Fraction(0))


def _equality(pair: Pair, ring: Ring) -> Equality:
    exponents = [0] * len(ring.names)
    exponents[ring.index[pair[0]]], exponents[ring.index[pair[1]]] = 1, -1
    return Equality(0, tuple(exponents), Fraction(1), Fraction(1))
