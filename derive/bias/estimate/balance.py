"""Whether what an estimate found agrees with itself: sums of currents, devices that were taken as off.

Enters: a board. Leaves: verdicts, or ``Stop``. Must not know: rules that find numbers.
"""

from __future__ import annotations

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import current_symbol, polarity
from derive.bias.estimate.records import Stop, Verdict


def check_base(board: Board) -> Verdict | None:
    """A base whose junction is held and whose resistors bring a current: that current is its base current."""
    for part in board.devices("bjt"):
        base, emitter = board.pin(part.name, "base"), board.pin(part.name, "emitter")
        neglected = board.assumed.mode(part.name) is None and part.name not in board.assumed.counted
        can = f"betaF_{part.name}" in board.values and current_symbol(part) not in board.known
        if neglected and can and base not in board.held and board.knows(base, emitter) and _unbalanced(board, base):
            return Verdict(board.assumed.counting(frozenset({part.name})))
    return None


def _unbalanced(board: Board, net: str, tolerance: float = 1e-9) -> bool:
    """Whether all currents at a node are known and do not add up to zero."""
    flows = [(branch, board.flow(branch)) for branch in board.at(net)]
    if not flows or board.unknowns(*(flow for _, flow in flows)):
        return False
    numbers = [board.number(flow) * (1 if branch.second == net else -1) for branch, flow in flows]
    return abs(sum(numbers)) > tolerance * sum(abs(number) for number in numbers)


def check_off(board: Board) -> None:
    """A device that was taken as off and comes out driven. Raises Stop."""
    for part in board.devices("bjt"):
        pins = [board.pin(part.name, pin) for pin in ("base", "emitter")]
        if board.assumed.mode(part.name) == "off" and board.knows(*pins):
            across = polarity(part) * (board.level_of(pins[0]) - board.level_of(pins[1]))
            if across > 0.75:
                raise Stop(f"{part.name}: taken as off it comes out with {across:.2f} V across its junction")


def check_sums(board: Board) -> None:
    """A node whose currents, each found elsewhere, do not add up. Raises Stop."""
    for net in board.nets:
        if net not in board.held and board.at(net) and _unbalanced(board, net, 1e-6):
            raise Stop(f"the currents at {net} do not add up: something neglected counts there")
