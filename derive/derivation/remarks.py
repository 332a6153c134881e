"""What is said besides about an approximate answer: which statements did nothing, why terms went, what was kept.

Enters: the exact and the approximate answer. Leaves: words. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.algebra.ratio import Ratio
from derive.answers.records import Exact
from derive.approximate.drop import nearly_cancels
from derive.approximate.ground import Ground
from derive.approximate.records import Approximate, Dropped, Pruned, Reduced
from derive.derivation.offers import offers
from derive.derivation.wording import label
from derive.expression.tree import Power, S
from derive.forms.laurent import Style, monomial
from derive.network.records import Network
from derive.words import Formula, Inline, Reading, Words

HANDFUL = 5
"""Dropped terms up to which each is named on the page with its reason."""


def remarks(
    exact: Exact, reduced: Approximate | None, network: Network, ground: Ground, style: Style
) -> tuple[Words, ...]:
    """Sentences about an approximate answer, or about the exact one where nothing was stated, most needed first."""
    if reduced is None:
        return tuple(_delicate(exact.ratio, (), network, ground))
    unit = exact.inquiry.unit
    found: list[Words] = []
    unused = [label(e.statement) for e in reduced.effects if not e.used]
    if unused and len(unused) < len(reduced.effects):
        found.append((f"{', '.join(unused)} changed nothing more after the statements before.",))
    found += [_order(reduced.reduced, ground, unit)] if reduced.reduced.in_order else []
    found += _whole(reduced.reduced, network, ground)
    found += _delicate(reduced.reduced.ratio, reduced.reduced.kept_whole, network, ground)
    found += _pruned(reduced.reduced.pruned)
    found += _reasons(reduced.reduced.dropped, style)
    return tuple(found)


def _order(reduced: Reduced, ground: Ground, unit: str) -> Words:
    """What the limits would give in the opposite order."""
    start = "The order of the limits matters: together they leave 0/0, so they were taken as they stand in the "
    other: Words = ("infinite",)
    if reduced.reverse is not None:
        other = (Reading(reduced.reverse.at_frequency(ground.spot), unit, style="magnitude"),)
    return (start + "description. In the opposite order the answer would be ", *other, ".")


def _whole(reduced: Reduced, network: Network, ground: Ground) -> list[Words]:
    if not reduced.kept_whole:
        return []
    sums: list[Inline] = []
    for part, power in reduced.kept_whole:
        sums += [", " if sums else "", *_sum_words(part, power)]
    found: list[Words] = [("Kept whole, since what would be left nearly cancels: ", *sums, ".")]
    return found + offers(reduced.ratio, reduced.kept_whole, network, ground)


def _sum_words(part: str, power: int | None) -> Words:
    if power is None:
        return (f"the {part} across its powers of ", Formula(S))
    if power == 0:
        return (f"the {part}'s sum without ", Formula(S))
    return (f"the {part}'s sum at ", Formula(S if power == 1 else Power(S, power)))


def _delicate(
    ratio: Ratio | None, told: Sequence[tuple[str, int | None]], network: Network, ground: Ground
) -> list[Words]:
    """Sums that rest on a small difference, and by how much an error of one term counts more in them."""
    if ratio is None:
        return []
    left = [item for item in nearly_cancels(ratio, ground) if item[:2] not in told]
    words: list[Words] = []
    for part, power, factor in left:
        times = Reading(float(factor), "1", 2)
        size = ("; its terms are in size ", times, " times what is left, so that small errors of them show.")
        words.append(("Nearly cancels: ", *_sum_words(part, power), *size))
    return words + offers(ratio, [item[:2] for item in left], network, ground)


def _reasons(dropped: Sequence[Dropped], style: Style) -> list[Words]:
    """Each dropped term beside which it went, or how many by which statements."""
    if not dropped:
        return []
    if len(dropped) > HANDFUL:
        return [dropped_words(dropped)]
    words: list[Inline] = ["Multiplied out, "]
    part = ""
    for place, item in enumerate(dropped):
        words += ["; " if place else ""]
        if item.part != part:
            part = item.part
            words += [f"in the {part} "]
        by = ", ".join(label(number) for number, _ in item.powers)
        words += [Formula(monomial(style, item.term)), " goes beside "]
        words += [Formula(monomial(style, item.dominated_by)), f" by {by}"]
    return [(*words, ".")]


def _pruned(pruned: Sequence[Pruned]) -> list[Words]:
    """How many terms went while a long answer was multiplied out."""
    by: dict[int, int] = {}
    for item in pruned:
        for number, _ in item.powers:
            by[number] = by.get(number, 0) + item.count
    if not by:
        return []
    helped = ", ".join(f"{label(number)} ({_grouped(count)})" for number, count in sorted(by.items()))
    total = _grouped(sum(item.count for item in pruned))
    return [(f"{total} terms dropped while multiplying out, with the help of {helped}.",)]


def _grouped(count: int) -> str:
    return f"{count:,}".replace(",", "\u2009")


def dropped_words(dropped: Sequence[Dropped]) -> Words:
    """How many terms went, and by which statements."""
    by: dict[int, int] = {}
    for item in dropped:
        for number, _ in item.powers:
            by[number] = by.get(number, 0) + 1
    helped = ", ".join(f"{label(number)} ({count})" for number, count in sorted(by.items()))
    tail = "The record names for each the term beside which it went."
    return (f"{len(dropped)} terms dropped, with the help of {helped}. {tail}",)
