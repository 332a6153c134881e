"""Whether the op amps of a circuit have negative feedback, by where their outputs lead.

Enters: a board. Leaves: words for those that have none. Must not know: numbers.
"""

from __future__ import annotations

from derive.bias.estimate.board import Board
from derive.circuit.graphs import Union
from derive.circuit.records import GROUND, Part

SILENT = ("capacitor", "supply")


def missing_feedback(board: Board) -> dict[str, str]:
    """The op amps whose output leads nowhere but to their non-inverting input, or to neither input, each with why.

    Where it leads to both, and where a device lies between that may invert, the feedback is taken as negative.
    """
    found = {}
    for part in board.devices("opamp"):
        whole, plain = _joined(board, part, plain=False), _joined(board, part, plain=True)
        out, plus, minus = (board.pin(part.name, pin) for pin in ("out", "plus", "minus"))
        if whole.find(out) == whole.find(minus):
            continue
        if whole.find(out) != whole.find(plus):
            found[part.name] = f"{part.name}: it has no feedback at d.c., so nothing says where its output stands"
        elif plain.find(out) == plain.find(plus):
            found[part.name] = f"{part.name}: its feedback is positive, so nothing says where its output stands"
    return found


def _joined(board: Board, without: Part, *, plain: bool) -> Union:
    """Nodes that parts join (``plain``: resistors only); nothing passes through a node that a source holds."""
    union = Union()
    fixed = {GROUND} | {net for one in board.levels if one.kind == "source" for net in (one.upper, one.lower)}
    for part in board.parts.values():
        through = part.kind == "resistor" if plain else part.kind not in SILENT
        if through and part is not without and (part.kind, part.variety) != ("signal", "voltage"):
            nets = [net for pin in part.pins if (net := board.pin(part.name, pin)) not in fixed]
            for net in nets[1:]:
                union.join(nets[0], net)
    return union
