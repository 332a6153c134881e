"""Plausibility: what a person looks at before he believes an estimate.

Enters: a board. Leaves: verdicts, which say what to take instead. Must not know: rules that find numbers.
"""

from __future__ import annotations

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import current_symbol, polarity
from derive.bias.estimate.practice import BASE_DROP, BASE_NOTE, SATURATION, SATURATION_NOTE
from derive.bias.estimate.records import DIGITS, Mode, Stop, Verdict
from derive.bias.estimate.square_law import control_of, overdrive, with_laws
from derive.bias.estimate.telling import listed
from derive.bias.records import EstimateStep
from derive.circuit.records import Part
from derive.expression.tree import Sym
from derive.words import Formula, Node, Reading, Words

SMALL = 1e-9
"""A voltage or a relative excess below this is rounding."""


def doubt(board: Board) -> Verdict | None:
    """The first device whose numbers contradict how it was taken. Raises Stop where no other way is known."""
    for part in board.parts.values():
        for look in (_undriven, _wrong_sign, _base_counts, _saturated, _ohmic, _too_much):
            found = look(board, part)
            if found is not None:
                return found
    return None


def _alter(board: Board, part: str, mode: Mode, rule: Words, reading: Reading, note: str = "") -> Verdict:
    step = EstimateStep(rule, (), (reading,), (note,) if note else ())
    return Verdict(board.assumed.altered(part, mode), (step,))


def _wrong_sign(board: Board, part: Part) -> Verdict | None:
    """A device that would have to conduct backwards is off."""
    if part.kind not in ("bjt", "diode", "jfet", "mosfet") or board.assumed.mode(part.name) == "off":
        return None
    symbols = [current_symbol(part), Sym(f"Ib_{part.name}")]
    worst = min((board.known[one] for one in symbols if one in board.known), default=1.0)
    junction = part.kind in ("bjt", "diode")
    if worst > 0 or (worst == 0 and not junction):
        return None
    if worst == 0 and part.kind == "bjt" and _between_junctions(board, part):
        why = f"{part.name}: its current hangs on how its junction differs from others, and all are taken alike"
        raise Stop(why, undo=True)
    backwards = "would carry no current" if worst == 0 else "would have to conduct backwards"
    rule = (Node(part.name), f" {backwards}: it is off")
    return _alter(board, part.name, "off", rule, Reading(worst, "A", DIGITS))


def _between_junctions(board: Board, part: Part) -> bool:
    """Whether the emitter sees a resistor without voltage, because junctions that are taken alike face one another."""
    emitter = board.pin(part.name, "emitter")
    resistors = [one for one in board.branches if one.resistance and emitter in (one.first, one.second)]
    driven = [one for one in resistors if not one.idle_from and board.knows(one.first, one.second)]
    return any(board.level_of(one.first) == board.level_of(one.second) for one in driven)


def _saturated(board: Board, part: Part) -> Verdict | None:
    if part.kind != "bjt" or board.assumed.mode(part.name) is not None:
        return None
    collector, emitter = board.pin(part.name, "collector"), board.pin(part.name, "emitter")
    if not board.knows(collector, emitter) or collector == board.pin(part.name, "base"):
        return None
    across = polarity(part) * (board.level_of(collector) - board.level_of(emitter))
    if across >= float(SATURATION) - SMALL:
        return None
    reading = Reading(polarity(part) * across, "V", DIGITS)
    rule = (Node(part.name), " taken as active would have ", reading, " from collector to emitter: it is saturated")
    return _alter(board, part.name, "saturated", rule, reading, SATURATION_NOTE)


def _ohmic(board: Board, part: Part) -> Verdict | None:
    """A FET whose drain comes out nearer to its source than the voltage at which it pinches off."""
    if part not in with_laws(board) or board.assumed.mode(part.name) is not None:
        return None
    drain, source = board.pin(part.name, "drain"), board.pin(part.name, "source")
    control = control_of(board, part)
    if not board.knows(drain, source) or board.unknowns(control):
        return None
    across = polarity(part) * (board.level_of(drain) - board.level_of(source))
    if across >= overdrive(board, part, control) - 1e-6:
        return None
    reading = Reading(polarity(part) * across, "V", DIGITS)
    rule = (Node(part.name), " taken as pinched off would have ", reading, " from drain to source: it is ohmic")
    return _alter(board, part.name, "ohmic", rule, reading)


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
            return _alter(board, other.name, "off", rule, Reading(current, "A", DIGITS))
    raise Stop(f"{part.name}: it would have to carry more than its Idss, and no other device explains it")


def _undriven(board: Board, part: Part) -> Verdict | None:
    """A base that nothing drives."""
    if part.kind != "bjt" or board.assumed.mode(part.name) == "off":
        return None
    base = board.pin(part.name, "base")
    if base in board.held or board.knows(base) or board.at(base):
        return None
    rule: Words = (Node(part.name), ": nothing drives its base, so it is off")
    return Verdict(board.assumed.altered(part.name, "off"), (EstimateStep(rule, (), ()),))


def _base_counts(board: Board, part: Part) -> Verdict | None:
    """A base current that drops too much in front of its base to be neglected."""
    drop = _base_drop(board, part) if part.kind == "bjt" else None
    if drop is None or drop[0] <= BASE_DROP:
        return None
    names = listed([Formula(Sym(name)) for name in drop[1]])
    reading = Reading(drop[0], "V", DIGITS)
    rule = ("base current of ", Node(part.name), " would drop ", reading, " across ", *names, ": it counts")
    step = EstimateStep(rule, (), (reading,), (BASE_NOTE,))
    return Verdict(board.assumed.counting(frozenset({part.name})), (step,))


def _base_drop(board: Board, part: Part) -> tuple[float, list[str]] | None:
    """What a neglected base current would drop across the resistors at its base in parallel, in volts."""
    base, gain = board.pin(part.name, "base"), board.values.get(f"betaF_{part.name}")
    neglected = board.assumed.mode(part.name) is None and part.name not in board.assumed.counted
    current = board.known.get(current_symbol(part))
    resistors = [one for one in board.branches if one.resistance and base in (one.first, one.second)]
    if not neglected or gain is None or current is None or base in board.held or not resistors:
        return None
    if any(board.pin(one.name, "collector") == board.pin(one.name, "base") == base for one in board.devices("bjt")):
        return None
    conductance = sum(1 / board.values[one.part] for one in resistors)
    return current / gain / conductance, [one.part for one in resistors]
