"""The laws of field-effect transistors as an estimate takes them, lambda neglected.

Enters: a board, a FET. Leaves: trees and numbers. Must not know: rules.

Id = Idss (1 - Vgs/Vp)² for a junction FET, Id = k/2 (Vgs - Vth)² for a MOSFET.
"""

from __future__ import annotations

from fractions import Fraction

from derive.bias.estimate.algebra import difference
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol, polarity
from derive.bias.estimate.records import Equation
from derive.circuit.records import Part
from derive.expression.tree import (
    ONE,
    ZERO,
    Call,
    Expr,
    Num,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    negate,
    product,
    total,
)
from derive.words import Node

TWO = Num(Fraction(2))


def with_laws(board: Board) -> list[Part]:
    """The FETs that conduct and whose law has numbers."""
    found = [part for part in board.devices(*FETS) if board.assumed.mode(part.name) in (None, "ohmic")]
    return [part for part in found if law_known(board, part)]


def law_known(board: Board, part: Part) -> bool:
    needed = {"jfet": ("Idss", "Vp"), "mosfet": ("k", "Vth")}
    return all(f"{one}_{part.name}" in board.values for one in needed[part.kind])


def threshold(part: Part) -> Sym:
    return Sym(f"{'Vp' if part.kind == 'jfet' else 'Vth'}_{part.name}")


def factor(part: Part) -> Expr:
    """K in Id = K (Vgs - threshold)²."""
    if part.kind == "jfet":
        return Quotient(Sym(f"Idss_{part.name}"), Power(threshold(part), 2))
    return Quotient(Sym(f"k_{part.name}"), TWO)


def scaled(part: Part, times: int) -> Expr:
    """An even multiple of K, its number in front."""
    if part.kind == "jfet":
        return Quotient(product(Num(Fraction(times)), Sym(f"Idss_{part.name}")), Power(threshold(part), 2))
    return product(Num(Fraction(times // 2)), Sym(f"k_{part.name}"))


def law(part: Part, control: Expr) -> Expr:
    """The drain current at a voltage from gate to source."""
    if control == ZERO and part.kind == "jfet":
        return Sym(f"Idss_{part.name}")
    if part.kind == "jfet":
        return Product((Sym(f"Idss_{part.name}"), Power(total(ONE, negate(Quotient(control, threshold(part)))), 2)))
    return Product((Quotient(Sym(f"k_{part.name}"), TWO), Power(difference(control, threshold(part)), 2)))


def inverse(part: Part, current: Expr) -> Expr:
    """The voltage from gate to source at a drain current."""
    if part.kind == "jfet":
        root: Expr = Call("sqrt", Quotient(current, Sym(f"Idss_{part.name}")))
        return Product((threshold(part), Sum((ONE, negate(root)))))
    root = Call("sqrt", Quotient(product(TWO, current), Sym(f"k_{part.name}")))
    return Sum((threshold(part), root if polarity(part) > 0 else negate(root)))


def control_of(board: Board, part: Part) -> Expr:
    """Gate against source."""
    gate, source = board.pin(part.name, "gate"), board.pin(part.name, "source")
    return ZERO if gate == source else difference(board.volt(gate), board.volt(source))


def overdrive(board: Board, part: Part, control: Expr) -> float:
    """How far a FET is beyond its threshold, in volts; negative where it is off."""
    return polarity(part) * (board.number(control) - board.number(threshold(part)))


def law_equation(board: Board, part: Part) -> Equation:
    """The law as an equation; in the ohmic region with the voltage from drain to source."""
    control, of = control_of(board, part), ("the law of ", Node(part.name))
    current = current_symbol(part)
    if board.assumed.mode(part.name) != "ohmic":
        return Equation(control, inverse(part, current), of)
    drain, source = board.pin(part.name, "drain"), board.pin(part.name, "source")
    across = difference(board.volt(drain), board.volt(source))
    beyond = difference(control, threshold(part))
    bracket = Sum((product(TWO, beyond, across), negate(Power(across, 2))))
    return Equation(current, Product((factor(part), bracket)), of)
