"""The estimate as it is handed on: steps worth printing, voltages, currents, what is missing.

Enters: the settled round. Leaves: an ``Estimate``. Must not know: how it was settled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol, polarity
from derive.bias.estimate.reach import missing
from derive.bias.estimate.records import Finding
from derive.bias.estimate.settling import Settled
from derive.bias.records import Estimate, EstimateStep
from derive.circuit.records import Part
from derive.expression.tree import Expr, Volt, walk


def pack(settled: Settled, whys: Sequence[str]) -> Estimate:
    """``whys``: what stopped the estimate; where nothing did, what was not reached is told."""
    board = settled.round.board
    learnt = [step for step in settled.learnt.values() if step is not None]
    noted: set[str] = set()
    told: list[EstimateStep] = []
    for step in learnt:
        told.append(replace(step, note=tuple(one for one in step.note if one not in noted)))
        noted |= {word for word in step.note if isinstance(word, str)}
    steps = [one.step(noted) for one in _needed(settled.round.findings)]
    nodes = {node: board.known[Volt(net)] for net in board.nets for node in board.members[net] if board.knows(net)}
    return Estimate((*told, *steps), nodes, _currents(board), "; ".join(whys) or missing(board))


def _needed(findings: Sequence[Finding]) -> list[Finding]:
    """Without the steps for sources that nothing else refers to."""
    kept: list[Finding] = []
    used: set[Expr] = set()
    for finding in reversed(findings):
        source = len(finding.lines) == 1 and finding.lines[0].sign == "="
        if not source or finding.lines[0].left in used:
            kept.append(finding)
        used |= _atoms(finding)
    return kept[::-1]


def _atoms(finding: Finding) -> set[Expr]:
    """What the lines of a step refer to."""
    sides = [side for line in finding.lines for side in (line.left, line.right) if side is not None]
    return {atom for side in sides for atom in walk(side)}


def _currents(board: Board) -> dict[str, float]:
    """Currents by part: into collector or drain, from the first node of a resistor or diode, into that of a signal."""
    found = {}
    for part in board.parts.values():
        symbol = current_symbol(part)
        if part.kind in ("bjt", "diode", *FETS) and board.assumed.mode(part.name) == "off":
            found[part.name] = 0.0
        elif part.kind == "resistor":
            first, second = board.pin(part.name, "first"), board.pin(part.name, "second")
            if board.knows(first, second) and not _between_unsure(board, part):
                found[part.name] = (board.level_of(first) - board.level_of(second)) / board.values[part.name]
        elif symbol in board.known:
            found[part.name] = polarity(part) * board.known[symbol]
        elif part.kind == "signal" and part.variety == "current":
            found[part.name] = board.values.get(part.name, 0.0)
    return found


def _between_unsure(board: Board, resistor: Part) -> bool:
    """Whether a resistor's voltage is the small difference of junctions that were taken alike."""
    unsure = [part.name for part in board.devices("bjt", "diode") if board.assumed.mode(part.name) == "unsure"]
    pins = {board.pin(name, pin) for name in unsure for pin in board.parts[name].pins}
    ends = {board.pin(resistor.name, pin) for pin in ("first", "second")}
    return bool(pins & ends - board.held) and len({board.level_of(net) for net in ends}) == 1
