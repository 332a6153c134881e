"""Plausibility: what a person looks at before he believes an estimate.

Enters: a board. Leaves: verdicts, which say what to take instead. Must not know: rules that find numbers.
"""

from __future__ import annotations

from collections.abc import Iterator

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol
from derive.bias.estimate.practice import BASE_DROP, BASE_NOTE
from derive.bias.estimate.records import DIGITS, UNTOLD, Stop, Verdict
from derive.bias.estimate.regions import (
    SMALL,
    conducts,
    leaves_saturation,
    ohmic,
    pinches_off,
    saturated,
    told,
    wrong_sign,
)
from derive.bias.estimate.square_law import with_laws
from derive.bias.estimate.telling import listed
from derive.bias.records import EstimateStep
from derive.circuit.records import Part
from derive.expression.tree import Sym
from derive.words import Formula, Node, Reading, Words


def doubts(board: Board) -> Iterator[Verdict]:
    """The devices whose numbers contradict how they were taken. Raises Stop where no other way is known."""
    looks = (_undriven, wrong_sign, _base_counts, saturated, ohmic, conducts, leaves_saturation, pinches_off, _too_much)
    for part in board.devices("bjt", "diode", *FETS):
        if board.assumed.mode(part.name) not in UNTOLD:
            for look in looks:
                if (found := look(board, part)) is not None:
                    yield found


def _too_much(board: Board, part: Part) -> Verdict | None:
    """A junction FET carries at most Idss: the bipolar whose junction asks for more is off."""
    current = board.known.get(current_symbol(part), 0.0)
    if part.kind != "jfet" or part not in with_laws(board):
        return None
    if current <= board.values[f"Idss_{part.name}"] * (1 + SMALL):
        return None
    pins = {board.pin(part.name, "drain"), board.pin(part.name, "source")}
    for other in board.devices("bjt"):
        if board.assumed.mode(other.name) is None and board.pin(other.name, "base") in pins:
            limit = Formula(Sym(f"Idss_{part.name}"))
            rule = (Node(part.name), " would need over ", limit, " to turn ", Node(other.name), " on: it is off")
            return told(other, "off", rule, Reading(current, "A", DIGITS))
    why = f"{part.name}: it would have to carry more than its Idss, and no other device explains it"
    raise Stop(why, [part.name])


def _undriven(board: Board, part: Part) -> Verdict | None:
    """A base that nothing drives."""
    if part.kind != "bjt" or board.assumed.mode(part.name) == "off":
        return None
    base = board.pin(part.name, "base")
    if base in board.held or board.knows(base) or board.at(base):
        return None
    rule: Words = (Node(part.name), ": nothing drives its base, so it is off")
    return Verdict(part.name, "off", EstimateStep(rule, (), ()))


def _base_counts(board: Board, part: Part) -> Verdict | None:
    """A base current that drops too much in front of its base to be neglected."""
    drop = _base_drop(board, part) if part.kind == "bjt" else None
    if drop is None or drop[0] <= BASE_DROP:
        return None
    low, high = board.span()
    names, reading = listed([Formula(Sym(name)) for name in drop[1]]), Reading(drop[0], "V", DIGITS)
    absurd = drop[0] > 2 * (high - low) > 0
    amount: Words = ("more than the supplies give",) if absurd else (reading,)
    rule = ("base current of ", Node(part.name), " would drop ", *amount, " across ", *names, ": it counts")
    step = EstimateStep(rule, (), () if absurd else (reading,), (BASE_NOTE,))
    return Verdict(part.name, board.assumed.mode(part.name), step, counts=True)


def _base_drop(board: Board, part: Part) -> tuple[float, list[str]] | None:
    """What a neglected base current would drop across the resistors at its base in parallel, in volts."""
    base, gain = board.pin(part.name, "base"), board.values.get(f"betaF_{part.name}")
    neglected = board.assumed.mode(part.name) is None and part.name not in board.assumed.counted
    current = board.known.get(current_symbol(part))
    if not neglected or gain is None or current is None or base in board.held:
        return None
    resistors = [one for one in board.touching(base) if one.resistance]
    if not resistors or any(_feeds_itself(board, one, base) for one in board.devices("bjt")):
        return None
    conductance = sum(1 / board.values[one.part] for one in resistors)
    return current / gain / conductance, [one.part for one in resistors]


def _feeds_itself(board: Board, part: Part, base: str) -> bool:
    return board.pin(part.name, "collector") == board.pin(part.name, "base") == base
