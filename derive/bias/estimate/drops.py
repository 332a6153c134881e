"""Rules for fixed differences of voltage: sources, conducting junctions, saturated devices, inputs of op amps.

Enters: a board. Leaves: findings, and verdicts where a difference does not fit. Must not know: currents.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from derive.bias.estimate.algebra import difference
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import Level
from derive.bias.estimate.practice import BALANCE, DIODE_NOTES, JUNCTION_NOTE, SATURATION_NOTE
from derive.bias.estimate.records import DIGITS, UNTOLD, Equation, Finding, Stop, Verdict
from derive.bias.records import EstimateStep
from derive.expression.tree import Sym, Volt, total
from derive.words import Formula, Line, Node, Reading, Words


def follow_level(board: Board) -> Finding | None:
    """A node that stands a fixed voltage above or below a known one."""
    outputs = widlar_outputs(board)
    for level in board.levels:
        if level.kind == "junction" and level.part in outputs:
            continue
        upper, lower = board.knows(level.upper), board.knows(level.lower)
        if upper != lower:
            return _other_end(board, level, lower)
    return None


def _other_end(board: Board, level: Level, upwards: bool) -> Finding:
    node = level.upper if upwards else level.lower
    below, above = board.volt(level.lower), board.volt(level.upper)
    right = total(below, level.rise) if upwards else difference(above, level.rise)
    line = Line(Volt(node), "=" if level.kind == "source" else "≈", right)
    words = _words(board, level, node)
    return Finding(words, (line,), ((Volt(node), board.number(right)),), _note(board, level))


def _words(board: Board, level: Level, node: str) -> Words:
    """What sets a node, in words."""
    part = board.parts[level.part]
    if level.kind == "source":
        what: Formula | str = Formula(Sym(level.part)) if part.kind == "supply" else f"the signal {level.part} at rest"
        return (Node(node), ": held by ", what)
    if level.kind == "inputs":
        return ("inputs of ", Node(level.part), ": made equal by its feedback, no input current")
    if level.kind == "saturated":
        return ("collector of ", Node(level.part), ": saturated, close to its emitter")
    diode = part.kind == "diode"
    first, second = ("anode", "cathode") if diode else ("base", "emitter")
    pin, other = (first, second) if board.pin(level.part, first) == node else (second, first)
    where = "above" if node == level.upper else "below"
    drop = "forward drop" if diode else "conducting junction"
    return (f"{pin} of ", Node(level.part), f": one {drop} {where} its {other}")


def _note(board: Board, level: Level) -> str:
    if level.kind == "saturated":
        return SATURATION_NOTE
    if level.kind != "junction":
        return ""
    part = board.parts[level.part]
    if "vbe" in part.values or "vf" in part.values:
        return "the drop that is stated, though at another current"
    return DIODE_NOTES[part.variety] if part.kind == "diode" else JUNCTION_NOTE


def level_equation(board: Board, level: Level) -> Equation:
    what = {"junction": "the junction of ", "saturated": "the saturation of ", "inputs": "the inputs of "}
    right = total(board.volt(level.lower), level.rise)
    return Equation(board.volt(level.upper), right, (what.get(level.kind, "the source "), Node(level.part)))


def widlar_outputs(board: Board) -> dict[str, str]:
    """Bipolars whose base is that of another and whose emitter reaches the other's through one resistor only.

    Their two junctions do not drop alike; each with the device whose base it shares.
    """
    return board.remembered("", _widlar_outputs)


def _widlar_outputs(board: Board, _: str) -> dict[str, str]:
    found = {}
    bipolars = [part for part in board.devices("bjt") if board.assumed.mode(part.name) is None]
    bases = Counter((part.variety, board.pin(part.name, "base")) for part in bipolars)
    for part in bipolars:
        if bases[part.variety, board.pin(part.name, "base")] < 2:
            continue
        emitter = board.pin(part.name, "emitter")
        resistors = [one for one in board.at(emitter) if one.part != part.name]
        if len(resistors) != 1 or resistors[0].resistance is None or emitter in board.held:
            continue
        for other in bipolars:
            same = other.variety == part.variety and board.pin(other.name, "base") == board.pin(part.name, "base")
            if same and other is not part and board.pin(other.name, "emitter") == resistors[0].other(emitter):
                found[part.name] = other.name
    return found


def check_levels(board: Board) -> Iterator[Verdict]:
    """Junctions whose voltage, set from elsewhere, is not that of a conducting one. Raises Stop."""
    outputs = widlar_outputs(board)
    for level in board.levels:
        if not board.knows(level.upper, level.lower) or level.part in outputs:
            continue
        found = board.level_of(level.upper) - board.level_of(level.lower)
        excess = found - board.number(level.rise)
        if level.kind == "junction" and abs(excess) > BALANCE and board.assumed.mode(level.part) in UNTOLD:
            raise Stop(f"{level.part}: the voltages at its junction contradict it", [level.part])
        if level.kind == "junction" and excess < -BALANCE:
            yield _off(board, level, found)
        if level.kind == "junction" and excess > BALANCE:
            yield _driven(board, level)
        if level.kind == "inputs" and abs(excess) > 1e-9 * (1 + abs(board.level_of(level.upper))):
            raise Stop(f"{level.part}: its feedback does not make its inputs equal", [level.part])


def _driven(board: Board, level: Level) -> Verdict:
    """What gives way to a junction that is driven too hard: another at one of its nodes, or its base current counts."""
    for other in board.levels:
        shares = other.upper == level.upper or other.lower == level.lower
        gives = other.kind == "junction" and other.part != level.part and board.assumed.mode(other.part) not in UNTOLD
        if shares and gives and board.knows(other.upper, other.lower):
            left = _left_over(board, level, other)
            if left < board.number(other.rise) - BALANCE:
                return _off(board, other, left)
    base = board.net(board.parts[level.part].pins.get("base", ""))
    can = f"betaF_{level.part}" in board.values and level.part not in board.assumed.counted
    if can and any(branch.idle_from == base for branch in board.branches):
        return Verdict(level.part, board.assumed.mode(level.part), counts=True)
    raise Stop(f"{level.part}: voltages drive its junction hard, and nothing limits its current", [level.part])


def _left_over(board: Board, level: Level, other: Level) -> float:
    """What the giving junction has left when the other takes the node with it."""
    rise = board.number(level.rise)
    if other.upper == level.upper:
        return board.level_of(level.lower) + rise - board.level_of(other.lower)
    return board.level_of(other.upper) - (board.level_of(level.upper) - rise)


def _off(board: Board, level: Level, voltage: float) -> Verdict:
    reading = Reading(voltage, "V", DIGITS)
    drop = Reading(board.number(level.rise), "V", DIGITS)
    rule = (Node(level.part), " is off: its junction has only ", reading, " of the ", drop, " at which it conducts")
    return Verdict(level.part, "off", EstimateStep(rule, (), (reading,)))
