"""Rules for bipolars side by side: mirrors, mirrors with one emitter resistor, pairs that share a current.

Enters: a board. Leaves: findings, equations, verdicts. Must not know: other laws.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from derive.bias.estimate.algebra import gather, number_of
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import current_symbol, polarity
from derive.bias.estimate.drops import widlar_outputs
from derive.bias.estimate.practice import BALANCE, DECADE, DECADE_NOTE, PAIR_NOTE
from derive.bias.estimate.records import DIGITS, Equation, Finding, Quantity, Verdict
from derive.bias.estimate.shares import Term, shares, unknowns_at
from derive.bias.estimate.telling import listed
from derive.bias.records import EstimateStep
from derive.circuit.records import Part
from derive.expression.tree import ONE, Call, Expr, Num, Quotient, Sym, product, quotient, total
from derive.words import Line, Node, Reading


def active(board: Board) -> list[Part]:
    return [part for part in board.devices("bjt") if board.assumed.mode(part.name) is None]


def ratio(board: Board, part: Part, of: Part) -> Expr:
    """How much more current a device carries than another at the same junction voltage."""
    own, other = f"Is_{part.name}", f"Is_{of.name}"
    alike = board.values.get(own) == board.values.get(other) or not {own, other} <= set(board.values)
    return ONE if alike else Quotient(Sym(own), Sym(other))


def mirrors(board: Board) -> list[tuple[Part, Part]]:
    """Pairs of one polarity with bases tied and emitters tied, each with the first of its row."""
    first: dict[tuple[str, str, str], Part] = {}
    found = []
    for part in active(board):
        key = (part.variety, board.pin(part.name, "base"), board.pin(part.name, "emitter"))
        if key in first:
            found.append((first[key], part))
        first.setdefault(key, part)
    return found


def mirror(board: Board) -> Finding | None:
    """One current of a mirror from the other."""
    for one, other in mirrors(board):
        for known, sought in ((one, other), (other, one)):
            source, target = current_symbol(known), current_symbol(sought)
            if source in board.known and target not in board.known:
                right = product(ratio(board, sought, known), source)
                rule = ("collector current of ", Node(sought.name), ": mirrors that of ", Node(known.name))
                return Finding(rule, (Line(target, "≈", right),), ((target, board.number(right)),), PAIR_NOTE)
    return None


def mirror_equation(board: Board, one: Part, other: Part) -> Equation:
    right = product(ratio(board, other, one), current_symbol(one))
    return Equation(current_symbol(other), right, ("the mirror ", Node(one.name), ", ", Node(other.name)))


def widlar_equation(board: Board, output: str, reference: str) -> Equation:
    """The drop across the emitter resistor is the difference of two junctions: 60 mV for a tenfold current."""
    part, other = board.parts[output], board.parts[reference]
    emitter = board.pin(output, "emitter")
    resistor = next(one for one in board.at(emitter) if one.part != output)
    assert resistor.resistance is not None
    currents = Quotient(current_symbol(other), current_symbol(part))
    within = product(currents, scale) if (scale := ratio(board, part, other)) != ONE else currents
    return Equation(
        product(current_symbol(part), resistor.resistance),
        product(Num(DECADE), Call("log10", within)),
        ("the junctions of ", Node(reference), " and ", Node(output)),
    )


def degenerate(board: Board) -> Finding | None:
    """A mirror's output with an emitter resistor, its reference current known: by iteration."""
    for output, reference in widlar_outputs(board).items():
        source, target = current_symbol(board.parts[reference]), current_symbol(board.parts[output])
        if board.known.get(source, 0.0) > 0 and target not in board.known:
            equation = widlar_equation(board, output, reference)
            value = _iterated(board, equation, target, board.known[source])
            rule = ("collector current of ", Node(output), ": its resistor drops what its junction lacks, by iteration")
            return Finding(rule, (Line(equation.left, "≈", equation.right),), ((target, value),), DECADE_NOTE)
    return None


def _iterated(board: Board, equation: Equation, target: Sym, reference: float) -> float:
    """The current at which the resistor's drop (rising) meets the junctions' difference (falling), by halving.

    Halving goes by the logarithm, from a millionth of the reference current to a million times it.
    """
    names = board.numbers()
    low, high = reference * 1e-6, reference * 1e6
    for _ in range(200):
        middle = (low * high) ** 0.5
        excess = number_of_equation(equation, {**names, target.name: middle})
        low, high = (low, middle) if excess > 0 else (middle, high)
    return (low * high) ** 0.5


def number_of_equation(equation: Equation, names: dict[Any, float]) -> float:
    return number_of(equation.left, names) - number_of(equation.right, names)


def share(board: Board) -> Finding | Verdict | None:
    """A node into which the emitters of a pair at one base voltage deliver a known current: shared alike."""
    for net in board.nets:
        if net in board.held:
            continue
        terms = shares(board, net)
        unknown = unknowns_at(board, net)
        pair = [part for part in active(board) if current_symbol(part) in unknown and _emits(board, part, net)]
        if len(pair) > 1 and len(pair) == len(unknown):
            return _uneven(board, pair) or _shared(board, terms, pair)
    return None


def _emits(board: Board, part: Part, net: str) -> bool:
    return board.pin(part.name, "emitter") == net and board.knows(board.pin(part.name, "base"))


def _uneven(board: Board, pair: Sequence[Part]) -> Verdict | None:
    """Of a pair whose bases differ, the one that is driven less is off."""

    def drive(part: Part) -> float:
        return polarity(part) * board.level_of(board.pin(part.name, "base"))

    least, most = min(pair, key=drive), max(pair, key=drive)
    gap = drive(most) - drive(least)
    if gap <= BALANCE:
        return None
    rule = (Node(least.name), " is off: ", Node(most.name), " takes the current, its base is driven further")
    return Verdict(least.name, "off", EstimateStep(rule, (), (Reading(gap, "V", DIGITS),)))


def _shared(board: Board, terms: Sequence[Term], pair: Sequence[Part]) -> Finding | None:
    names = {part.name for part in pair}
    own = [term for term in terms if term.branch.part in names]
    if len({term.sign for term in own}) != 1 or len(own) != len(pair):
        return None
    rest = gather([(-own[0].sign * term.sign, term.current) for term in terms if term not in own])
    first = pair[0]
    ratios = [ratio(board, part, first) for part in pair]
    weight = Num(Fraction(len(pair))) if set(ratios) == {ONE} else total(*ratios)
    lines = [Line(current_symbol(first), "≈", quotient(rest, weight))]
    value = board.number(quotient(rest, weight))
    numbers: list[tuple[Quantity, float]] = [(current_symbol(first), value)]
    for part, scale in zip(pair[1:], ratios[1:], strict=True):
        lines.append(Line(current_symbol(part), "≈", product(scale, current_symbol(first))))
        numbers.append((current_symbol(part), value * board.number(scale)))
    rule = (*listed([Node(part.name) for part in pair]), " share their emitters' current, their bases being alike")
    return Finding(rule, tuple(lines), tuple(numbers), PAIR_NOTE)
