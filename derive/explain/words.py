"""An explanation in short sentences, each made from numbers by a rule (``derive.explain.thresholds``).

Enters: an explanation. Leaves: chapters of sentences. Must not know: LaTeX, pages.
"""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees

from derive.explain.device_words import device_sentences
from derive.explain.explain import Explanation
from derive.explain.polarity import Motion
from derive.explain.thresholds import STILL
from derive.explain.travel import Hop
from derive.explain.wording import factor, listed
from derive.expression.tree import Sym
from derive.words import Formula, Node, Reading, Words

STEP = 1e-3
"""Volts by which the source is made to rise; a signal current rises by CURRENT_STEP amperes."""
CURRENT_STEP = 1e-6
FEW = 12
"""Nodes that one sentence names at most."""


@dataclass(frozen=True)
class Chapter:
    title: str
    sentences: tuple[Words, ...]


def chapters(found: Explanation) -> tuple[Chapter, ...]:
    """What moves, the order in which it does, what each device does."""
    made = [
        Chapter("What moves which way", tuple(motion_sentences(found))),
        Chapter("In what order", tuple(travel_sentences(found))),
        Chapter("What each device does", tuple(device_sentences(found))),
    ]
    return tuple(chapter for chapter in made if chapter.sentences)


def motion_sentences(found: Explanation) -> list[Words]:
    """Who rises, who falls, who is late, who stays, when the source rises by a small step."""
    step, unit = (STEP, "V") if found.unit == "V/V" else (CURRENT_STEP, "A")
    rises: Words = ("When ", Node(found.start), " rises by ", Reading(step, unit, 4, "stated"))
    rises = (*rises, " at ", Reading(float(found.spot), "Hz", 6, "stated"), ": ")
    others = [m for m in found.motions if m.node != found.start]
    groups: list[Words] = []
    for sense, verb in (("with", " rises by "), ("against", " falls by ")):
        chosen = [m for m in others if m.sense == sense]
        groups += [_amounts(chosen, verb, step)] if chosen else []
    for sense, lies in (("ahead", " ahead by "), ("behind", " behind by ")):
        for motion in [m for m in others if m.sense == sense]:
            phase = Reading(abs(degrees(cmath.phase(motion.spot))), "°", 2)
            groups.append((Node(motion.node), " swings ", Reading(abs(motion.spot) * step, "V", 3), lies, phase))
    sentences: list[Words] = []
    if groups:
        sentences.append((*rises, *listed(groups, "; "), "."))
    still = [m for m in others if m.sense == "still"]
    if still:
        names = listed([(Node(m.node),) for m in still], ", ", " and ")
        verb = " hardly moves" if len(still) == 1 else " hardly move"
        sentences.append((*names, f"{verb}: less than 1/{round(1 / STILL)} of the largest motion."))
    return sentences + [_turns(m) for m in others if m.turns and m.sense != "still"]


def _amounts(chosen: Sequence[Motion], verb: str, step: float) -> Words:
    ranked = sorted(chosen, key=lambda m: -abs(m.spot))
    pieces: list[Words] = []
    for place, motion in enumerate(ranked[:FEW]):
        pieces.append((Node(motion.node), " by " if place else verb, Reading(abs(motion.spot) * step, "V", 3)))
    if len(ranked) > FEW:
        pieces.append((f"{len(ranked) - FEW} more by less",))
    return listed(pieces, ", ")


def _turns(motion: Motion) -> Words:
    where = listed([(Reading(f, "Hz", 3),) for f in motion.turns], ", ", " and ")
    return ("The part of ", Node(motion.node), " that is in phase with the source changes its sign at ", *where, ".")


def travel_sentences(found: Explanation) -> list[Words]:
    """The hops to the chief's control, from its current to the output, and back."""
    way = found.travel
    if way is None or found.loop is None:
        return []
    chief = Formula(Sym(way.chief))
    ratio = Reading(abs(found.loop.ratio), "1", 3)
    why: Words = (" (return ratio ", ratio, " in magnitude at the spot)")
    sentences: list[Words] = [
        ("In a closed loop nothing comes first; so it is opened at ", chief, *why, "."),
    ]
    if way.forward:
        sentences.append(("The signal reaches ", chief, " this way: ", *_hops(way.forward), "."))
    if way.between_inputs:
        current: Words = ("One volt between its inputs moves ", Node(way.begins), " by ", factor(way.lifts, "V"))
    else:
        current = ("Its current moves ", Node(way.begins), " by ", factor(way.lifts, "Ω"), " (volts per ampere)")
    sentences.append((*current, *(("; from there: ", *_hops(way.out)) if way.out else ()), "."))
    if way.back:
        sentences.append(("From the output it comes back: ", *_hops(way.back), "."))
    if way.at_once is not None and way.at_once != found.output:
        local: Words = ("That current also passes ", Node(way.at_once), ", one of the two nodes that control it: ")
        sentences.append((*local, "a local loop within the large one."))
    elif found.output in found.loop.chief.voltage:
        sentences.append((Node(found.output), " itself controls ", chief, ": there it comes back at once."))
    return sentences


def _hops(hops: Sequence[Hop]) -> Words:
    made: list[Words] = []
    for hop in hops:
        by: Words = (" by ", Formula(Sym(hop.by))) if hop.by else ()
        made.append((Node(hop.start), " moves ", Node(hop.to), *by, " (", factor(hop.ratio), ")"))
    return listed(made, ", ")
