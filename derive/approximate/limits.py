"""Limits taken in the network: deletions and contractions of elements.

Enters: an inquiry, limits in the order of the description. Leaves: the answer under them.
Must not know: stated ratios, LaTeX.

An answer is (N0 + y N1)/(D0 + y D1) in each admittance y; deleting the element leaves N0/D0, contracting it N1/D1.
Deletions and contractions commute, and so do the limits, as long as what they leave together is no 0/0. Where it is
0/0 the limits are taken one after the other: when the next one would leave 0/0, the answer does not depend on that
element any more (N1 = D1 = 0 makes it N0/D0 for every y), so the element goes the other way and the answer stays.
Then the opposite order can give another answer; it is taken too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from derive.answers.exact import NoSolution, answer, diagrams
from derive.answers.records import Exact, Inquiry
from derive.approximate.ground import Ground
from derive.approximate.records import Limit


@dataclass(frozen=True)
class Limited:
    """The answer under limits, None where it is infinite; ``in_order`` where they had to be taken in turn.

    ``reverse``: the answer in the opposite order, only told where ``in_order`` and where it differs.
    """

    exact: Exact | None
    in_order: bool = False
    reverse: Exact | None = None


def under_limits(inquiry: Inquiry, limits: Sequence[Limit]) -> Inquiry:
    """The inquiry in the network with the limits taken, all at once."""
    network = inquiry.network
    for limit in limits:
        network = network.delete(*limit.deleted).contract(*limit.contracted)
    return replace(inquiry, network=network)


def limited(inquiry: Inquiry, limits: Sequence[Limit], ground: Ground) -> Limited:
    """The answer under the limits, in their order where it matters. Raises TooLarge."""
    together = under_limits(inquiry, limits)
    try:
        return Limited(answer(together, ground.numbers, ground.ring))
    except NoSolution:
        if not _undetermined(together):
            return Limited(None)
    changes: list[tuple[str, str]] = []
    for limit in limits:
        changes += [(name, "delete") for name in limit.deleted] + [(name, "contract") for name in limit.contracted]
    first, last = (_in_turn(inquiry, order, ground) for order in (changes, changes[::-1]))
    differs = (first is None) != (last is None) or (
        first is not None and last is not None and first.spectrum != last.spectrum
    )
    return Limited(first, differs, last) if differs else Limited(first)


def _undetermined(inquiry: Inquiry) -> bool:
    above, below = diagrams(inquiry)
    return not above.root and not below.root


def _in_turn(inquiry: Inquiry, changes: Sequence[tuple[str, str]], ground: Ground) -> Exact | None:
    other = {"delete": "contract", "contract": "delete"}
    for name, change in changes:
        if name not in {element.name for element in inquiry.network.elements}:
            continue
        changed = _changed(inquiry, name, change)
        inquiry = _changed(inquiry, name, other[change]) if _undetermined(changed) else changed
    try:
        return answer(inquiry, ground.numbers, ground.ring)
    except NoSolution:
        return None


def _changed(inquiry: Inquiry, name: str, change: str) -> Inquiry:
    return replace(inquiry, network=getattr(inquiry.network, change)(name))
