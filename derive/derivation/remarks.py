"""What is said besides about an approximate answer: which statements did nothing, why terms went, what was kept.

Enters: the exact and the approximate answer. Leaves: words. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.approximate.ground import Ground
from derive.approximate.records import Approximate, Dropped, Reduced
from derive.derivation.offers import offers
from derive.derivation.wording import label
from derive.expression.tree import ONE, Power, S
from derive.forms.laurent import Style, monomial
from derive.network.records import Network
from derive.words import Formula, Inline, Reading, Words

HANDFUL = 5
"""Dropped terms up to which each is named on the page with its reason."""


def remarks(
    reduced: Approximate | None, network: Network, ground: Ground, style: Style, unit: str
) -> tuple[Words, ...]:
    """Sentences about an approximate answer, in the order in which a reader needs them."""
    if reduced is None:
        return ()
    found: list[Words] = []
    unused = [label(e.statement) for e in reduced.effects if not e.used]
    if unused and len(unused) < len(reduced.effects):
        found.append((f"{', '.join(unused)} changed nothing more after the statements before.",))
    found += [_order(reduced.reduced, ground, unit)] if reduced.reduced.in_order else []
    found += _whole(reduced.reduced, network, ground)
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
        sums += [", " if sums else ""]
        if power is None:
            sums += [f"the {part} across its powers of ", Formula(S)]
        else:
            at = ONE if power == 0 else S if power == 1 else Power(S, power)
            sums += [f"the {part}'s sum at ", Formula(at)] if power else [f"the {part}'s sum without ", Formula(S)]
    found: list[Words] = [("Kept whole, since what would be left nearly cancels: ", *sums, ".")]
    return found + offers(reduced, network, ground)


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


def dropped_words(dropped: Sequence[Dropped]) -> Words:
    """How many terms went, and by which statements."""
    by: dict[int, int] = {}
    for item in dropped:
        for number, _ in item.powers:
            by[number] = by.get(number, 0) + 1
    helped = ", ".join(f"{count} with the help of {label(number)}" for number, count in sorted(by.items()))
    return (f"{len(dropped)} terms dropped: {helped}. The record names for each the term beside which it went.",)
