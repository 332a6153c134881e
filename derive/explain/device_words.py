"""What each device does, in one or two sentences a device.

Enters: an explanation. Leaves: sentences. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from itertools import groupby

from derive.explain.devices import Duty, Pin
from derive.explain.explain import Explanation
from derive.explain.thresholds import BESIDE
from derive.explain.wording import factor, listed
from derive.expression.tree import Sym, Volt
from derive.words import Formula, Node, Reading, Words


def device_sentences(found: Explanation) -> list[Words]:
    """One paragraph a device, in the order of the description."""
    made: list[Words] = []
    if any(duty.is_stage and duty.configuration != "diode-connected" for duty in found.duties):
        made.append(legend(found))
    for part, group in groupby(found.duties, key=lambda duty: duty.part):
        duties = list(group)
        if len(duties) == 2 and works_as(duties[0]) == works_as(duties[1]):
            duties = duties[:1]
        made.append(_device(part, duties, found))
    return made


def legend(found: Explanation) -> Words:
    """What the numbers beside a pin are."""
    per = "volt" if found.unit == "V/V" else "ampere"
    words: Words = (f"Beside a pin stands how far it moves for one {per} of ", Node(found.start))
    if found.loop is None:
        return (*words, ", the device itself taken out.")
    ways = any(duty.way == "return" for duty in found.duties)
    back: Words = (", or, for what comes back, one ampere of ", Formula(Sym(found.loop.chief.name))) if ways else ()
    return (*words, *back, ", the loop open and the device itself taken out.")


def works_as(duty: Duty) -> str:
    """The configuration as it is called.

    It is "mixed" where it is driven at two pins from opposite sides, or where its current acts by both of its ends.
    """
    match duty.configuration:
        case "diode-connected":
            return "diode"
        case "beside" | "load":
            return "no stage"
        case "mixed" if duty.both_driven:
            return "difference stage"
        case "mixed":
            return f"driven at the {duty.driven[0].pin}, acting by both ends"
        case other:
            return other


def _device(part: str, duties: list[Duty], found: Explanation) -> Words:
    first = duties[0]
    name = Node(part)
    if first.configuration == "diode-connected":
        return (name, " is connected as a diode; ", *worth(first, found), ".")
    if first.configuration == "load":
        return (name, " only loads ", Node(first.driven[0].node), f", where its {first.driven[0].pin} stands; ",
                *worth(first, found), ".")  # fmt: skip
    if first.configuration == "beside":
        return (name, " is no stage of this signal: ", *_beside(first, found), ".")
    works: Words = (name, *_works(first, found.unit))
    if len(duties) > 1:
        works = (*works, " for the signal on its way; for what comes back it", *_works(duties[1], found.unit))
    elif first.way == "return":
        works = ("For what comes back, ", *works)
    pair: Words = (", with ", Node(first.partner), " at the same node") if first.partner else ()
    if found.loop is not None and first.source == found.loop.chief.name:
        return (*works, *pair, "; the loop is opened here.")
    return (*works, *pair, "; ", *worth(first, found), ".")


def _works(duty: Duty, unit: str) -> Words:
    drive = driven(duty, unit)
    if duty.configuration == "mixed":
        ends = listed([(f"its {pin.pin} (", factor(pin.amount), ")") for pin in duty.taken], " and ")
        return (" is driven at ", *drive, ", and its current acts by ", *ends)
    follower = duty.configuration.endswith("follower")
    article = "an " if follower and duty.configuration[0] == "e" else "a " if follower else ""
    return (f" works as {article}{duty.configuration}, driven at ", *drive)


def driven(duty: Duty, unit: str) -> Words:
    """The pins that drive it: how far they move with the device taken out. ``unit``: of a motion by the signal."""
    first, second = duty.driven
    unit = "Ω" if duty.way == "return" or unit == "Ω" else "1"
    shown: list[Pin] = [first, second] if duty.both_driven else [first]
    if duty.configuration.endswith("follower"):
        shown = [pin for pin in duty.driven if pin.pin in ("base", "gate")]
    return listed([(f"its {pin.pin} (", factor(pin.amount, unit), ")") for pin in shown], " and ")


def worth(duty: Duty, found: Explanation) -> Words:
    """What its source is worth to the target."""
    target: Words = (Formula(Volt(found.output)),)
    if found.loop is not None and duty.target == found.loop.chief.voltage:
        target = ("what reaches ", Formula(Sym(found.loop.chief.name)))
    change = Reading(100 * abs(duty.passes), "%", 2)
    return ("without ", Formula(Sym(duty.source)), ", ", *target, " changes by ", change)


def _beside(duty: Duty, found: Explanation) -> Words:
    if duty.driven and not duty.driven[0].amount:
        return ("neither of the two pins that could drive it moves, so that it holds its current",)
    limit = Reading(100 * BESIDE, "%", 2)
    return (*worth(duty, found), ", less than ", limit) if abs(duty.passes) < BESIDE else worth(duty, found)
