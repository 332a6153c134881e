"""The bias point as a person estimates it at the bench, step by step.

Enters: a circuit, and the numbers of its devices' laws. Leaves: an ``Estimate``.
Must not know: the solver of the bias point, LaTeX.

From the known nodes on, the rule that is next applicable is applied; what no rule settles is solved together.
Whenever a device turns out other than it was taken, the estimate begins anew with what was learnt.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from derive.bias.estimate.balance import check_base, check_off, check_sums
from derive.bias.estimate.board import Board
from derive.bias.estimate.branches import FETS, current_symbol, polarity
from derive.bias.estimate.dividers import divide
from derive.bias.estimate.drops import check_levels, follow_level
from derive.bias.estimate.feedback import missing_feedback
from derive.bias.estimate.fets import apply_law, bias_by_source, invert_law
from derive.bias.estimate.kirchhoff import find_current, find_far, settle_idle, settle_node
from derive.bias.estimate.pairs import degenerate, mirror, share
from derive.bias.estimate.records import Assumed, Finding, Stop, Verdict
from derive.bias.estimate.together import close
from derive.bias.estimate.verdicts import doubt
from derive.bias.records import Estimate, EstimateStep
from derive.circuit.records import Circuit
from derive.expression.tree import Expr, Volt, walk

RULES: tuple[Callable[[Board], Finding | Verdict | None], ...] = (
    settle_idle,
    follow_level,
    divide,
    settle_node,
    apply_law,
    bias_by_source,
    find_current,
    mirror,
    degenerate,
    find_far,
    invert_law,
    close,
    share,
)
"""In the order in which a person tries them."""
MOST_ROUNDS = 40
"""An estimate that begins anew more often than this is given up."""


def estimate(circuit: Circuit, parameters: Mapping[str, float]) -> Estimate:
    """The bias point by hand. ``parameters``: the numbers of the laws by name (``Idss_Q1``, ``betaF_Q2``), in SI.

    Base and gate currents, Early effect and lambda are neglected; a base current counts where it drops much in
    front of the base, or is all that drives it. What stopped the estimate is told in ``why``.
    """
    assumed = Assumed(counted=_only_bases(circuit, parameters))
    seen = {assumed}
    learnt: list[EstimateStep] = []
    while True:
        board = Board(circuit, parameters, assumed)
        findings, verdict, why = _run(board)
        if verdict is None or verdict.assumed in seen or len(seen) > MOST_ROUNDS:
            why = why if verdict is None else "the devices cannot be taken in any way that agrees with itself"
            return _packed(board, learnt, findings, why)
        assumed = verdict.assumed
        seen.add(assumed)
        learnt.extend(verdict.steps)


def _run(board: Board) -> tuple[list[Finding], Verdict | None, str]:
    """One round: rules until none applies, or a verdict calls for another round."""
    findings: list[Finding] = []
    open_loops = missing_feedback(board)
    board.levels = tuple(level for level in board.levels if level.part not in open_loops)
    try:
        while True:
            verdict = doubt(board) or check_levels(board) or check_base(board)
            found = verdict or next((one for rule in RULES if (one := rule(board)) is not None), None)
            if isinstance(found, Verdict):
                return findings, found, ""
            if found is None:
                break
            findings.append(found)
            board.known.update(found.numbers)
        check_off(board)
        check_sums(board)
    except Stop as stop:
        if stop.undo and findings:
            for quantity, _ in findings.pop().numbers:
                del board.known[quantity]
        return findings, None, stop.why
    return findings, None, next(iter(open_loops.values()), "") or _missing(board)


def _only_bases(circuit: Circuit, parameters: Mapping[str, float]) -> frozenset[str]:
    """Bipolars whose base is fed by nothing but one device: its current is their base current."""
    fed: dict[str, list[str]] = {}
    for part in circuit.parts.values():
        if part.kind != "capacitor":
            for pin, node in part.pins.items():
                if pin not in ("gate", "plus", "minus", "sense_first", "sense_second"):
                    fed.setdefault(node, []).append("" if (part.kind, pin) == ("bjt", "base") else part.kind)
    found = set()
    for part in circuit.parts.values():
        if part.kind == "bjt" and f"betaF_{part.name}" in parameters:
            kinds = [kind for kind in fed[part.pins["base"]] if kind]
            if len(kinds) == 1 and kinds[0] in ("bjt", "diode", *FETS):
                found.add(part.name)
    return frozenset(found)


def _missing(board: Board) -> str:
    """The first device or node that was not reached, and what is missing; "" where all were."""
    for part in board.devices("bjt", "diode", *FETS):
        if board.assumed.mode(part.name) != "off" and current_symbol(part) not in board.known:
            nodes = dict.fromkeys(node for node in part.pins.values() if not board.knows(board.net(node)))
            lacks = f"; not reached: the voltage of {' and of '.join(nodes)}" if nodes else ""
            return f"{part.name}: no rule gives its current{lacks}"
    for net in board.nets:
        if not board.knows(net) and board.at(net):
            return f"{net}: no rule gives its voltage"
    return ""


def _packed(board: Board, learnt: list[EstimateStep], findings: list[Finding], why: str) -> Estimate:
    noted: set[str] = set()
    for step in learnt:
        noted |= {word for word in step.note if isinstance(word, str)}
    steps = [one.step(noted) for one in _needed(findings)]
    nodes = {node: board.known[Volt(net)] for net in board.nets for node in board.members[net] if board.knows(net)}
    return Estimate((*learnt, *steps), nodes, _currents(board), why)


def _needed(findings: list[Finding]) -> list[Finding]:
    """Without the steps for sources that nothing else refers to."""
    kept = []
    for place, finding in enumerate(findings):
        used = {atom for later in findings[place + 1 :] for atom in _atoms(later)}
        source = len(finding.lines) == 1 and finding.lines[0].sign == "="
        if not source or finding.lines[0].left in used:
            kept.append(finding)
    return kept


def _atoms(finding: Finding) -> set[Expr]:
    """What the lines of a step refer to."""
    sides = [side for line in finding.lines for side in (line.left, line.right) if side is not None]
    return {atom for side in sides for atom in walk(side)}


def _currents(board: Board) -> dict[str, float]:
    """Currents by part: into collector or drain, from the first node of a resistor or diode, into that of a signal."""
    found = {}
    for part in board.parts.values():
        symbol = current_symbol(part)
        if part.kind in ("bjt", "diode", *FETS) and board.assumed.mode(part.name) == "off":
            found[part.name] = 0.0
        elif part.kind == "resistor":
            first, second = board.pin(part.name, "first"), board.pin(part.name, "second")
            if board.knows(first, second):
                drop = board.level_of(first) - board.level_of(second)
                found[part.name] = drop / board.values[part.name]
        elif symbol in board.known:
            found[part.name] = polarity(part) * board.known[symbol]
        elif part.kind == "signal" and part.variety == "current":
            found[part.name] = board.values.get(part.name, 0.0)
    return found
