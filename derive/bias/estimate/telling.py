"""Words for the rules at a node.

Enters: a board, a node, branches. Leaves: words. Must not know: algebra.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, Branch, current_symbol
from derive.bias.estimate.practice import EMITTER_NOTE
from derive.expression.tree import ZERO, Expr, Sym
from derive.words import Formula, Inline, Node, Words


def neglected(board: Board, net: str) -> str:
    """What takes no current at a node and might have."""
    bipolars = [part for part in board.devices("bjt") if board.pin(part.name, "base") == net]
    active = [part.name for part in bipolars if board.assumed.mode(part.name) in (None, "unsure")]
    if any(name not in board.assumed.counted for name in active):
        return ", base current neglected"
    if any(board.pin(part.name, "gate") == net for part in board.devices(*FETS)):
        return ", no gate current"
    return ""


def listed(items: Sequence[Inline]) -> Words:
    """Things in a row: a, b and c."""
    words: list[Inline] = []
    for place, item in enumerate(items):
        if place:
            words.append(" and " if place == len(items) - 1 else ", ")
        words.append(item)
    return tuple(words)


def tell_node(board: Board, net: str, resistors: Sequence[Branch], inflow: Expr) -> Words:
    names = listed([Formula(Sym(one.part)) for one in resistors])
    far = Node(resistors[0].other(net))
    if len(resistors) == 1 and inflow == ZERO:
        return (Node(net), ": no current through ", *names, ", so the voltage of ", far, neglected(board, net))
    if len(resistors) == 1:
        return (Node(net), *_dropped(board, resistors[0], resistors[0].other(net), inflow), neglected(board, net))
    return (Node(net), ": what ", *names, " and the known currents make of it", neglected(board, net))


def tell_far(board: Board, net: str, resistor: Branch, outflow: Expr) -> Words:
    name, far = Formula(Sym(resistor.part)), Node(resistor.other(net))
    if outflow == ZERO:
        return (far, ": no current through ", name, ", so the voltage of ", Node(net), neglected(board, net))
    return (far, *_dropped(board, resistor, net, outflow), neglected(board, net))


def _dropped(board: Board, resistor: Branch, near: str, inflow: Expr) -> Words:
    """A node that stands off another by what a resistor drops."""
    name = Formula(Sym(resistor.part))
    if board.volt(near) == ZERO:
        return (": what ", name, " drops")
    return (": ", Node(near), " less" if board.number(inflow) < 0 else " and", " what ", name, " drops")


def tell_current(board: Board, net: str, sought: Sym, own: Branch, others: Sequence[Branch]) -> tuple[Words, str]:
    """Words for a current that others leave over at a node, and the note that goes with them."""
    part = board.parts[own.part]
    names = listed([_name(other) for other in others])
    whole: Words = ("what ", *names, " carry" if len(others) > 1 else " carries") if others else ("nothing takes it",)
    tail = neglected(board, net)
    if part.kind != "bjt":
        return ("current of ", Node(part.name), ": ", *whole, tail), ""
    at_base = board.pin(part.name, "base") == net and board.pin(part.name, "collector") != net
    at_emitter = board.pin(part.name, "emitter") == net
    if board.assumed.mode(part.name) == "saturated":
        pin = "collector current" if sought == current_symbol(part) else "base current"
        return (f"{pin} of ", Node(part.name), ": ", *whole), ""
    if at_base:
        return ("collector current of ", Node(part.name), ": its gain times its base current, ", *whole), ""
    return ("collector current of ", Node(part.name), ": ", *whole, tail), EMITTER_NOTE if at_emitter else ""


def _name(branch: Branch) -> Inline:
    return Formula(Sym(branch.part)) if branch.resistance is not None else Node(branch.part)
