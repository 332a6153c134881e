"""An inquiry as a netlist for lcapy: the only module that knows lcapy's syntax and its signs.

Enters: an inquiry and exact numbers. Leaves: text made of generated names, node numbers and exact fractions.
Must not know: how lcapy is run, what is done with its answer. No name of the description gets into the text.

How each thing is written (lcapy 1.26):

- Its ``G`` and ``I`` push their current *into* the first node, so the two output nodes are swapped here.
- Values are ``{p/q}``: fractions in braces are read exactly, decimals and unit prefixes are not.
- A short is a ``W``: lcapy merges the two nodes, so shorts in parallel do no harm.
- An ideal op amp is two voltage-controlled sources of gain one. With a helper node x that nothing else
  touches, ``E x a p m`` sets V(x) = V(a) + V(p) - V(m) and carries no current, and ``E a b x b`` makes V(a)
  equal V(x) with whatever current that takes: so V(p) = V(m), exactly. (Its ``opamp`` has a finite gain,
  and its two-ports ``TP…`` silently join the second nodes of their ports.)
- A controlled sC or 1/(sL): ``E y b p m`` sets V(y) = V(b) + V(p) - V(m), ``E x a y a``
  carries a current from a to x and makes V(x) = V(y), and the admittance lies between x and b.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from derive.answers.records import Inquiry
from derive.network.records import Edge, Element, Law

_LETTERS: dict[Law, str] = {
    "resistance": "R",
    "conductance": "R",
    "unity": "R",
    "capacitance": "C",
    "inductance": "L",
    # An op amp's equation adds voltages; in numbers it is Kirchhoff's law at a node with parts of these values.
    "ratio": "R",
    "delay": "C",
}


@dataclass(frozen=True)
class CircuitText:
    """A netlist, and the number that each node has in it (ground 0)."""

    netlist: str
    numbers: Mapping[str, int]

    def pair(self, edge: Edge) -> tuple[int, int]:
        """The node numbers of an edge. Raises ValueError when nothing is connected to one of its nodes."""
        if not {*edge} <= {*self.numbers}:
            raise ValueError("nothing is connected to a node that is asked for")
        return self.numbers[edge[0]], self.numbers[edge[1]]


def write_circuit(inquiry: Inquiry, values: Mapping[str, Fraction]) -> CircuitText:
    """The inquiry's network with its source of one volt or one ampere as ``V1`` or ``I1``.

    Inquiries with the same network and the same excitation give the same text.
    """
    writer = _Writer({inquiry.network.ground: 0})
    port = inquiry.port
    for element in (*inquiry.network.elements, *inquiry.network.forced):
        writer.number(element.current)
        writer.number(element.voltage)
    first, second = writer.number(port)
    numbers = dict(writer.numbers)
    writer.line("V" if inquiry.excitation == "voltage" else "I", first, second, "s", _brace(Fraction(1)))
    for element in inquiry.network.elements:
        _write_element(writer, element, values)
    for element in inquiry.network.forced:
        _write_forced(writer, element)
    return CircuitText("\n".join(writer.lines) + "\n", numbers)


@dataclass
class _Writer:
    numbers: dict[str, int]
    lines: list[str] = field(default_factory=list)
    helpers: int = 0
    counts: Counter[str] = field(default_factory=Counter)

    def number(self, edge: Edge) -> tuple[int, int]:
        """The node numbers of an edge; a node gets the next one when it first appears."""
        for node in edge:
            self.numbers.setdefault(node, len(self.numbers))
        return self.numbers[edge[0]], self.numbers[edge[1]]

    def helper(self) -> int:
        """A node number of its own, once all nodes of the network have theirs."""
        self.helpers += 1
        return len(self.numbers) + self.helpers - 1

    def line(self, letter: str, *fields: int | str) -> None:
        self.counts[letter] += 1
        self.lines.append(" ".join([f"{letter}{self.counts[letter]}", *map(str, fields)]))


def _brace(value: Fraction) -> str:
    return f"{{{value.numerator}/{value.denominator}}}"


def _write_element(writer: _Writer, element: Element, values: Mapping[str, Fraction]) -> None:
    law = element.law
    value = Fraction(1) if element.symbol is None else Fraction(values[element.symbol])
    if value == 0:
        if law in ("resistance", "inductance", "ratio"):
            _write_forced(writer, element)
        return
    a, b = writer.number(element.current)
    p, m = writer.number(element.voltage)
    quantity = _brace(1 / value if law == "conductance" else value)
    if not element.controlled:
        writer.line(_LETTERS[law], a, b, quantity)
    elif law in ("conductance", "resistance", "unity", "ratio"):
        writer.line("G", b, a, p, m, _brace(1 / value if law in ("resistance", "ratio") else value))
    else:
        x, y = writer.helper(), writer.helper()
        writer.line("E", y, b, p, m, _brace(Fraction(1)))
        writer.line("E", x, a, y, a, _brace(Fraction(1)))
        writer.line(_LETTERS[law], x, b, quantity)


def _write_forced(writer: _Writer, element: Element) -> None:
    a, b = writer.number(element.current)
    if not element.controlled:
        writer.line("W", a, b)
        return
    p, m = writer.number(element.voltage)
    x = writer.helper()
    writer.line("E", x, a, p, m, _brace(Fraction(1)))
    writer.line("E", a, b, x, b, _brace(Fraction(1)))
