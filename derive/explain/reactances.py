"""Which capacitances shape the lower end of a gain and which the upper, by what each changes alone.

Enters: a gain's inquiry, its exact answer at the spot. Leaves: two groups of elements. Must not know: words, LaTeX.

Each capacitance (and the time constant of each op amp) is opened and shorted, the others in place: where a short
changes the gain at the spot less than an opening does, it is there to pass the signal (lower end), else it is in
its way (upper end). An answer that is not finite counts as changed without limit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from derive.answers.exact import NoSolution, spectrum
from derive.answers.records import Exact, Inquiry
from derive.approximate.reduce import Ground
from derive.explain.splits import contracted, deleted
from derive.network.records import Element

STORING = ("capacitance", "delay")


@dataclass(frozen=True)
class Reactances:
    """``lower``: taken as shorts at mid-band; ``upper``: taken as open there. ``idle``: change nothing either way."""

    lower: tuple[Element, ...]
    upper: tuple[Element, ...]
    idle: tuple[Element, ...]


def sorted_out(exact: Exact, ground: Ground) -> Reactances:
    """All capacitances of the network in their groups."""
    groups: dict[str, list[Element]] = {"lower": [], "upper": [], "idle": []}
    for element in exact.inquiry.network.elements:
        if element.law in STORING:
            groups[_group(exact, element, ground)].append(element)
    return Reactances(*(tuple(groups[key]) for key in ("lower", "upper", "idle")))


def _group(exact: Exact, element: Element, ground: Ground) -> str:
    opened = _change(exact, deleted(exact.inquiry, element), ground)
    shorted = inf if element.law == "delay" else _change(exact, contracted(exact.inquiry, element), ground)
    if opened == shorted == 0:
        return "idle"
    return "lower" if shorted < opened else "upper"


def _change(exact: Exact, other: Inquiry, ground: Ground) -> float:
    wanted = exact.spectrum.at_frequency(ground.spot)
    try:
        found = spectrum(other, ground.numbers).at_frequency(ground.spot)
    except NoSolution:
        return inf
    return abs(found / wanted - 1) if wanted else inf


def at_mid_band(inquiry: Inquiry, groups: Reactances) -> Inquiry:
    """The gain with the lower group as shorts and the upper group open."""
    network = inquiry.network.delete(*(e.name for e in (*groups.upper, *groups.idle)))
    return replace(inquiry, network=network.contract(*(e.name for e in groups.lower)))
