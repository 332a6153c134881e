"""The bias point as a person estimates it at the bench, step by step.

Enters: a circuit, and the numbers of its devices' laws. Leaves: an ``Estimate``.
Must not know: the solver of the bias point, LaTeX.

From the known nodes on, the rule that is next applicable is applied; what no rule settles is solved together.
Whenever a device turns out other than it was taken, the estimate begins anew with what was learnt. Where a device
cannot be taken in any way, it begins anew with nothing taken for granted of that device: what stands then stands
without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from derive.bias.estimate.branches import FETS
from derive.bias.estimate.feedback import missing_feedback
from derive.bias.estimate.packing import pack
from derive.bias.estimate.reach import unseen
from derive.bias.estimate.records import Assumed, Mode, Stop
from derive.bias.estimate.rounds import Rounds
from derive.bias.estimate.settling import revisit, settle
from derive.bias.records import Estimate
from derive.circuit.records import Circuit

MOST_ROUNDS = 200
"""An estimate that begins anew more often than this gives up all its devices that contradict something."""


def estimate(circuit: Circuit, parameters: Mapping[str, float]) -> Estimate:
    """The bias point by hand. ``parameters``: the numbers of the laws by name (``Idss_Q1``, ``betaF_Q2``), in SI.

    Base and gate currents, Early effect and lambda are neglected; a base current counts where it drops much in
    front of the base, or is all that drives it. What stopped the estimate is told in ``why``; what depends on it
    is left out.
    """
    rounds = Rounds(circuit, parameters)
    first = Assumed(counted=_only_bases(circuit, parameters))
    open_loops = missing_feedback(rounds.board(first))
    start = _taken(first, open_loops, "refuted")
    whys: list[str] = []
    while True:
        settled = settle(rounds, start)
        stop = settled.round.stop
        if stop is None and not (hidden := unseen(settled.round.board)):
            return pack(revisit(rounds, settled), tuple(dict.fromkeys([*whys, *open_loops.values()])))
        whys += [stop.why] if stop is not None else []
        after = _stopped(start, stop, settled.assumed) if stop is not None else _taken(start, hidden, "refuted")
        nothing = _taken(start, _devices(circuit), "refuted")
        if after == start or rounds.count > MOST_ROUNDS:
            after = nothing
        if after == start:
            return Estimate((), {}, {}, "; ".join(dict.fromkeys(whys)))
        start = after


def _stopped(start: Assumed, stop: Stop, last: Assumed) -> Assumed:
    """The first guess without what was refuted. A base current that counts does so, whatever its device carries."""
    after = _taken(start, stop.parts, stop.mode)
    kept = last.counted & set(stop.parts) if stop.mode == "unsure" else frozenset()
    return replace(after, counted=after.counted | kept)


def _taken(assumed: Assumed, parts: Iterable[str], mode: Mode) -> Assumed:
    for part in parts:
        assumed = assumed.altered(part, mode)
    return assumed


def _devices(circuit: Circuit) -> list[str]:
    return [part.name for part in circuit.parts.values() if part.kind in ("bjt", "diode", "opamp", *FETS)]


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
