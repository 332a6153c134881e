"""What the wiring alone says: nodes that are one, rails, nodes that a source holds, stated numbers.

Enters: a circuit, its levels. Leaves: tables. Must not know: numbers of the estimate, rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from derive.bias.estimate.branches import Branch, Level
from derive.bias.estimate.records import Quantity
from derive.circuit.graphs import Union
from derive.circuit.records import GROUND, Circuit
from derive.expression.tree import Expr, Sym, Volt, negate, walk


def joined(circuit: Circuit) -> dict[str, str]:
    """For each node that an inductor joins to another the one that stands for both, ground before all."""
    union = Union()
    for part in circuit.parts.values():
        if part.kind == "inductor":
            union.join(part.pins["first"], part.pins["second"])
    supplied = [n for p in circuit.parts.values() if p.kind == "supply" for n in p.pins.values()]
    leaders: dict[str, str] = {}
    for node in (GROUND, *supplied, *circuit.nodes):
        leaders.setdefault(union.find(node), node)
    return {node: leaders[union.find(node)] for node in circuit.nodes}


def distinct(levels: Iterable[Level]) -> list[Level]:
    """Levels without those that say again what another says, as of a mirror's second device."""
    found: dict[object, Level] = {}
    for level in levels:
        if level.upper != level.lower:
            key = (level.upper, level.lower, level.rise) if level.kind == "junction" else level
            found.setdefault(key, level)
    return list(found.values())


def rails_of(levels: tuple[Level, ...]) -> dict[str, str]:
    """The nodes that one supply holds against ground, with its name."""
    rails: dict[str, str] = {}
    for level in levels:
        ends = (level.upper, level.lower)
        if level.kind == "source" and isinstance(level.rise, Sym) and GROUND in ends:
            rails.setdefault(ends[1 - ends.index(GROUND)], level.part)
    return rails


def held_by(levels: tuple[Level, ...], outputs: list[str]) -> set[str]:
    """Nodes whose sum of currents tells nothing: a source or the output of an op amp takes up whatever is left."""
    held = {GROUND, *outputs}
    sources = [level for level in levels if level.kind == "source"]
    for _ in sources:
        for level in sources:
            if held & {level.upper, level.lower}:
                held |= {level.upper, level.lower}
    return held


def stated_numbers(circuit: Circuit) -> dict[str, float]:
    """The numbers of resistors, transconductances, supplies and signal currents, by the part's name."""
    heads = {"resistor": "resistance", "transconductance": "transconductance", "supply": "voltage", "signal": "offset"}
    found = {}
    for part in circuit.parts.values():
        key = heads.get(part.kind)
        if key is not None and key in part.values:
            found[part.name] = float(part.values[key].value)
    return found


def neighbours(branches: Sequence[Branch]) -> tuple[dict[str, list[Branch]], dict[Quantity, set[str]]]:
    """The branches at each node; for each quantity the nodes where a branch's current hangs on it."""
    touching: dict[str, list[Branch]] = {}
    near: dict[Quantity, set[str]] = {}
    for branch in branches:
        ends = (branch.first, branch.second)
        for net in dict.fromkeys(ends):
            touching.setdefault(net, []).append(branch)
        currents: list[Quantity] = [atom for atom in walk(branch.current) if isinstance(atom, Sym)]
        for quantity in (*currents, *(Volt(net) for net in (*ends, *(branch.sense or ())))):
            near.setdefault(quantity, set()).update(ends)
    return touching, near


def rises_of(levels: Sequence[Level]) -> dict[tuple[str, str], Expr]:
    """The fixed voltage of the first node of a pair against its second, by the pair."""
    found: dict[tuple[str, str], Expr] = {}
    for level in levels:
        found.setdefault((level.upper, level.lower), level.rise)
        found.setdefault((level.lower, level.upper), negate(level.rise))
    return found
