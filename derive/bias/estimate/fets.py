"""Rules for field-effect transistors that are pinched off: the square law, forwards, backwards, with a source resistor.

Enters: a board. Leaves: findings, verdicts, equations. Must not know: bipolars.
"""

from __future__ import annotations

from fractions import Fraction

from derive.bias.estimate.algebra import difference
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import Branch, current_symbol, polarity
from derive.bias.estimate.records import DIGITS, Finding, Verdict
from derive.bias.estimate.square_law import control_of, inverse, law, overdrive, scaled, threshold, with_laws
from derive.bias.records import EstimateStep
from derive.circuit.records import Part
from derive.expression.tree import (
    MINUS_ONE,
    ONE,
    ZERO,
    Call,
    Num,
    Quotient,
    Sum,
    Sym,
    Volt,
    negate,
    product,
    total,
)
from derive.words import Formula, Line, Node, Reading


def off(board: Board, part: Part, excess: float) -> Verdict:
    low, high = board.span()
    if -excess > 2 * (high - low) > 0:
        beyond = (Node(part.name), " is off: its gate would lie beyond the supplies, short of its threshold")
        return Verdict(part.name, "off", EstimateStep(beyond, (), ()))
    rule = (Node(part.name), " is off: its gate is ", Reading(-excess, "V", DIGITS), " short of its threshold")
    return Verdict(part.name, "off", EstimateStep(rule, (), (Reading(-excess, "V", DIGITS),)))


def apply_law(board: Board) -> Finding | Verdict | None:
    """Gate against source known: the drain current."""
    for part in with_laws(board):
        current, control = current_symbol(part), control_of(board, part)
        ohmic = board.assumed.mode(part.name) == "ohmic"
        if ohmic or current in board.known or board.unknowns(control):
            continue
        excess = overdrive(board, part, control)
        if excess <= 0:
            return off(board, part, excess)
        right = law(part, control)
        rule = ("current of ", Node(part.name), ": square law at its known gate voltage")
        return Finding(rule, (Line(current, "≈", right),), ((current, board.number(right)),))
    return None


def invert_law(board: Board) -> Finding | None:
    """Drain current known, and one of gate and source: the other."""
    for part in with_laws(board):
        gate, source, current = board.pin(part.name, "gate"), board.pin(part.name, "source"), current_symbol(part)
        half = board.knows(gate) != board.knows(source)
        known = board.known.get(current, -1.0)
        if board.assumed.mode(part.name) == "ohmic" or not half or known < 0:
            continue
        control = inverse(part, current)
        if board.knows(gate):
            target, right = Volt(source), difference(board.volt(gate), control)
        else:
            target, right = Volt(gate), total(board.volt(source), control)
        pin = "source" if board.knows(gate) else "gate"
        rule = (f"{pin} of ", Node(part.name), ": the gate voltage that its current needs, by the square law")
        return Finding(rule, (Line(target, "≈", right),), ((target, board.number(right)),))
    return None


def bias_by_source(board: Board) -> Finding | Verdict | None:
    """Gate known and a resistor from the source to a known node: square law and Ohm's law together."""
    for part in with_laws(board):
        if board.assumed.mode(part.name) == "ohmic" or current_symbol(part) in board.known:
            continue
        resistor = _source_resistor(board, part)
        if resistor is not None:
            return _quadratic(board, part, resistor)
    return None


def _source_resistor(board: Board, part: Part) -> Branch | None:
    """The only branch at the source but the FET, if it is a resistor to a known node, or to the gate."""
    gate, source = board.pin(part.name, "gate"), board.pin(part.name, "source")
    if source in board.held:
        return None
    others = [one for one in board.at(source) if one.part != part.name]
    if len(others) != 1 or others[0].resistance is None:
        return None
    far = others[0].other(source)
    return others[0] if far == gate or board.knows(far, gate) else None


def _quadratic(board: Board, part: Part, resistor: Branch) -> Finding | Verdict:
    """Vgs from the quadratic, then the current.

    With u = |Vgs - threshold| and u0 its value without a drop: K R u² + u - u0 = 0.
    """
    gate, source, sign = board.pin(part.name, "gate"), board.pin(part.name, "source"), polarity(part)
    far = resistor.other(source)
    start = ZERO if far == gate else difference(board.volt(gate), board.volt(far))
    excess = overdrive(board, part, start)
    if excess <= 0:
        return off(board, part, excess)
    assert resistor.resistance is not None
    above = difference(start, threshold(part)) if sign > 0 else difference(threshold(part), start)
    root = Call("sqrt", Sum((ONE, product(scaled(part, 4), resistor.resistance, above))))
    beyond = Quotient(Sum((root, MINUS_ONE)), product(scaled(part, 2), resistor.resistance))
    control, current = Sym(f"Vgs_{part.name}"), current_symbol(part)
    right = Sum((threshold(part), beyond if sign > 0 else negate(beyond)))
    voltage = board.number(right)
    amount = board.number(law(part, Num(Fraction(voltage))))
    lines = (Line(control, "≈", right), Line(current, "≈", law(part, control)))
    rule = ("current of ", Node(part.name), ": square law and drop across ", Formula(resistor.resistance), " together")
    return Finding(rule, lines, ((current, amount),), "", ((control, voltage),))
