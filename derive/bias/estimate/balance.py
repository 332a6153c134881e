"""Whether what an estimate found agrees with itself: sums of currents, base currents that were neglected.

Enters: a board. Leaves: verdicts, or ``Stop``. Must not know: rules that find numbers.
"""

from __future__ import annotations

from collections.abc import Iterator

from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol
from derive.bias.estimate.records import UNTOLD, Stop, Verdict


def check_base(board: Board) -> Iterator[Verdict]:
    """A base whose junction is held and whose resistors bring a current: that current is its base current."""
    for part in board.devices("bjt"):
        base, emitter = board.pin(part.name, "base"), board.pin(part.name, "emitter")
        neglected = board.assumed.mode(part.name) is None and part.name not in board.assumed.counted
        can = f"betaF_{part.name}" in board.values and current_symbol(part) not in board.known
        if neglected and can and base not in board.held and board.knows(base, emitter) and _unbalanced(board, base):
            yield Verdict(part.name, None, counts=True)


def _unbalanced(board: Board, net: str, tolerance: float = 1e-9) -> bool:
    """Whether all currents at a node are known and do not add up to zero."""
    flows = [(branch, board.flow(branch)) for branch in board.at(net)]
    if not flows or board.unknowns(*(flow for _, flow in flows)):
        return False
    numbers = [board.number(flow) * (1 if branch.second == net else -1) for branch, flow in flows]
    return abs(sum(numbers)) > tolerance * sum(abs(number) for number in numbers)


def check_sums(board: Board) -> None:
    """A node whose currents, each found elsewhere, do not add up. Raises Stop: its devices, else all, are in doubt."""
    for net in board.nets:
        if net not in board.held and board.at(net) and _unbalanced(board, net, 1e-6):
            doubted = [p for p in board.devices("bjt", "diode", *FETS) if board.assumed.mode(p.name) not in UNTOLD]
            near = [one for one in doubted if any(board.pin(one.name, pin) == net for pin in one.pins if pin != "gate")]
            why = f"the currents at {net} do not add up: something neglected counts there"
            raise Stop(why, [one.name for one in near or doubted])
