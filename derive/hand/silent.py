"""The statements that a good approximation makes without saying so.

Enters: a ratio that is right, and one by hand that comes near it. Leaves: limits under which the right one becomes
exactly the one by hand, or else ratios under which terms may be dropped until it is; each with its cost.
Must not know: how the formula was written, LaTeX.

Limits are tried first, alone, then in pairs, triples and fours, of symbols that the hand result does not hold. For
the ratios the
two are multiplied out against each other: each term that is left over names a term that is larger, and the cone of
these ratios is narrowed to the fewest that still give exactly the hand result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from derive.algebra.convert import monomial_tree
from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.answers.records import Exact
from derive.approximate.error import Error, measure
from derive.approximate.records import Generator, Resolved
from derive.approximate.reduce import Ground, reduce_answer, spectrum_of_ratio
from derive.circuit.records import Statement
from derive.expression.tree import Expr, Relation, Sym, product
from derive.forms.laurent import Style
from derive.hand.limits import Going, limit, symbols_of
from derive.hand.reached import Taken, reached, take

MOST_AT_ONCE = 4
MOST_MIXED, MOST_LOOKED_AT = 6, 30
MOST_RATIOS = 16
"""Left-over terms up to which ratios are looked for."""


@dataclass(frozen=True)
class Silent:
    """One statement that was made silently: a limit or a ratio, its size where it has one, and what it costs alone."""

    relation: Relation
    ratio: float | None
    cost: Error


def silent_statements(right: Exact, hand: Ratio, ground: Ground, style: Style) -> tuple[Silent, ...]:
    """The statements under which the right answer is exactly the hand result; () where none were found."""
    if right.ratio is None or right.ratio.above.is_zero() or hand.above.is_zero():
        return ()
    found = reached(right.ratio, hand, MOST_AT_ONCE)
    if found.equal:
        return cheapest(right, found.equal, ground)
    held = set(symbols_of(hand))
    starts: list[tuple[Taken, Ratio]] = []
    for taken in found.fewer[:MOST_LOOKED_AT]:
        ratio = take(right.ratio, taken)
        if ratio is not None and set(symbols_of(ratio)) == held and len(starts) < MOST_MIXED:
            starts.append((taken, ratio))
    for taken, ratio in (*starts, ((), right.ratio)):
        ratios = _ratios(right, ratio, hand, ground, style)
        if ratios:
            return (*(_cost(right, going, ground) for going in taken), *ratios)
    return ()


def cheapest(right: Exact, sets: Sequence[Taken], ground: Ground) -> tuple[Silent, ...]:
    """The set of limits whose dearest costs least, with what each costs."""
    costs = {going: _cost(right, going, ground) for going in dict.fromkeys(going for taken in sets for going in taken)}
    costed = [tuple(costs[going] for going in taken) for taken in sets]
    return min(costed, key=lambda each: max(s.cost.worst for s in each))


def _cost(right: Exact, going: Going, ground: Ground) -> Silent:
    assert right.ratio is not None
    alone = limit(right.ratio, going).ratio
    spectrum = None if alone is None else spectrum_of_ratio(alone, ground.numbers)
    return Silent(going.relation, None, measure(spectrum, right.spectrum, ground.band, ground.spot, search=False))


def _ratios(right: Exact, start: Ratio, hand: Ratio, ground: Ground, style: Style) -> tuple[Silent, ...]:
    """The fewest ratios under which the answer, after limits, becomes the hand result; their costs from the whole
    answer."""
    spectrum = spectrum_of_ratio(start, ground.numbers)
    limited = Exact(right.inquiry, start.counts, start, spectrum)
    generators = _left_over(start, hand, ground, style)
    if not generators or len(generators) > MOST_RATIOS or not _gives(limited, generators, hand, ground):
        return ()
    # The longest ratios go first: what stays are short ones, of which they are products.
    for one in sorted(generators, key=lambda g: (-sum(map(abs, g.exponents)), g.value)):
        fewer = [g for g in generators if g is not one]
        if fewer and _gives(limited, fewer, hand, ground):
            generators = fewer
    found = []
    for generator in sorted(generators, key=lambda g: g.value):
        reduced = reduce_answer(right, [_stated(generator)], ground)
        relation = relation_of(generator.exponents, ground.ring)
        found.append(Silent(relation, float(generator.value), ground.error(reduced, right)))
    return tuple(found)


def _left_over(right: Ratio, hand: Ratio, ground: Ground, style: Style) -> list[Generator]:
    """A ratio for each term that is left when the two are multiplied out against each other.

    In each power of s the largest term of both products is what the others are compared with.
    """
    across = (right.above * hand.below, hand.above * right.below)
    left = _by_power(across[0] - across[1])
    largest: dict[int, tuple[float, Exponents]] = {}
    for side in across:
        for power, found in _by_power(side).items():
            best = max((abs(float(c)) * style.size((0, *e[1:])), e) for e, c in found)
            largest[power] = max(largest.get(power, best), best)
    generators: dict[Exponents, Generator] = {}
    for power, found in left.items():
        for exponents, _ in found:
            ratio = tuple(a - b for a, b in zip(largest[power][1], exponents, strict=True))
            value = _value(ratio, ground)
            if any(ratio) and value > 1:
                generators.setdefault(ratio, Generator(len(generators) + 1, ratio, value))
    return list(generators.values())


def _by_power(side: Polynomial) -> dict[int, list[tuple[Exponents, int]]]:
    found: dict[int, list[tuple[Exponents, int]]] = {}
    for exponents, coefficient in terms(side):
        found.setdefault(exponents[0], []).append((exponents, coefficient))
    return found


def _value(exponents: Exponents, ground: Ground) -> Fraction:
    value = Fraction(1)
    for name, exponent in zip(ground.ring.names[1:], exponents[1:], strict=True):
        if exponent:
            value = value * ground.numbers[name] ** exponent
    return value


def _gives(right: Exact, generators: Sequence[Generator], hand: Ratio, ground: Ground) -> bool:
    return reduce_answer(right, [_stated(g) for g in generators], ground).ratio == hand


def _stated(generator: Generator) -> Resolved:
    return Resolved(Statement(generator.statement, "", ()), (generator,))


def relation_of(exponents: Exponents, ring: Ring) -> Relation:
    """A ratio of monomials as a statement, ``above >> below``, gm·rpi written as beta."""
    powers = dict(zip(ring.names, exponents, strict=True))
    betas: dict[str, int] = {}
    for name in ring.names:
        owner = name.removeprefix("gm_")
        gm, rpi = powers[name], powers.get(f"rpi_{owner}", 0)
        if owner != name and gm * rpi > 0:
            times = min(gm, rpi) if gm > 0 else max(gm, rpi)
            betas[f"beta_{owner}"] = times
            powers[name], powers[f"rpi_{owner}"] = gm - times, rpi - times
    plain = tuple(powers[name] for name in ring.names)
    sides: list[Expr] = []
    for sign in (1, -1):
        part = monomial_tree(ring, tuple(max(sign * e, 0) for e in plain))
        extra = [Sym(name) for name, times in betas.items() for _ in range(max(sign * times, 0))]
        sides.append(product(*extra, part))
    return Relation(sides[0], ">>", sides[1])
