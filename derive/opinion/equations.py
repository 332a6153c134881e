"""The modified nodal equations of an inquiry at one complex frequency, in floating point.

Enters: an inquiry, the number of every symbol, s in rad/s. Leaves: the system A·x = b.
Must not know: how it is solved, the kernel.

Unknowns are the node voltages and one current for each element that is not stamped as an admittance:
inductors (V - sL·i = 0, which also holds at s = 0), forced controlled elements (V = 0 across the voltage
edge, the current flowing along the current edge: an ideal op amp) and the exciting voltage source. Forced
two-terminal elements merge their nodes, so that two shorts in parallel do no harm. (C.-W. Ho, A. E. Ruehli,
P. A. Brennan, "The modified nodal approach to network analysis", IEEE Trans. Circuits and Systems, 1975.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from derive.answers.records import Inquiry
from derive.network.records import Edge, Law

Number = Fraction | float
Matrix = NDArray[np.complex128]


@dataclass
class System:
    """A·x = b while it is being stamped. ``row`` gives a node's number; ground has none."""

    row: Mapping[str, int | None]
    matrix: Matrix
    source: Matrix
    branches: int

    def incidence(self, edge: Edge) -> Matrix:
        """The vector that reads V(first) - V(second), and that injects a current along the edge."""
        vector = np.zeros(len(self.source), dtype=complex)
        for node, sign in zip(edge, (1.0, -1.0), strict=True):
            index = self.row[node]
            if index is not None:
                vector[index] += sign
        return vector

    def admit(self, current: Edge, voltage: Edge, amount: complex) -> None:
        self.matrix += amount * np.outer(self.incidence(current), self.incidence(voltage))

    def branch(self, current: Edge, voltage: Edge, impedance: complex, drive: complex = 0) -> None:
        """A current unknown along ``current``, with V(voltage) - impedance·i = drive."""
        index = len(self.source) - self.branches
        self.branches -= 1
        self.matrix[:, index] += self.incidence(current)
        self.matrix[index, :] += self.incidence(voltage)
        self.matrix[index, index] -= impedance
        self.source[index] += drive


def admittance(law: Law, number: Number, s: complex) -> complex:
    """1/R, g, sC or 1/(sL) in siemens; for an op amp one, 1/a or s·tau, without a unit.

    Raises ZeroDivisionError where it is infinite.
    """
    match law:
        case "resistance" | "ratio":
            return 1 / complex(number)
        case "conductance":
            return complex(number)
        case "capacitance" | "delay":
            return s * complex(number)
        case "inductance":
            return 1 / (s * complex(number))
        case "unity":
            return 1 + 0j


def stamp(inquiry: Inquiry, values: Mapping[str, Number], s: complex) -> System:
    """The equations of the inquiry's network with one volt or one ampere at its port."""
    network = inquiry.network
    nullors = [e for e in network.forced if e.controlled]
    inductors = [e for e in network.elements if e.law == "inductance"]
    row = _number_nodes(inquiry)
    nodes = len({index for index in row.values() if index is not None})
    branches = len(nullors) + len(inductors) + (inquiry.excitation == "voltage")
    size = nodes + branches
    system = System(row, np.zeros((size, size), dtype=complex), np.zeros(size, dtype=complex), branches)
    for element in network.elements:
        number = 1.0 if element.symbol is None else values[element.symbol]
        if element.law == "inductance":
            system.branch(element.current, element.voltage, s * complex(number))
        else:
            system.admit(element.current, element.voltage, admittance(element.law, number, s))
    for element in nullors:
        system.branch(element.current, element.voltage, 0)
    if inquiry.excitation == "voltage":
        system.branch(inquiry.port, inquiry.port, 0, drive=1)
    else:
        system.source += system.incidence(inquiry.port)
    return system


def _number_nodes(inquiry: Inquiry) -> dict[str, int | None]:
    """The row of each node; nodes joined by forced two-terminal elements share one, ground's have None."""
    network = inquiry.network
    joined: dict[str, str] = {}

    def find(node: str) -> str:
        while node in joined:
            node = joined[node]
        return node

    for element in network.forced:
        if not element.controlled:
            _join(joined, find(element.current[0]), find(element.current[1]), network.ground)
    pairs = [inquiry.port, inquiry.above, *([inquiry.below] if inquiry.below else [])]
    for element in (*network.elements, *network.forced):
        pairs += [element.current, element.voltage]
    row: dict[str, int | None] = {network.ground: None}
    for node in dict.fromkeys(node for pair in pairs for node in pair):
        root = find(node)
        if root not in row:
            row[root] = len([index for index in set(row.values()) if index is not None])
        row[node] = row[root]
    return row


def _join(joined: dict[str, str], first: str, second: str, ground: str) -> None:
    if first != second:
        kept, lost = (second, first) if second == ground else (first, second)
        joined[lost] = kept
