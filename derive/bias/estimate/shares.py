"""The currents that meet at a node.

Enters: a board, a node. Leaves: each branch's share, their balance, what a resistor drops. Must not know: rules.
"""

from __future__ import annotations

from dataclasses import dataclass

from derive.bias.estimate.algebra import minus
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import Branch
from derive.bias.estimate.records import Equation, Quantity
from derive.circuit.records import GROUND
from derive.expression.tree import (
    ZERO,
    Expr,
    Quotient,
    Sym,
    negate,
    product,
    total,
)
from derive.words import Node


@dataclass(frozen=True)
class Term:
    """A branch's share at a node: ``sign`` is one where ``current`` flows into it."""

    sign: int
    current: Expr
    branch: Branch


def shares(board: Board, net: str) -> list[Term]:
    """All currents at a node; known ones in the direction in which they are positive, zeros left out."""
    return board.remembered(net, _shares)


def unknowns_at(board: Board, net: str) -> list[Quantity]:
    """What is unknown in the currents at a node."""
    return board.remembered(net, _unknowns)


def _unknowns(board: Board, net: str) -> list[Quantity]:
    return board.unknowns(*(term.current for term in shares(board, net)))


def _shares(board: Board, net: str) -> list[Term]:
    found = []
    for branch in board.at(net):
        sign, current = (1 if branch.second == net else -1), board.flow(branch)
        if not board.unknowns(current):
            value = board.number(current)
            if value == 0:
                continue
            if value < 0:
                sign, current = -sign, _reversed(current)
        elif branch.resistance is not None and _towards(board, branch):
            sign, current = -sign, _reversed(current)
        found.append(Term(sign, current, branch))
    return found


def _reversed(current: Expr) -> Expr:
    """The same current counted in the other direction."""
    if isinstance(current, Quotient):
        return Quotient(minus(current.above), current.below)
    return negate(current)


def _towards(board: Board, branch: Branch) -> bool:
    """Whether a resistor is better counted from its second node: that is a positive rail, or its first is none."""
    rails = {GROUND, *board.rails}
    from_above = branch.second in rails and board.level_of(branch.second) > 0
    return from_above or (branch.first in rails and board.level_of(branch.first) <= 0)


def kirchhoff_equation(board: Board, net: str) -> Equation:
    """What flows in equals what flows out."""
    return board.remembered(net, _balance)


def _balance(board: Board, net: str) -> Equation:
    terms = shares(board, net)
    into = total(*(term.current for term in terms if term.sign > 0))
    out = total(*(term.current for term in terms if term.sign < 0))
    return Equation(into, out, ("Kirchhoff at ", Node(net)))


def beyond(board: Board, near: str, branch: Branch, inflow: Expr) -> Expr:
    """The voltage at the other end of a resistor through which a current flows back to its near end."""
    if inflow == ZERO:
        return board.volt(near)
    if board.number(inflow) < 0:
        return total(board.volt(near), negate(product(ohms(branch), minus(inflow))))
    return total(board.volt(near), product(ohms(branch), inflow))


def ohms(branch: Branch) -> Sym:
    """The symbol of a resistor."""
    assert branch.resistance is not None
    return branch.resistance
