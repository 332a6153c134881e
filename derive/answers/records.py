"""What is asked of a network, in the one form that every kind of question comes down to, and its answer.

Enters: nothing. Leaves: records. Must not know: TOML, LaTeX, how a question is worded.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from derive.network.records import Edge, Network

if TYPE_CHECKING:
    from derive.algebra.ratio import Ratio
    from derive.algebra.spectrum import Spectrum


@dataclass(frozen=True)
class Inquiry:
    """A ratio in a network that is excited at one port; its signal sources are already zeroed.

    The port is excited by a voltage (first node against second) or by a current that enters its first node
    and leaves at its second. The answer is V(above)/V(below), each an edge (first node against second); with
    ``below`` None it is V(above) for one volt or one ampere of excitation. A ``factor`` (the name of an
    element that ``network`` no longer holds) multiplies the answer by that element's admittance. The ideal
    op amps and the shorted voltage sources stand in ``network.forced``.
    """

    name: str
    network: Network
    excitation: Literal["voltage", "current"]
    port: Edge
    above: Edge
    below: Edge | None = None
    factor: str | None = None
    unit: str = "1"


@dataclass(frozen=True)
class Exact:
    """An exact answer: symbolic where its terms can be written out, and always as a spectrum.

    ``terms``: how many terms the numerator and the denominator have, from the diagram. ``ratio`` is None
    where they are too many to write out.
    """

    inquiry: Inquiry
    terms: tuple[int, int]
    ratio: Ratio | None
    spectrum: Spectrum
