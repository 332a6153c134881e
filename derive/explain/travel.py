"""The order in which a signal travels, with the loop opened at its chief source.

From the source to the chief's control, from the chief's current to the output, and from there back to its control.

Enters: a loop opened, the node of the output. Leaves: hops. Must not know: words, LaTeX.

A closed loop has no order. With the chief dead the way is the strongest path over the couplings of the network
(``derive.derivation.chain.signal_path``), and each hop the ratio of two node voltages at the spot.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import pi

from derive.algebra.ring import Ring
from derive.answers.records import Inquiry
from derive.derivation.chain import signal_path
from derive.derivation.solution import Solution
from derive.explain.field import Field
from derive.explain.loop_opened import Opened
from derive.network.records import Element


@dataclass(frozen=True)
class Hop:
    """From one node to the next: by which element it is coupled most strongly, and V(to)/V(start) at the spot."""

    start: str
    to: str
    by: str
    owner: str
    ratio: complex


@dataclass(frozen=True)
class Travel:
    """``forward``: from the driven node to the chief's control; ``out``: from the chief's current to the output;
    ``back``: from the output to the chief's control. () where no path is found, or where nothing has to be passed.
    ``begins``: the node into which the chief's current flows first, ``lifts``: what one ampere of it moves there (Ω).
    """

    chief: str
    forward: tuple[Hop, ...]
    begins: str
    lifts: complex
    out: tuple[Hop, ...]
    back: tuple[Hop, ...]
    at_once: str | None
    """The node, if any, that the chief's own current passes and that controls it."""
    between_inputs: bool = False
    """Whether the chief is an op amp, which a voltage between its inputs drives in place of a current."""


def travel(
    loop: Opened, start: str, output: str, numbers: Mapping[str, Fraction], ring: Ring, spot: Fraction
) -> Travel:
    """The ways of the signal with the chief dead."""
    ground = loop.forward.ground
    ahead = _without(loop.forward.inquiry, loop, numbers, ring, spot)
    behind = _without(loop.back.inquiry, loop, numbers, ring, spot)
    forward = _way(ahead, loop.forward, start, loop.chief.voltage, loop)
    begins = max(
        (n for n in loop.chief.current if n != ground), key=lambda n: _carries(loop, n, output), default=ground
    )
    follower = behind.follows.get(begins)
    begins = follower if follower is not None else begins
    lifts = loop.back.node(begins, loop.dead) or 0j
    out = _way(behind, loop.back, begins, (output, ground), loop)
    shared = [n for n in loop.chief.voltage if n in loop.chief.current and n != ground]
    back = _way(behind, loop.back, output, loop.chief.voltage, loop, (*shared, output))
    return Travel(
        loop.chief.name, forward, begins, lifts, out, back, shared[0] if shared else None, follower is not None
    )


def _without(inquiry: Inquiry, loop: Opened, numbers: Mapping[str, Fraction], ring: Ring, spot: Fraction) -> Solution:
    return Solution(replace(inquiry, network=inquiry.network.delete(*loop.dead)), numbers, ring, spot)


def _still(solution: Solution, field: Field, loop: Opened) -> set[str]:
    """The nodes that do not move with the chief dead; from the field, whose diagrams are there already."""
    spectra = {node: field.answer((node, field.ground), loop.dead) for node in solution.nodes}
    return {node for node, found in spectra.items() if found is None or not any(found.numerator)}


def _carries(loop: Opened, node: str, output: str) -> float:
    """How much of the output's motion the chief's current causes at this end."""
    moved = loop.back.transfer_at_spot((output, loop.back.ground), (node, loop.back.ground), loop.dead)
    return abs(moved) if moved is not None else 0.0


def _way(
    solution: Solution, field: Field, start: str, stop: tuple[str, str], loop: Opened, passed: tuple[str, ...] = ()
) -> tuple[Hop, ...]:
    """The strongest path from a node to the one of two nodes that moves further, ``passed`` being reached already."""
    ends = [solution.node(n) for n in stop if solution.node(n) not in (field.ground, *passed)]
    ends.sort(key=lambda n: -abs(field.node(n, loop.dead) or 0))
    start = solution.node(start)
    for end in ends:
        if end == start:
            return ()
        path = signal_path(solution, start, end, _still(solution, field, loop))
        if path is not None:
            return tuple(_hop(solution, field, a, b, loop) for a, b in pairwise(path))
    return ()


def _hop(solution: Solution, field: Field, start: str, to: str, loop: Opened) -> Hop:
    before, after = field.node(start, loop.dead), field.node(to, loop.dead)
    ratio = after / before if before and after is not None else 0j
    element = max(
        (e for e in solution.inquiry.network.elements if _joins(solution, e, start, to)),
        key=lambda e: _weight(solution, e),
        default=None,
    )
    return Hop(start, to, element.name if element else "", element.owner if element else "", ratio)


def _joins(solution: Solution, element: Element, start: str, to: str) -> bool:
    return start in {solution.node(n) for n in element.voltage} and to in {solution.node(n) for n in element.current}


def _weight(solution: Solution, element: Element) -> float:
    number, omega = float(solution.numbers[element.name]) or 1e-30, 2 * pi * max(float(solution.spot), 1e-3)
    match element.law:
        case "resistance":
            return 1 / number
        case "capacitance":
            return omega * number
        case "inductance":
            return 1 / (omega * number)
        case _:
            return number * 1e3 if element.controlled else number
