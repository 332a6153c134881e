"""Whether a device is in the region it is in if its numbers are those found: sign, saturation, ohmic region, cut-off.

Enters: a board, a device. Leaves: a verdict, or None; ``Stop`` where no other way is known.
Must not know: rules that find numbers.
"""

from __future__ import annotations

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol, drop_of, polarity
from derive.bias.estimate.practice import ENOUGH, SATURATION, SATURATION_NOTE
from derive.bias.estimate.records import DIGITS, Mode, Stop, Verdict
from derive.bias.estimate.square_law import control_of, law_known, overdrive, with_laws
from derive.bias.records import EstimateStep
from derive.circuit.records import Part
from derive.expression.tree import Sym
from derive.words import Node, Reading, Words

SMALL = 1e-9
"""A voltage or a relative excess below this is rounding."""
NOISE = 1e-10
"""A current below this fraction of the currents around is rounding: it counts as none."""


def wrong_sign(board: Board, part: Part) -> Verdict | None:
    """A device that would have to conduct backwards is off, and so is a junction without current."""
    if board.assumed.mode(part.name) == "off":
        return None
    symbols = [current_symbol(part), Sym(f"Ib_{part.name}")]
    found = [board.known[one] for one in symbols if one in board.known]
    junction = part.kind in ("bjt", "diode")
    if not found or (worst := min(found)) > 0:
        return None
    if -worst > NOISE * _largest_current(board, part):
        rule: Words = (Node(part.name), " would have to conduct backwards: it is off")
        return told(part, "off", rule, Reading(worst, "A", DIGITS))
    if not junction:
        return None
    if _between_junctions(board, part):
        why = f"{part.name}: its current hangs on how its junction differs from others, and all are taken alike"
        raise Stop(why, [part.name], "unsure")
    return Verdict(part.name, "off", EstimateStep((Node(part.name), " would carry no current: it is off"), (), ()))


def told(part: Part, mode: Mode, rule: Words, reading: Reading, note: str = "") -> Verdict:
    return Verdict(part.name, mode, EstimateStep(rule, (), (reading,), (note,) if note else ()))


def _nets(board: Board, part: Part) -> list[str]:
    """The nodes of a device whose sums of currents tell something."""
    return [net for net in dict.fromkeys(board.pin(part.name, pin) for pin in part.pins) if net not in board.held]


def _largest_current(board: Board, part: Part) -> float:
    """The largest current that the numbers at a device's nodes stand for, in amperes.

    For a resistor it is what either voltage alone would drive: rounding of their difference goes with that.
    """
    sizes = [0.0]
    for branch in [branch for net in _nets(board, part) for branch in board.touching(net)]:
        if branch.resistance is not None:
            ends = [abs(board.level_of(net)) for net in (branch.first, branch.second) if board.knows(net)]
            sizes += [level / abs(board.values[branch.part]) for level in ends]
        elif branch.part != part.name and not board.unknowns(flow := board.flow(branch)):
            sizes.append(abs(board.number(flow)))
    return max(sizes)


def _between_junctions(board: Board, part: Part) -> bool:
    """Whether a device sees a resistor without voltage, because junctions that are taken alike face one another."""
    pins = [board.pin(part.name, pin) for pin in ("emitter", "base", "anode", "cathode") if pin in part.pins]
    touching = [one for net in pins if net not in board.held for one in board.touching(net)]
    driven = [one for one in touching if one.resistance and not one.idle_from and board.knows(one.first, one.second)]
    levels = [(board.level_of(one.first), board.level_of(one.second)) for one in driven]
    return any(abs(first - second) <= SMALL * (1 + abs(first)) for first, second in levels)


