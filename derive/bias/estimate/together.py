"""What no rule settles alone: the smallest set of equations that closes, solved together.

Enters: a board. Leaves: a finding. Must not know: how equations are printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from typing import Any

import numpy as np

from derive.bias.estimate.algebra import number_of
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol, polarity
from derive.bias.estimate.closing import closed_sets
from derive.bias.estimate.drops import level_equation, widlar_outputs
from derive.bias.estimate.newton import Vector, solve
from derive.bias.estimate.pairs import mirror_equation, mirrors, widlar_equation
from derive.bias.estimate.records import Equation, Finding, Quantity
from derive.bias.estimate.shares import kirchhoff_equation
from derive.bias.estimate.square_law import factor, law_equation, with_laws
from derive.bias.estimate.telling import listed
from derive.expression.tree import Sym, Volt
from derive.words import Formula, Inline, Line, Words

MOST_LINES = 3
"""A set of more equations is told by their count."""
MOST_TOGETHER = 10
"""Unknowns that hang together beyond which nobody would estimate by hand: the estimate stops there."""
MOST_STARTS = 5
MILLI = 1e-3
"""Currents are sought in milliamperes beside volts, which keeps the slopes of one size."""


def close(board: Board) -> Finding | None:
    """The smallest set of equations with as many unknowns, and its numbers."""
    pool = [equation for equation in equations(board) if board.unknowns(equation.left, equation.right)]
    unknowns = [board.unknowns(equation.left, equation.right) for equation in pool]
    for group in closed_sets(unknowns):
        if len(group) > MOST_TOGETHER:
            continue
        chosen = [pool[place] for place in group]
        sought = list(dict.fromkeys(key for place in group for key in unknowns[place]))
        if board.unsolvable(chosen):
            continue
        numbers = _solved(board, chosen, sought)
        if numbers is None:
            board.give_up(chosen)
        else:
            return _told(board, chosen, tuple(zip(sought, numbers, strict=True)))
    return None


def equations(board: Board) -> list[Equation]:
    """All that holds: differences of voltage, sums of currents, laws, mirrors."""
    outputs = widlar_outputs(board)
    levels = [one for one in board.levels if one.kind != "junction" or one.part not in outputs]
    return [
        *(level_equation(board, level) for level in levels),
        *(law_equation(board, part) for part in with_laws(board)),
        *(kirchhoff_equation(board, net) for net in board.nets if net not in board.held and not board.untold(net)),
        *(mirror_equation(board, one, other) for one, other in mirrors(board)),
        *(widlar_equation(board, output, reference) for output, reference in outputs.items()),
    ]


def _solved(board: Board, chosen: Sequence[Equation], sought: Sequence[Quantity]) -> list[float] | None:
    """The numbers of the unknowns, from the first start that leads to a point which makes sense."""
    values = board.numbers()
    forms = [_form(board, quantity) for quantity in sought]

    def numbers(point: Sequence[float]) -> list[float]:
        return [_number(form, float(value)) for form, value in zip(forms, point, strict=True)]

    def residual(point: Vector) -> Vector:
        for quantity, value in zip(sought, numbers(list(point)), strict=True):
            values[quantity if isinstance(quantity, Volt) else quantity.name] = value
        return np.array([_error(equation, values) for equation in chosen])

    for level in _starts(board):
        start = [level if isinstance(quantity, Volt) else 1.0 for quantity in sought]
        point = solve(residual, start)
        if point is not None:
            found = numbers(list(point))
            if _sensible(board, dict(zip(sought, found, strict=True))):
                return found
    return None


def _starts(board: Board) -> list[float]:
    """Where voltages are first sought: at a few of the known ones, the outermost among them."""
    levels = sorted({value for quantity, value in board.known.items() if isinstance(quantity, Volt)})
    count = min(len(levels), MOST_STARTS)
    return [levels[round(place * (len(levels) - 1) / max(1, count - 1))] for place in range(count)]


def _error(equation: Equation, values: dict[Any, float]) -> float:
    """Left against right, a sum of currents in milliamperes."""
    error = number_of(equation.left, values) - number_of(equation.right, values)
    return error / MILLI if equation.of[:1] == ("Kirchhoff at ",) or isinstance(equation.left, Sym) else error


def _form(board: Board, quantity: Quantity) -> tuple[str, float]:
    """How an unknown is sought: a FET's current by its overdrive, a mirror's output by its logarithm."""
    if isinstance(quantity, Volt):
        return "plain", 1.0
    for part in with_laws(board):
        if current_symbol(part) == quantity and board.assumed.mode(part.name) != "ohmic":
            return "square", board.number(factor(part))
    outputs = widlar_outputs(board)
    touched = {f"Ic_{name}" for pair in outputs.items() for name in pair}
    return ("exponential", MILLI) if quantity.name in touched else ("plain", MILLI)


def _number(form: tuple[str, float], value: float) -> float:
    kind, scale = form
    if kind == "square":
        return scale * value * value
    return scale * exp(value - 1) if kind == "exponential" else scale * value


def _sensible(board: Board, found: dict[Quantity, float]) -> bool:
    """Whether ohmic FETs are in their region: the square root of a wrong branch solves the equations too."""
    values = {**board.known, **found}
    for part in board.devices(*FETS):
        pins = [Volt(board.pin(part.name, pin)) for pin in ("gate", "drain", "source")]
        if board.assumed.mode(part.name) != "ohmic" or any(pin not in values for pin in pins):
            continue
        name = f"{'Vp' if part.kind == 'jfet' else 'Vth'}_{part.name}"
        gate, drain, source = (polarity(part) * values[pin] for pin in pins)
        beyond = gate - source - polarity(part) * board.values[name]
        if not -1e-9 <= drain - source <= beyond * (1 + 1e-9):
            return False
    return True


def _told(board: Board, chosen: Sequence[Equation], numbers: tuple[tuple[Quantity, float], ...]) -> Finding:
    names = listed([Formula(quantity) for quantity, _ in numbers])
    curved = any(_form(board, quantity)[0] != "plain" for quantity, _ in numbers)
    curved = curved or any(equation.of[:1] == ("the law of ",) for equation in chosen)
    tail = ", by iteration" if curved else ""
    if len(chosen) > MOST_LINES:
        sources: Words = (f": {len(chosen)} equations solved together{tail}",)
        return Finding((*names, *sources), (), numbers)
    lines = tuple(Line(equation.left, "≈", equation.right) for equation in chosen)
    of: list[Inline] = []
    for place, equation in enumerate(chosen):
        of += [*((" and " if place == len(chosen) - 1 else ", ",) if place else ()), *equation.of]
    return Finding((*names, " from ", *of, f"{', together' if len(chosen) > 1 else ''}{tail}"), lines, numbers)
