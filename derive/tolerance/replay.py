"""Circuits of a sample solved anew in full: bias point, network, answers.

Enters: a circuit's answers, its causes, places of the causes. Leaves: complex answers. Must not know: statistics.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from derive.answers.anew import Answers
from derive.network.records import Network
from derive.tolerance.causes import Cause, moved


class Replay:
    """``sample``: the places of the circuits that are solved anew, a row a circuit."""

    def __init__(self, answers: Answers, causes: Sequence[Cause], sample: NDArray[np.float64]) -> None:
        self.answers, self.causes = answers, causes
        self.networks = [self.network(place) for place in sample]

    def network(self, place: NDArray[np.float64]) -> Network | None:
        """The network with the causes at these places; None where no operating point is found."""
        return self.answers.network(moved(self.answers.circuit, self.causes, place.tolist()))

    def readings(self, name: str, frequency: float) -> NDArray[np.complex128]:
        """The answer of every circuit of the sample; not a number where it has none."""
        return np.array([self.answers.value(network, name, frequency) for network in self.networks])
