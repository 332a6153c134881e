"""The loop opened at one controlled source: the signal on its way to it, and what comes back from it.

Enters: a network, the inquiry of a gain. Leaves: the chief source, and the two excitations with it dead.
Must not know: words, LaTeX.

The chief source of a gain is the one with the largest return ratio at the spot among those without which the output
changes: its loop is the one that rules. With it dead nothing goes round it, so that signals have an order.
"""

from __future__ import annotations

import cmath
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import return_ratio, zeroed
from derive.answers.records import Inquiry
from derive.explain.field import Field
from derive.explain.thresholds import BESIDE, LOOP
from derive.network.records import Drive, Element, Network


@dataclass(frozen=True)
class Opened:
    """``chief``: the source at which the loop is opened, ``ratio`` its return ratio at the spot.

    ``forward``: the gain's own excitation; ``back``: one ampere in the chief's place (or a volt, for an op amp), in
    the direction of its own current. Both have to be asked with the chief dead.
    """

    chief: Element
    ratio: complex
    forward: Field
    back: Field

    @property
    def dead(self) -> tuple[str, ...]:
        return (self.chief.name,)


def opened(
    inquiry: Inquiry, network: Network, numbers: Mapping[str, Fraction], spot: Fraction, at: str | None = None
) -> Opened | None:
    """The loop of a gain opened at its chief source, or at the source ``at``; None where no loop counts."""
    field = Field(inquiry, numbers, spot)
    sources = [e for e in network.elements if e.controlled and not e.is_loop and at in (None, e.name)]
    ratios = {e.name: _ratio(e, network, numbers, spot) for e in sources}
    best: tuple[Element, complex] | None = None
    for element in sources:
        value = ratios[element.name]
        if value is None or (at is None and abs(value) < LOOP):
            continue
        if at is None and not _counts(field, element.name):
            continue
        if best is None or abs(value) > abs(best[1]):
            best = (element, value)
    if best is None:
        return None
    element, value = best
    quiet = zeroed(network, network.drives)
    port = (element.current[1], element.current[0])
    back = Inquiry("back", quiet, "current", port, element.voltage)
    return Opened(element, value, field, Field(back, numbers, spot))


def _ratio(element: Element, network: Network, numbers: Mapping[str, Fraction], spot: Fraction) -> complex | None:
    try:
        value = spectrum(return_ratio(element.name, network, element.name), numbers).at_frequency(spot)
    except NoSolution:
        return None
    return value if cmath.isfinite(value) else None


def _counts(field: Field, name: str) -> bool:
    """Whether the gain's answer changes without this source."""
    edge = field.inquiry.above
    whole, gone = field.at_spot(edge), field.at_spot(edge, (name,))
    if whole is None or not whole:
        return False
    return gone is None or not cmath.isfinite(gone) or abs(1 - gone / whole) >= BESIDE * BESIDE


def excitation_of(network: Network, drive: Drive) -> Inquiry:
    """A signal source alone, the others zeroed: what it does to its own port."""
    others = tuple(d for d in network.drives if d is not drive)
    port = (drive.plus, drive.minus)
    return Inquiry(drive.name, zeroed(network, others), drive.kind, port, port)
