"""Which controlled source the feedback formulas are written around.

Enters: a question's exact answer, the network. Leaves: an element. Must not know: words, LaTeX.

The author's choice (``loop = "gm_Q2"`` on the question), else by numbers at the spot. With w a source's admittance and
D = D0 + w D1, its membership in D is p = w D1/D, so that T = w D1/D0 = p/(1 - p): one inverse gives all of them.
For a gain it is the source with the largest |T| among those whose loop runs through the output: holding the output at
signal ground takes at least THROUGH of T. For an impedance it is the source that moves it most, by
|ln|Z/Z0|| = |ln|(1 + T_sc)/(1 + T_oc)||.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite, log

import numpy as np

from derive.answers.records import Inquiry
from derive.approximate.reduce import Ground
from derive.explain.splits import at_side
from derive.network.records import Element, Network
from derive.structure.shares import admittances, both_sides, shares

THROUGH = 0.5
"""How much of T must go when the output is held at signal ground, for its loop to run through the output."""
MATTERS = 1e-3
"""A return ratio below this at the spot closes no loop that matters."""
MOVES = 0.01
"""A source that moves an impedance by less than this is none to write it around."""
LARGEST = 1e12


def return_ratios(network: Network, ground: Ground) -> dict[str, complex]:
    """T of every controlled source of a network without drives at the spot (rad/s from Hz), by one inverse."""
    return _of_side(Inquiry("", network, "current", *_some_port(network)), ground, 1)


def _some_port(network: Network) -> tuple[tuple[str, str], tuple[str, str]]:
    node = network.nodes[0]
    return (node, network.ground), (node, network.ground)


def _of_side(inquiry: Inquiry, ground: Ground, side: int) -> dict[str, complex]:
    """w D1/D0 (side 1) or w N1/N0 (side 0) of every controlled source at the spot; {} where the side vanishes."""
    frequency = float(ground.spot) or float(ground.band[0])
    bordered = both_sides(inquiry)[side]
    found = shares(bordered, admittances(bordered.elements, ground.numbers, (frequency,)))
    if found is None:
        return {}
    ratios = {}
    for element, member in zip(bordered.elements, found.membership[0], strict=True):
        if element.controlled:
            rest = 1 - complex(member)
            ratios[element.name] = complex(member) / rest if abs(rest) > 1 / LARGEST else complex(LARGEST)
    return ratios


def loops_through_output(inquiry: Inquiry, ground: Ground) -> dict[str, float]:
    """|T| at the spot of every source whose loop runs through the output of a gain."""
    ratios = _of_side(inquiry, ground, 1)
    held = _of_side(_with_output_held(inquiry), ground, 1)
    return {
        name: abs(value)
        for name, value in ratios.items()
        if abs(value) >= MATTERS and abs(value - held.get(name, 0.0)) >= THROUGH * abs(value)
    }


def _with_output_held(inquiry: Inquiry) -> Inquiry:
    short = Element("held output", "", "unity", inquiry.above, inquiry.above)
    network = replace(inquiry.network, forced=(*inquiry.network.forced, short))
    return Inquiry("", replace(network, forced=at_side(replace(inquiry, network=network), "zeroed").forced),
                   "current", *_some_port(network))  # fmt: skip


def loop_of_impedance(inquiry: Inquiry, ground: Ground) -> Element | None:
    """The source whose loop moves an impedance most; None where none does."""
    opened, shorted = _of_side(inquiry, ground, 1), _of_side(inquiry, ground, 0)
    sizes: dict[str, float] = {}
    for name in opened.keys() & shorted.keys():
        above, below = abs(1 + shorted[name]), abs(1 + opened[name])
        if above and below and isfinite(above) and isfinite(below):
            sizes[name] = abs(log(above / below))
    return largest({name: size for name, size in sizes.items() if size >= MOVES}, inquiry.network)


def largest(sizes: Mapping[str, float], network: Network) -> Element | None:
    """The first in the order of the network among the largest."""
    best = max(sizes.values(), default=None)
    if best is None:
        return None
    return next(e for e in network.elements if e.name in sizes and np.isclose(sizes[e.name], best, rtol=1e-9))
