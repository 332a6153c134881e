"""How a circuit works for one gain: what moves which way, what each device does, in what order the signal travels.

Enters: a prepared circuit, a gain that is asked. Leaves: an explanation. Must not know: words, LaTeX.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from derive.answers.inquire import inquire
from derive.answers.records import Inquiry
from derive.approximate.ground import Ground
from derive.circuit.records import Circuit, Gain, Question
from derive.derivation.solution import Solution
from derive.explain.chief import chief_of
from derive.explain.devices import Duty, duties
from derive.explain.field import Field
from derive.explain.loop_opened import Opened, opened
from derive.explain.polarity import Motion, motions
from derive.explain.travel import Travel, travel
from derive.network.records import Network


@dataclass(frozen=True)
class Explanation:
    """For one gain: ``start``, the driven node (or the signal current's part), ``output``; ``unit`` of a motion: V/V,
    or Ω per ampere. ``loop`` and ``travel`` None where no loop counts."""

    question: Question
    start: str
    output: str
    unit: str
    spot: Fraction
    band: tuple[Fraction, Fraction]
    motions: tuple[Motion, ...]
    duties: tuple[Duty, ...]
    loop: Opened | None
    travel: Travel | None


def explain(question: Question, circuit: Circuit, network: Network, ground: Ground) -> Explanation | None:
    """The explanation of a gain; None for other questions, and where the output does not move."""
    if not isinstance(question.ask, Gain):
        return None
    inquiry = _of_signal(inquire(question, network))
    field = Field(inquiry, ground.numbers, ground.spot)
    solution = Solution(inquiry, ground.numbers, ground.ring, ground.spot)
    output = solution.node(network.node(question.ask.to))
    found = motions(field, solution.nodes, ground.band)
    if not any(m.node == output and m.spot for m in found):
        return None
    chief = chief_of(question, inquiry, circuit, ground)
    loop = opened(inquiry, network, ground.numbers, ground.spot, chief) if chief is not None else None
    driven = solution.node(inquiry.port[0])
    way = travel(loop, driven, output, ground.numbers, ground.ring, ground.spot) if loop is not None else None
    start = question.ask.source or question.ask.driven_by
    if inquiry.excitation == "voltage":
        start = driven
    unit = "V/V" if inquiry.excitation == "voltage" else "Ω"
    return Explanation(
        question, start, output, unit, ground.spot, ground.band, found,
        duties(circuit, network, field, output, loop), loop, way,
    )  # fmt: skip


def _of_signal(inquiry: Inquiry) -> Inquiry:
    """The inquiry per unit of the signal itself, whatever node the gain is referred to."""
    return replace(inquiry, below=None)
