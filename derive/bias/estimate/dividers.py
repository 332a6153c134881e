"""The rule for strings of resistors between two known nodes, with nothing drawn from them.

Enters: a board. Leaves: a finding. Must not know: devices.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.bias.estimate.algebra import difference
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import Branch
from derive.bias.estimate.records import Finding
from derive.bias.estimate.telling import listed, neglected
from derive.expression.tree import Expr, Quotient, Sym, Volt, product, total
from derive.words import Formula, Line, Node


def divide(board: Board) -> Finding | None:
    """A node on an unloaded string of resistors between known nodes."""
    for net in board.nets:
        if board.knows(net) or net in board.held or (pair := _pair(board, net)) is None:
            continue
        ways = [_walk(board, net, branch) for branch in pair]
        if all(ways):
            return _divided(board, net, ways)
    return None


def _pair(board: Board, net: str) -> Sequence[Branch] | None:
    """The two resistors of a node, if there is nothing else."""
    found = board.at(net)
    both = len(found) == 2 and all(branch.resistance is not None for branch in found)
    return found if both else None


def _walk(board: Board, net: str, branch: Branch) -> list[Branch]:
    """The resistors from a node to the next known one, the way that one of them leads; [] where none is met."""
    way, here = [branch], branch.other(net)
    while not board.knows(here):
        pair = _pair(board, here)
        if pair is None or here == net or here in board.held:
            return []
        way.append(next(one for one in pair if one is not way[-1]))
        here = way[-1].other(here)
    return way


def _end(net: str, way: Sequence[Branch]) -> str:
    for branch in way:
        net = branch.other(net)
    return net


def _divided(board: Board, net: str, ways: list[list[Branch]]) -> Finding:
    low, high = sorted(ways, key=lambda way: board.level_of(_end(net, way)))
    if _end(net, high) == "gnd":
        low, high = high, low
    bottom, top = board.volt(_end(net, low)), board.volt(_end(net, high))
    span: Expr = difference(top, bottom)
    right = total(bottom, Quotient(product(span, _sum(low)), _sum([*reversed(high), *low])))
    names = listed([Formula(Sym(one.part)) for one in (*reversed(high), *low)])
    rule = (Node(net), ": divider of ", *names, neglected(board, net))
    return Finding(rule, (Line(Volt(net), "≈", right),), ((Volt(net), board.number(right)),))


def _sum(way: Sequence[Branch]) -> Expr:
    return total(*(branch.resistance for branch in way if branch.resistance is not None))
