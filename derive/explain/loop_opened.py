"""The loop opened at one controlled source: the signal on its way to it, and what comes back from it.

Enters: a network, the inquiry of a gain, its chief source. Leaves: the two excitations with it dead.
Must not know: words, LaTeX.

With the chief source (``derive.explain.chief``) dead nothing goes round it, so that signals have an order.
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
from derive.explain.thresholds import LOOP
from derive.network.records import Element, Network


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
    inquiry: Inquiry, network: Network, numbers: Mapping[str, Fraction], spot: Fraction, chief: Element
) -> Opened | None:
    """The loop of a gain opened at its chief source; None where its return ratio is too small or not finite."""
    value = _ratio(chief, network, numbers, spot)
    if value is None or abs(value) < LOOP:
        return None
    quiet = zeroed(network, network.drives)
    port = (chief.current[1], chief.current[0])
    back = Inquiry("back", quiet, "current", port, chief.voltage)
    return Opened(chief, value, Field(inquiry, numbers, spot), Field(back, numbers, spot))


def _ratio(element: Element, network: Network, numbers: Mapping[str, Fraction], spot: Fraction) -> complex | None:
    try:
        value = spectrum(return_ratio(element.name, network, element.name), numbers).at_frequency(spot)
    except NoSolution:
        return None
    return value if cmath.isfinite(value) else None
