"""What was done to reach a short form, in sentences.

Enters: a short form. Leaves: words. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from derive.answers.records import Exact
from derive.approximate.cone import Cone
from derive.approximate.reduce import Ground
from derive.derivation.wording import label, percent, run_of
from derive.expression.tree import Sym
from derive.structure.dropping import weigh
from derive.structure.records import Short
from derive.structure.shortest import membership_range
from derive.structure.thinning import Removal
from derive.words import Formula, Inline, Node, Reading, Words

SAMPLES = 50
FEW = 4
"""Terms of a factor up to which it is held to be readable; what has more is told, with its reason."""
SMALL = 1e-3
"""Costs below this are told together."""
BEYOND = 0.05
"""How far outside 0 to 1 a membership must lie for its sum to be told as nearly cancelling."""


def road_words(exact: Exact, found: Short, ground: Ground) -> tuple[Words, ...]:
    """What was done to reach the form, in sentences."""
    made: list[Words] = []
    if found.begun:
        made.append((f"The network was taken under {run_of(found.begun)} first.",))
    if found.branches:
        made += _budget_words(exact, found, ground)
    elif found.candidate is not None:
        made += _removal_words(found, {e.name: e.law for e in exact.inquiry.network.elements})
        made += _cluster_words(found)
        made += _dropped_words(found)
    made += _large_words(found, ground)
    if not found.reached:
        asked = percent(float(found.within))
        made.append(("No form that can be read stays within ", *asked, "; this is the best that was found."))
    return tuple(made)


def _large_words(found: Short, ground: Ground) -> list[Words]:
    """Which sums have more than a few terms, and how much the smallest of these makes up."""
    candidates = [found.candidate, *(branch.follows for branch in found.branches)]
    made: list[Words] = []
    low, high = (float(f) for f in ground.band)
    s = np.asarray(2j * np.pi * np.geomspace(low, high, SAMPLES), dtype=np.complex128)
    for factored in (candidate.factored for candidate in candidates if candidate is not None):
        for factor, _ in factored.sums:
            if len(factor) > FEW:
                weights = weigh(factored.ring, factor, ground.numbers, s, Cone(())).weights
                least = percent(float(np.min(np.max(weights, axis=1))))
                degrees = factor.degrees()
                names = [name for name, degree in zip(factored.ring.names, degrees, strict=True) if degree]
                words: list[Inline] = [f"The sum of {len(factor)} terms in ", *_listed(names)]
                made.append((*words, " keeps them all: the smallest reaches ", *least, " of it in the band."))
    return made


def _removal_words(found: Short, laws: Mapping[str, str]) -> list[Words]:
    """The elements taken out of the network; small costs together, the others one by one."""
    assert found.candidate is not None
    removals = found.candidate.removals
    made: list[Words] = []
    small = [r for r in removals if r.cost < SMALL]
    large = [r for r in removals if r.cost >= SMALL]
    if small:
        cost = sum(r.cost for r in small)
        words: list[Inline] = ["Left out at "]
        words += ["a cost of ", *percent(cost), " together: "] if cost else ["no cost: "]
        ways = list(dict.fromkeys(_way(r, laws) for r in small))
        for place, way in enumerate(ways):
            names = [r.element for r in small if _way(r, laws) == way]
            words += ["; " if place else "", *_listed(names), f" {way}"]
        made.append((*words, "."))
    if large:
        words = ["Left out, each at its own cost: "]
        for place, removal in enumerate(large):
            words += [", " if place else "", Formula(Sym(removal.element)), f" {_way(removal, laws)}: "]
            words += percent(removal.cost)
        made.append((*words, "."))
    return made


def _listed(names: Sequence[str]) -> Sequence[Inline]:
    return [piece for name in names for piece in (", ", Formula(Sym(name)))][1:]


def _way(removal: Removal, laws: Mapping[str, str]) -> str:
    """How an element was left out, as the trade says it."""
    law = laws.get(removal.element, "resistance")
    if law in ("conductance", "ratio", "delay", "unity"):
        vanishes = (removal.how == "open") == (law != "ratio")
        return "taken as zero" if vanishes else "taken as without limit"
    return "open" if removal.how == "open" else "shorted"


def _cluster_words(found: Short) -> list[Words]:
    assert found.candidate is not None
    recipe, stages = found.candidate.recipe, found.candidate.stages
    made: list[Words] = []
    if recipe.threshold and stages:
        words: list[Inline] = ["Elements coupled by less than ", Reading(recipe.threshold, "1", 2)]
        words.append(" are taken as independent; what is left falls into ")
        for place, stage in enumerate(stages):
            words += ["; " if place else "", "("]
            words += _listed(stage.elements)
            words.append(f") in the {stage.side}")
        made.append((*words, "."))
    if recipe.separated and found.candidate.separation is not None:
        apart = Reading(found.candidate.separation, "1", 2)
        made.append(
            (
                "A sum in s is split at its roots, which lie apart by a factor of ",
                apart,
                " or more.",
            )
        )
    return made


def _dropped_words(found: Short) -> list[Words]:
    assert found.candidate is not None
    candidate = found.candidate
    made: list[Words] = []
    if candidate.by_statement:
        words: list[Inline] = ["Terms dropped beside larger ones: "]
        parts = [f"{count} with the help of {label(number)}" for number, count in candidate.by_statement]
        made.append((*words, ", ".join(parts), "."))
    if candidate.by_size:
        count = "One term is" if candidate.by_size == 1 else f"{candidate.by_size} terms are"
        below = percent(candidate.recipe.tolerance)
        made.append((f"{count} dropped: in each sum together below ", *below, " of it over the band."))
    return made


def _budget_words(exact: Exact, found: Short, ground: Ground) -> list[Words]:
    """Why the budget of the port, which branches, and what was left out."""
    made: list[Words] = []
    span = membership_range(exact, ground)
    opening: Words = (
        "The form is the budget of the port: each part's own impedance over how little its far end follows.",
    )
    if span is not None and (span[0] < -BEYOND or span[1] > 1 + BEYOND):
        low, high = Reading(span[0], "1", 2), Reading(span[1], "1", 2)
        opening = ("Terms of its denominator nearly cancel (memberships from ", low, " to ", high, "). ", *opening)
    made.append(opening)
    words: list[Inline] = ["Largest share of the port's current in the band: "]
    for place, branch in enumerate(found.branches):
        words += ["; " if place else ""]
        words += _listed(branch.symbols)
        if branch.far != exact.inquiry.network.ground:
            words += [" to ", Node(branch.far)]
        words += [" ", Reading(100 * branch.share, "%", 2)]
    made.append((*words, "."))
    if found.left_out:
        words = ["Left out, at most in the band: "]
        for place, (name, share) in enumerate(found.left_out):
            words += [", " if place else "", Formula(Sym(name)), " ", *percent(share)]
        made.append((*words, "."))
    return made
