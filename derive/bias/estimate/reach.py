"""How far an estimate got: what it did not reach, which devices it took as conducting without seeing their current.

Enters: a board. Leaves: words, names. Must not know: rules.
"""

from __future__ import annotations

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol


def missing(board: Board) -> str:
    """The first device or node that was not reached, and what is missing; "" where all were."""
    for part in board.devices("bjt", "diode", *FETS):
        if board.assumed.mode(part.name) != "off" and current_symbol(part) not in board.known:
            nodes = dict.fromkeys(node for node in part.pins.values() if not board.knows(board.net(node)))
            lacks = f"; not reached: the voltage of {' and of '.join(nodes)}" if nodes else ""
            return f"{part.name}: no rule gives its current{lacks}"
    for net in board.nets:
        if not board.knows(net) and board.at(net):
            return f"{net}: no rule gives its voltage"
    return ""


def unseen(board: Board) -> list[str]:
    """Bipolars and diodes at a node of a refuted device that were taken as conducting, which nothing bears out.

    Only their current would have told whether they conduct: it was not found, or at their emitter it is
    the refuted device that would take up whatever comes.
    """
    refuted = [part for part in board.parts.values() if board.assumed.mode(part.name) == "refuted"]
    near = {board.pin(part.name, pin) for part in refuted for pin in part.pins} - board.held
    found = []
    for part in board.devices("bjt", "diode"):
        taken = board.assumed.mode(part.name) in (None, "saturated")
        nets = {pin: board.pin(part.name, pin) for pin in part.pins}
        open_ended = current_symbol(part) not in board.known and near & set(nets.values())
        if taken and (open_ended or nets.get("emitter") in near):
            found.append(part.name)
    return found
