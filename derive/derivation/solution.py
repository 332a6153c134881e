"""The node voltages of an inquiry: exact at random points, and in numbers at the spot.

Enters: an inquiry, the numbers of the symbols. Leaves: voltages per unit of excitation.
Must not know: steps, words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from derive.algebra.ring import Ring
from derive.algebra.spectrum import Spectrum
from derive.answers.exact import answer, spectrum
from derive.answers.records import Exact, Inquiry
from derive.expression.tree import Expr, Name, Volt
from derive.forms.trial import points
from derive.network.opamp import follows
from derive.network.records import Edge

PORT_CURRENT = Name("i")
"""The current into the port that is looked into."""
TEST_VOLTAGE = Name("v_t")
"""What drives an op amp of finite gain in place of the voltage between its inputs, its loop being opened there."""


@dataclass(frozen=True)
class Solution:
    """What one inquiry's excitation does to every node: V(x) for one volt or one ampere at the port."""

    inquiry: Inquiry
    numbers: Mapping[str, Fraction]
    ring: Ring
    spot: Fraction

    @cached_property
    def joined(self) -> dict[str, str]:
        """The node that stands for each node that a zeroed signal voltage or a taken short joins to another."""
        alias: dict[str, str] = {}

        def find(node: str) -> str:
            while node in alias:
                node = alias[node]
            return node

        for element in self.inquiry.network.forced:
            if not element.controlled:
                first, second = find(element.current[0]), find(element.current[1])
                if first == self.inquiry.network.ground:
                    first, second = second, first
                if first != second:
                    alias[first] = second
        return {node: find(node) for node in alias}

    @cached_property
    def follows(self) -> dict[str, str]:
        """For the inner node of each op amp of finite gain the output that has its voltage, and bears its name."""
        pairs = ((follows(element), element.current[0]) for element in self.inquiry.network.forced)
        return {inner: self.node(out) for inner, out in pairs if inner is not None}

    @property
    def drive(self) -> Name:
        """The excitation that is no node voltage: a current, or a voltage where it drives an op amp from within."""
        return TEST_VOLTAGE if self.follows.keys() & {*self.inquiry.port} else PORT_CURRENT

    @property
    def unit(self) -> str:
        """The unit of a node voltage per excitation."""
        return "Ω" if self.inquiry.excitation == "current" and self.drive == PORT_CURRENT else "V/V"

    def node(self, name: str) -> str:
        return self.joined.get(name, name)

    def volt(self, name: str) -> Expr | None:
        """The voltage of a node as a symbol; None for ground."""
        node = self.node(name)
        node = self.follows.get(node, node)
        return None if node == self.inquiry.network.ground else Volt(node)

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """All nodes with a voltage of their own, in order of appearance."""
        reached = dict.fromkeys(self.inquiry.network.nodes)
        reached.update(dict.fromkeys(self.inquiry.port))
        hidden = {self.inquiry.network.ground, *self.follows}
        return tuple(dict.fromkeys(self.node(n) for n in reached if self.node(n) not in hidden))

    def at_edge(self, edge: Edge) -> Inquiry:
        """The inquiry for the voltage of an edge per unit of the same excitation."""
        return replace(self.inquiry, above=edge, below=None, factor=None)

    def ratio(self, above: Edge, below: Edge) -> Exact:
        """The exact ratio of two voltages under this excitation."""
        same = self.inquiry.excitation == "voltage" and below == self.inquiry.port
        inquiry = replace(self.inquiry, above=above, below=None if same else below, factor=None, unit="V/V")
        return answer(inquiry, self.numbers, self.ring)

    @cached_property
    def trials(self) -> tuple[dict[Any, Fraction], ...]:
        """At each random point the numbers of the symbols, of s, of every node voltage and of the port current."""
        found = []
        ground = self.inquiry.network.ground
        for point in points(self.ring.names):
            values: dict[Any, Fraction] = dict(point)
            for node in self.nodes:
                response = spectrum(self.at_edge((node, ground)), point)
                values[Volt(node)] = response.exactly_at(point["s"])
            values[PORT_CURRENT] = values[self.drive] = Fraction(1)
            found.append(values)
        return tuple(found)

    def spectrum(self, node: str) -> Spectrum:
        """The voltage of a node over frequency, per unit of excitation."""
        node = self.node(node)
        if node not in self._spectra:
            self._spectra[node] = spectrum(self.at_edge((node, self.inquiry.network.ground)), self.numbers)
        return self._spectra[node]

    @cached_property
    def _spectra(self) -> dict[str, Spectrum]:
        return {}

    def at_spot(self, node: str) -> complex:
        """The voltage of a node at the spot, per unit of excitation; zero for ground."""
        node = self.node(node)
        return 0j if node == self.inquiry.network.ground else self.spectrum(node).at_frequency(self.spot)

    @cached_property
    def spots(self) -> dict[str, complex]:
        """The voltage of every node at the spot, per unit of excitation."""
        return {node: self.spectrum(node).at_frequency(self.spot) for node in self.nodes}

    @cached_property
    def still(self) -> set[str]:
        """The nodes that do not move at all at these numbers (a virtual ground)."""
        return {node for node in self.nodes if not any(self.spectrum(node).numerator)}
