"""Rules at one node: a current that all others leave, a node's own voltage, the voltage at a resistor's far end.

Enters: a board. Leaves: findings. Must not know: laws of devices.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.bias.estimate.algebra import gather
from derive.bias.estimate.board import Board
from derive.bias.estimate.records import Finding, Quantity
from derive.bias.estimate.shares import Term, beyond, ohms, shares, unknowns_at
from derive.bias.estimate.telling import tell_current, tell_far, tell_node
from derive.expression.tree import (
    ONE,
    ZERO,
    Expr,
    Quotient,
    Sym,
    Volt,
    product,
    quotient,
    total,
)
from derive.words import Line


def settle_node(board: Board) -> Finding | None:
    """A node all of whose branches are known, but for its own voltage."""
    return next((found for net in board.nets if (found := _settled(board, net)) is not None), None)


def settle_idle(board: Board) -> Finding | None:
    """The same behind an idle resistor; not yet where a junction at a known emitter may hold the base."""
    held = {
        board.pin(part.name, "base")
        for part in board.devices("bjt")
        if board.assumed.mode(part.name) != "off" and board.knows(board.pin(part.name, "emitter"))
    }
    ends = [branch.idle_from for branch in board.branches if branch.idle_from and branch.idle_from not in held]
    return next((found for net in ends if (found := _settled(board, net)) is not None), None)


def _settled(board: Board, net: str) -> Finding | None:
    if net in board.held or board.knows(net):
        return None
    terms = shares(board, net)
    if not terms or unknowns_at(board, net) != [Volt(net)]:
        return None
    return _own_voltage(board, net, terms)


def _own_voltage(board: Board, net: str, terms: Sequence[Term]) -> Finding | None:
    own = [term for term in terms if board.unknowns(term.current)]
    resistors = [term.branch for term in own if term.branch.resistance is not None]
    others = [(term.sign, term.current) for term in terms if term not in own]
    if len(resistors) < len(own):
        return None
    inflow = gather(others)
    if len(resistors) == 1:
        right = beyond(board, resistors[0].other(net), resistors[0], inflow)
    else:
        fed = [(1, Quotient(far, ohms(one))) for one in resistors if (far := board.volt(one.other(net))) != ZERO]
        right = Quotient(gather([*fed, *others]), total(*(Quotient(ONE, ohms(one)) for one in resistors)))
    line = Line(Volt(net), "≈", right)
    return Finding(tell_node(board, net, resistors, inflow), (line,), ((Volt(net), board.number(right)),))


def find_far(board: Board) -> Finding | None:
    """The far end of a resistor whose current all other branches at a known node leave."""
    for net in board.nets:
        if net in board.held or not board.knows(net):
            continue
        terms = shares(board, net)
        unknown = unknowns_at(board, net)
        if len(unknown) == 1 and isinstance(unknown[0], Volt):
            finding = _far_voltage(board, net, terms, unknown[0])
            if finding is not None:
                return finding
    return None


def _far_voltage(board: Board, net: str, terms: Sequence[Term], far: Volt) -> Finding | None:
    through = [term for term in terms if board.unknowns(term.current)]
    if len(through) != 1 or through[0].branch.resistance is None:
        return None
    outflow = gather([(-term.sign, term.current) for term in terms if term is not through[0]])
    right = beyond(board, net, through[0].branch, outflow)
    rule = tell_far(board, net, through[0].branch, outflow)
    return Finding(rule, (Line(far, "≈", right),), ((far, board.number(right)),))


def find_current(board: Board) -> Finding | None:
    """A current that all other branches at a node leave over."""
    for net in board.nets:
        if net in board.held:
            continue
        terms = shares(board, net)
        unknown = unknowns_at(board, net)
        if len(unknown) == 1 and isinstance(unknown[0], Sym) and not board.untold(net):
            finding = _left_over(board, net, terms, unknown[0])
            if finding is not None:
                return finding
    return None


def _left_over(board: Board, net: str, terms: Sequence[Term], unknown: Sym) -> Finding | None:
    """The unknown current: the sum of the others, divided by how often it flows."""
    own = [term for term in terms if board.unknowns(term.current)]
    shape = _weight(own, unknown)
    if shape is None:
        return None
    sign, weight, above = shape
    others = [term for term in terms if term not in own]
    rest = gather([(-sign * term.sign, term.current) for term in others])
    right = quotient(product(above, rest), weight)
    numbers: tuple[tuple[Quantity, float], ...] = ((unknown, board.number(right)),)
    rule, note = tell_current(board, net, unknown, own[0].branch, [term.branch for term in others])
    return Finding(rule, (Line(unknown, "≈", right),), numbers, note)


def _weight(own: Sequence[Term], unknown: Sym) -> tuple[int, Expr, Expr] | None:
    """The sign of an unknown current at a node, what its share is to be divided by, and multiplied with."""
    signs = {term.sign for term in own}
    if len(signs) != 1:
        return None
    parts: list[Expr] = []
    for term in own:
        match term.current:
            case Sym():
                parts.append(ONE)
            case Quotient(above, below) if above == unknown:
                parts.append(Quotient(ONE, below))
            case _:
                return None
    if len(parts) == 1 and isinstance(parts[0], Quotient):
        return signs.pop(), ONE, parts[0].below
    return signs.pop(), total(*parts), ONE
