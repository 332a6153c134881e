"""The drops that an estimate takes for granted, each told with its number before it is first used.

Enters: the steps of an estimate, its board. Leaves: the steps with those of the drops among them.
Must not know: rules.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import Level
from derive.bias.estimate.practice import HABIT
from derive.bias.estimate.records import DIGITS
from derive.bias.records import EstimateStep
from derive.circuit.parts import DIODE_WORDS
from derive.expression.tree import Sym, walk
from derive.words import Formula, Node, Reading, Words


def introduced(steps: Sequence[EstimateStep], board: Board) -> list[EstimateStep]:
    """Equations solved together, which are only counted, may use any drop: all are told before them."""
    waiting = {level.rise.name: level for level in board.levels if isinstance(level.rise, Sym) and level.drop}
    found: list[EstimateStep] = []
    for step in steps:
        counted = not step.lines and " equations solved together" in str(step.rule)
        for name in list(waiting):
            if counted or name in _symbols(step):
                found.append(_told(board, waiting.pop(name)))
        found.append(step)
    return found


def _symbols(step: EstimateStep) -> set[str]:
    sides = [side for line in step.lines for side in (line.left, line.right) if side is not None]
    return {atom.name for side in sides for atom in walk(side) if isinstance(atom, Sym)}


def _told(board: Board, level: Level) -> EstimateStep:
    part, drop = board.parts[level.part], level.drop
    assert drop is not None
    number: Words = (Formula(level.rise), " ≈ ", Reading(float(drop), "V", DIGITS))
    rule: Words
    if level.kind == "saturated":
        rule, note = ("collector to emitter in saturation",), HABIT
    elif "vbe" in part.values or "vf" in part.values:
        rule, note = ("drop of ", Node(part.name)), "as stated, though at another current"
    elif part.kind == "bjt":
        rule, note = ("base to emitter of a conducting transistor",), HABIT
    else:
        rule, note = (f"drop of the {DIODE_WORDS[part.variety]} ", Node(part.name)), HABIT
    return EstimateStep(rule, (), number, (note,))