def saturated(board: Board, part: Part) -> Verdict | None:
    """A bipolar whose collector comes out nearer to its emitter than saturation lets it."""
    if part.kind != "bjt" or board.assumed.mode(part.name) is not None:
        return None
    collector, emitter = board.pin(part.name, "collector"), board.pin(part.name, "emitter")
    if not board.knows(collector, emitter) or collector == board.pin(part.name, "base"):
        return None
    across = board.level_of(collector) - board.level_of(emitter)
    if polarity(part) * across >= float(SATURATION) - SMALL:
        return None
    if pin := _beyond(board, part, "collector", "emitter"):
        beyond = (Node(part.name), f" is saturated: as active its {pin} would lie beyond the supplies")
        return Verdict(part.name, "saturated", EstimateStep(beyond, (), (), (SATURATION_NOTE,)))
    reading = Reading(across, "V", DIGITS)
    rule = (Node(part.name), " taken as active would have ", reading, " from collector to emitter: it is saturated")
    return told(part, "saturated", rule, reading, SATURATION_NOTE)


def ohmic(board: Board, part: Part) -> Verdict | None:
    """A FET whose drain comes out nearer to its source than the voltage at which it pinches off."""
    if part not in with_laws(board) or board.assumed.mode(part.name) is not None:
        return None
    drain, source = board.pin(part.name, "drain"), board.pin(part.name, "source")
    control = control_of(board, part)
    if not board.knows(drain, source) or board.unknowns(control):
        return None
    across = board.level_of(drain) - board.level_of(source)
    if polarity(part) * across >= overdrive(board, part, control) - 1e-6:
        return None
    if pin := _beyond(board, part, "drain", "source"):
        beyond = (Node(part.name), f" is ohmic: pinched off its {pin} would lie beyond the supplies")
        return Verdict(part.name, "ohmic", EstimateStep(beyond, (), ()))
    reading = Reading(across, "V", DIGITS)
    rule = (Node(part.name), " taken as pinched off would have ", reading, " from drain to source: it is ohmic")
    return told(part, "ohmic", rule, reading)


def _beyond(board: Board, part: Part, *pins: str) -> str:
    """The first of a device's pins that comes out beyond the sources by more than they span, which no device stands."""
    low, high = board.span()
    reach = high - low
    for pin in pins:
        level = board.level_of(board.pin(part.name, pin))
        if reach > 0 and not low - reach <= level <= high + reach:
            return pin
    return ""


def conducts(board: Board, part: Part) -> Verdict | None:
    """A device that was taken as off and comes out driven."""
    if board.assumed.mode(part.name) != "off":
        return None
    if part.kind in FETS:
        control = control_of(board, part)
        driven = law_known(board, part) and not board.unknowns(control) and overdrive(board, part, control) > 1e-6
        return Verdict(part.name, None) if driven else None
    pins = ("base", "emitter") if part.kind == "bjt" else ("anode", "cathode")
    upper, lower = (board.pin(part.name, pin) for pin in pins)
    drop = float(drop_of(part))
    if not board.knows(upper, lower):
        return None
    across = polarity(part) * (board.level_of(upper) - board.level_of(lower))
    return Verdict(part.name, None) if across > drop + ENOUGH else None


def pinches_off(board: Board, part: Part) -> Verdict | None:
    """A FET that was taken as ohmic and whose drain comes out farther from its source."""
    if board.assumed.mode(part.name) != "ohmic" or part not in with_laws(board):
        return None
    drain, source, control = board.pin(part.name, "drain"), board.pin(part.name, "source"), control_of(board, part)
    if not board.knows(drain, source) or board.unknowns(control):
        return None
    across = polarity(part) * (board.level_of(drain) - board.level_of(source))
    return Verdict(part.name, None) if across > overdrive(board, part, control) + 1e-6 else None


def leaves_saturation(board: Board, part: Part) -> Verdict | None:
    """A bipolar that was taken as saturated and whose base current is too small for its collector current."""
    gain = board.values.get(f"betaF_{part.name}")
    collector, base = (board.known.get(one) for one in (current_symbol(part), Sym(f"Ib_{part.name}")))
    if board.assumed.mode(part.name) != "saturated" or gain is None or collector is None or base is None:
        return None
    return Verdict(part.name, None, counts=True) if collector > gain * base * (1 + 1e-6) else None
