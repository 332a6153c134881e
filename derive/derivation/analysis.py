"""Everything that was derived for one circuit, before it becomes a page.

Enters: nothing. Leaves: the record that the document and the archive record are made from.
Must not know: LaTeX, files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from derive.approximate.records import Resolved
from derive.approximate.reduce import Ground
from derive.bench.records import Benches
from derive.bias.records import Bias, Unsolved
from derive.circuit.records import Circuit, Question
from derive.derivation.records import Derivation
from derive.forms.laurent import Style
from derive.hand.verdicts import Judged
from derive.network.records import Network
from derive.solving.records import Solved
from derive.tolerance.records import Met, Tolerances
from derive.words import Words

if TYPE_CHECKING:
    from derive.distortion.records import DistortionStudy
    from derive.noise.records import NoiseStudy


@dataclass(frozen=True)
class Loop:
    """The return ratio of one controlled source at the spot, and its sense by |1 + T|."""

    of: str
    return_ratio: complex
    sense: str


@dataclass(frozen=True)
class Infinite:
    """A question whose answer is infinite whatever the numbers: the port draws no current at all."""

    question: Question
    asked: Words


@dataclass(frozen=True)
class Analysis:
    """``response``: V per V (or per A) of the first gain's excitation at every node at the spot, or None
    without a gain. ``numeric_difference``: the largest relative difference between the exact answers and a
    plain nodal solution at the spot. ``bias``: the bias point, why there is none, or None where the circuit has
    neither devices nor supplies. ``hands``: the results by hand that the description holds, judged.
    ``tolerances``: what they do to the answers, ``criteria``: what is wanted beside what is, ``solved``: the parts that
    were solved for, ``benches``: what was measured beside what is predicted; all four only after
    ``derive.derivation.practice.practise``.
    """

    circuit: Circuit
    network: Network
    ground: Ground
    style: Style
    statements: tuple[Resolved, ...]
    derivations: tuple[Derivation, ...]
    infinite: tuple[Infinite, ...]
    response: Mapping[str, complex] | None
    loops: tuple[Loop, ...]
    numeric_difference: float
    bias: Bias | Unsolved | None = None
    hands: tuple[Judged, ...] = ()
    studies: tuple[NoiseStudy | DistortionStudy, ...] = ()
    """Of noise and of distortion, in the order of the description; they are made from what this stage prepares."""
    tolerances: Tolerances | None = None
    criteria: tuple[Met, ...] = ()
    solved: tuple[Solved, ...] = ()
    benches: Benches | None = None

    def worst_alone(self, number: int) -> float | None:
        """What a statement changes at worst in the band when taken alone, over all answers; None if unused."""
        changes = [
            effect.alone.worst
            for derivation in self.derivations
            if derivation.approximate
            for effect in derivation.approximate.effects
            if effect.statement == number and (effect.alone.worst > 0 or effect.used)
        ]
        return max(changes, default=None)
