"""What the signal does, as marks for the drawing: arrows at the nodes, the loop, the factors of bootstraps.

Enters: an explanation, the second road of its gain, the drawing. Leaves: marks. Must not know: LaTeX, places.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log10

from derive.circuit.records import Circuit, Part
from derive.drawing.records import Arrow, Badge, Drawing, Loop, Marks
from derive.explain.explain import Explanation
from derive.explain.theory import Theory
from derive.explain.travel import Hop, Travel
from derive.explain.words import CURRENT_STEP, STEP
from derive.network.records import Network
from derive.numbers import plain

DEPTH = 60.0
"""Decibels below the largest motion at which an arrow has shrunk to its least."""
LEAST = 0.12
TOLD = 3
"""Bootstraps that are marked."""


def signal_marks(
    explanation: Explanation, theory: Theory | None, drawing: Drawing, circuit: Circuit, network: Network
) -> Marks:
    """Arrows of all nodes that move, the loop opened at the chief source, and the factors of the bootstraps found."""
    return Marks(
        arrows=_arrows(explanation, drawing, network),
        loops=_loops(explanation, circuit, network),
        badges=_badges(theory, drawing),
    )


def _arrows(explanation: Explanation, drawing: Drawing, network: Network) -> tuple[Arrow, ...]:
    rails = {terminal.node for terminal in drawing.terminals}
    nodes = dict.fromkeys(node for placed in drawing.parts for _, node in placed.part.pins if node not in rails)
    motions = {m.node: m for m in explanation.motions}
    largest = max((abs(m.spot) for m in explanation.motions), default=0.0)
    step = STEP if explanation.unit == "V/V" else CURRENT_STEP
    found = []
    for node in nodes:
        motion = motions.get(network.node(node))
        if motion is None or motion.sense == "still" or not motion.spot:
            continue
        size = max(1 + 20 * log10(abs(motion.spot) / largest) / DEPTH, LEAST)
        found.append(Arrow(node, motion.rises, size, plain(complex(abs(motion.spot) * step), "V", 3)))
    return tuple(found)


def _loops(explanation: Explanation, circuit: Circuit, network: Network) -> tuple[Loop, ...]:
    """The way round: the chief, from its current to the output, and back to its control."""
    way, loop = explanation.travel, explanation.loop
    if way is None or loop is None or not _closes(way, explanation):
        return ()
    chief = circuit.parts.get(loop.chief.owner)
    start = _pin_at(chief, way.begins, network)
    last = way.back[-1].to if way.back else explanation.output
    control = _pin_at(chief, last, network)
    if chief is None or start is None or control is None:
        return ()
    through = [(chief.name, start)]
    for hop in (*way.out, *way.back):
        pins = _pins_of(hop, circuit, network)
        if pins is None:
            return ()
        through += pins
    through.append((chief.name, control))
    return (Loop(loop.chief.owner, tuple(through), abs(1 + loop.ratio) > 1, 0),)


def _closes(way: Travel, explanation: Explanation) -> bool:
    """Whether the hops lead from the chief's current to the output and on to its control."""
    reaches = way.begins == explanation.output or (bool(way.out) and way.out[-1].to == explanation.output)
    back = bool(way.back) or (explanation.loop is not None and explanation.output in explanation.loop.chief.voltage)
    return reaches and back


def _pins_of(hop: Hop, circuit: Circuit, network: Network) -> list[tuple[str, str]] | None:
    part = circuit.parts.get(hop.owner)
    entry, leave = _pin_at(part, hop.start, network), _pin_at(part, hop.to, network)
    return None if part is None or entry is None or leave is None else [(part.name, entry), (part.name, leave)]


def _pin_at(part: Part | None, node: str, network: Network) -> str | None:
    """The pin of a part that joins a node."""
    if part is None:
        return None
    return next((pin for pin, at in part.pins.items() if network.node(at) == node), None)


def _badges(theory: Theory | None, drawing: Drawing) -> tuple[Badge, ...]:
    """The factor by which a bootstrap magnifies a part that is drawn."""
    if theory is None:
        return ()
    drawn = {placed.part.name for placed in drawing.parts}
    found: Sequence[Badge] = [
        Badge(one.symbol, f"× {plain(complex(abs(one.factor)), '1', 3)}")
        for one in theory.bootstraps.found
        if one.symbol in drawn
    ]
    return tuple(found[:TOLD])
