"""Elements that do not matter, taken out of the network one by one: open, or joined, each with its cost.

Enters: an inquiry, numbers, frequencies. Leaves: the sequence of ever smaller networks.
Must not know: polynomials, words, LaTeX.

Where an element with the memberships p_N and p_D is deleted, the answer is multiplied by (1 - p_N)/(1 - p_D); where it
is contracted, by p_N/p_D. So one inverse tells what every one of them costs; the cheapest goes, and the next inverse
is taken of what is left. Costs are added without their signs, so that errors which happen to cancel buy nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

import numpy as np

from derive.answers.exact import connected
from derive.answers.records import Inquiry
from derive.structure.shares import Values, admittances, both_sides, shares

SAFE = 1e-7
"""A part of a determinant below this is not told from nothing in double precision."""
ALIKE = 1e-9
"""Costs that differ by less are ties, decided by the order of the elements."""


@dataclass(frozen=True)
class Removal:
    """One element taken out. ``cost``: the largest relative change of the answer at the sampled frequencies."""

    element: str
    how: Literal["open", "joined"]
    cost: float


@dataclass(frozen=True)
class Thinned:
    """The inquiry after some removals; ``spent`` is the sum of their costs."""

    inquiry: Inquiry
    removals: tuple[Removal, ...]
    spent: float


def thin(
    inquiry: Inquiry, numbers: Mapping[str, Fraction], frequencies: Sequence[float], most: float
) -> Iterator[Thinned]:
    """The inquiry itself, then after each removal, while the costs add up to no more than ``most``."""
    state = Thinned(replace(inquiry, network=connected(inquiry)), (), 0.0)
    yield state
    while state.inquiry.network.elements:
        removal = _cheapest(state.inquiry, numbers, frequencies)
        if removal is None or state.spent + removal.cost > most:
            return
        state = Thinned(removed(state.inquiry, removal), (*state.removals, removal), state.spent + removal.cost)
        yield state


def removed(inquiry: Inquiry, removal: Removal) -> Inquiry:
    """The inquiry without the element."""
    network = inquiry.network
    change = network.delete if removal.how == "open" else network.contract
    return replace(inquiry, network=change(removal.element))


def _cheapest(inquiry: Inquiry, numbers: Mapping[str, Fraction], frequencies: Sequence[float]) -> Removal | None:
    elements = inquiry.network.elements
    weights = admittances(elements, numbers, frequencies)
    above, below = (shares(side, weights) for side in both_sides(inquiry))
    if above is None or below is None:
        return None
    opened = _change(1 - above.membership, 1 - below.membership)
    joined = _change(above.membership, below.membership)
    costs = np.stack([opened, joined], axis=1).ravel()
    costs = np.where(costs < ALIKE, 0.0, costs)
    place = int(np.argmin(costs))
    if not np.isfinite(costs[place]):
        return None
    return Removal(elements[place // 2].name, "joined" if place % 2 else "open", float(costs[place]))


def _change(above: Values, below: Values) -> np.ndarray:
    """The largest relative change that factors of numerator and denominator bring; infinite where one vanishes."""
    safe = (np.min(np.abs(above), axis=0) > SAFE) & (np.min(np.abs(below), axis=0) > SAFE)
    with np.errstate(divide="ignore", invalid="ignore"):
        change = np.max(np.abs(above / below - 1), axis=0)
    return np.where(safe, change, np.inf)
