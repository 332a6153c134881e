"""What an estimate knows so far, and the circuit as it sees it.

Enters: a circuit, the numbers of its devices' laws, how the devices are taken. Leaves: a ``Board``, on which
rules look up branches, voltages and numbers, and which the engine alone writes on. Must not know: rules, steps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from derive.bias.estimate.algebra import difference, number_of
from derive.bias.estimate.branches import Branch, branches_of, levels_of
from derive.bias.estimate.idle import mark_idle
from derive.bias.estimate.records import UNTOLD, Assumed, Equation, Quantity
from derive.bias.estimate.wiring import distinct, held_by, joined, neighbours, rails_of, rises_of, stated_numbers
from derive.circuit.records import GROUND, Circuit, Part
from derive.expression.tree import ZERO, Expr, Quotient, Sym, Volt, negate, product, walk

Found = TypeVar("Found")


class Board:
    """``known``: the numbers so far, by quantity; ``values``: those of all other symbols, by name."""

    def __init__(self, circuit: Circuit, parameters: Mapping[str, float], assumed: Assumed) -> None:
        self.parts: Mapping[str, Part] = circuit.parts
        self.assumed = assumed
        self._kinds: dict[tuple[str, ...], list[Part]] = {}
        self._memory: dict[str, dict[Callable[..., Any], Any]] = {}
        self._unsolved: set[tuple[Equation, ...]] = set()
        self._nets = joined(circuit)
        self.nets = tuple(dict.fromkeys(self.net(node) for node in circuit.nodes))
        self.members = {net: tuple(n for n in circuit.nodes if self.net(n) == net) for net in self.nets}
        parts = circuit.parts.values()
        branches = [branch for part in parts for branch in branches_of(part, self.net, assumed)]
        self.levels = tuple(distinct(level for part in parts for level in levels_of(part, self.net, assumed)))
        outputs = [self.pin(part.name, "out") for part in self.devices("opamp")]
        self.rails = rails_of(self.levels)
        self.held = frozenset(held_by(self.levels, outputs))
        self._fixed = held_by(self.levels, [])
        self.branches = mark_idle([one for one in branches if one.part not in self.rails.values()], self.held)
        self._touching, self._near = neighbours(self.branches)
        self._rises = rises_of(self.levels)
        self.values: dict[str, float] = {**parameters, **stated_numbers(circuit)}
        self.known: dict[Quantity, float] = {Volt(GROUND): 0.0}
        for net in self.rails:
            self.known[Volt(net)] = number_of(self.volt(net), self.values)
        self._numbers: dict[Any, float] = {**self.values, **self.known}

    def learn(self, numbers: Iterable[tuple[Quantity, float]]) -> None:
        """Take up what was found, and forget what was worked out without it."""
        for quantity, value in numbers:
            self.known[quantity] = value
            self._numbers[quantity.name if isinstance(quantity, Sym) else quantity] = value
            for net in ("", *self._near.get(quantity, ())):
                self._memory.pop(net, None)

    def remembered(self, net: str, work: Callable[[Board, str], Found]) -> Found:
        """What a function makes of a node's branches ("": of all), kept until a number of theirs is learnt."""
        store = self._memory.setdefault(net, {})
        if work not in store:
            store[work] = work(self, net)
        found: Found = store[work]
        return found

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
        return number_of(expr, self._numbers)

    def numbers(self) -> dict[Any, float]:
        """All numbers, as ``evaluate`` looks them up: symbols by name, voltages by themselves; a copy."""
        return dict(self._numbers)

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
        rise = self._rises.get((branch.first, branch.second))
        if rise is not None and not self.knows(branch.first, branch.second):
            return rise
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
        return self.remembered(net, Board._at)

    def _at(self, net: str) -> list[Branch]:
        touching = (one for one in self.touching(net) if one.current_flows(net))
        return [one for one in touching if not self._is_zero(one)]

    def touching(self, net: str) -> list[Branch]:
        """All branches at a node, also those that carry nothing."""
        return self._touching.get(net, [])

    def devices(self, *kinds: str) -> list[Part]:
        if kinds not in self._kinds:
            self._kinds[kinds] = [part for part in self.parts.values() if part.kind in kinds]
        return self._kinds[kinds]

    def untold(self, net: str) -> bool:
        """Whether a current at a node is that of a device whose current is not to be told."""
        return any(self.assumed.mode(one.part) in UNTOLD for one in self.touching(net))

    def give_up(self, equations: Iterable[Equation]) -> None:
        """Note equations that have no numbers together."""
        self._unsolved.add(tuple(equations))

    def unsolvable(self, equations: Iterable[Equation]) -> bool:
        return tuple(equations) in self._unsolved

    def span(self) -> tuple[float, float]:
        """Between which voltages the nodes lie that sources hold, ground among them."""
        held = [self.level_of(net) for net in self._fixed if self.knows(net)]
        return min(held), max(held)

    def _is_zero(self, branch: Branch) -> bool:
        current = self.flow(branch)
        if branch.resistance is not None or self.unknowns(current):
            return False
        return self.number(current) == 0
