"""What an estimate knows so far, and the circuit as it sees it.

Enters: a circuit, the numbers of its devices' laws, how the devices are taken. Leaves: a ``Board``, on which
rules look up branches, voltages and numbers, and which the engine alone writes on. Must not know: rules, steps.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from derive.bias.estimate.algebra import difference, number_of
from derive.bias.estimate.branches import Branch, branches_of, levels_of
from derive.bias.estimate.idle import mark_idle
from derive.bias.estimate.records import Assumed, Quantity
from derive.bias.estimate.wiring import distinct, held_by, joined, rails_of, stated_numbers
from derive.circuit.records import GROUND, Circuit, Part
from derive.expression.tree import ZERO, Expr, Quotient, Sym, Volt, negate, product, walk


class Board:
    """``known``: the numbers so far, by quantity; ``values``: those of all other symbols, by name."""

    def __init__(self, circuit: Circuit, parameters: Mapping[str, float], assumed: Assumed) -> None:
        self.parts: Mapping[str, Part] = circuit.parts
        self.assumed = assumed
        self._nets = joined(circuit)
        self.nets = tuple(dict.fromkeys(self.net(node) for node in circuit.nodes))
        self.members = {net: tuple(n for n in circuit.nodes if self.net(n) == net) for net in self.nets}
        parts = circuit.parts.values()
        branches = [branch for part in parts for branch in branches_of(part, self.net, assumed)]
        self.levels = tuple(distinct(level for part in parts for level in levels_of(part, self.net, assumed)))
        outputs = [self.pin(part.name, "out") for part in self.devices("opamp")]
        self.rails = rails_of(self.levels)
        self.held = frozenset(held_by(self.levels, outputs))
        self.branches = mark_idle([one for one in branches if one.part not in self.rails.values()], self.held)
        self._touching: dict[str, list[Branch]] = {}
        for branch in self.branches:
            for net in dict.fromkeys((branch.first, branch.second)):
                self._touching.setdefault(net, []).append(branch)
        self.values: dict[str, float] = {**parameters, **stated_numbers(circuit)}
        self.known: dict[Quantity, float] = {Volt(GROUND): 0.0}
        for net in self.rails:
            self.known[Volt(net)] = number_of(self.volt(net), self.values)

    def net(self, node: str) -> str:
        """The node that stands for a node: inductors are wires."""
        return self._nets.get(node, node)

    def pin(self, part: str, pin: str) -> str:
        return self.net(self.parts[part].pins[pin])

    def volt(self, net: str) -> Expr:
        """A node's voltage as algebra: zero for ground, the supply's name for a rail."""
        if net == GROUND:
            return ZERO
        if net not in self.rails:
            return Volt(net)
        supply = self.parts[self.rails[net]]
        return Sym(supply.name) if self.net(supply.pins["first"]) == net else negate(Sym(supply.name))

    def level_of(self, net: str) -> float:
        """The number of a known node."""
        return self.known[Volt(net)]

    def knows(self, *nets: str) -> bool:
        return all(Volt(net) in self.known for net in nets)

    def number(self, expr: Expr) -> float:
        return number_of(expr, self.numbers())

    def numbers(self) -> dict[Any, float]:
        """All numbers, as ``evaluate`` looks them up: symbols by name, voltages by themselves."""
        currents = {quantity.name: value for quantity, value in self.known.items() if isinstance(quantity, Sym)}
        return {**self.values, **self.known, **currents}

    def unknowns(self, *exprs: Expr) -> list[Quantity]:
        """The quantities without a number in some expressions, each once, in order."""
        found: dict[Quantity, None] = {}
        for expr in exprs:
            for atom in walk(expr):
                waits = isinstance(atom, Volt) or (isinstance(atom, Sym) and atom.name not in self.values)
                if waits and atom not in self.known:
                    assert isinstance(atom, Volt | Sym)
                    found[atom] = None
        return list(found)

    def across(self, branch: Branch) -> Expr:
        """The voltage across a resistor, first node against second; a junction straight across it fixes it."""
        if not self.knows(branch.first, branch.second):
            for level in self.levels:
                if (level.upper, level.lower) == (branch.first, branch.second):
                    return level.rise
                if (level.lower, level.upper) == (branch.first, branch.second):
                    return negate(level.rise)
        return difference(self.volt(branch.first), self.volt(branch.second))

    def flow(self, branch: Branch) -> Expr:
        """The current of a branch from its first node to its second, as algebra."""
        if branch.sense is not None:
            return product(branch.current, difference(*(self.volt(net) for net in branch.sense)))
        if branch.resistance is None:
            return branch.current
        return Quotient(self.across(branch), branch.resistance)

    def at(self, net: str) -> list[Branch]:
        """The branches that carry current at a node."""
        touching = (one for one in self._touching.get(net, ()) if one.current_flows(net))
        return [one for one in touching if not self._is_zero(one)]

    def devices(self, *kinds: str) -> list[Part]:
        return [part for part in self.parts.values() if part.kind in kinds]

    def _is_zero(self, branch: Branch) -> bool:
        current = self.flow(branch)
        if branch.resistance is not None or self.unknowns(current):
            return False
        return self.number(current) == 0
