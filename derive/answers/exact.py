"""The exact answer to an inquiry.

Enters: an inquiry and the numbers of the symbols. Leaves: the answer, symbolic and numeric.
Must not know: statements, steps, LaTeX.

With the port's current edge p and a voltage edge a, the coefficient of an admittance from p to a in the
determinant is the cofactor that a unit current into the port drives at a. A voltage at the port is such an
admittance made infinite. So every numerator and denominator is a determinant with one more edge contracted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

import networkx

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Ring
from derive.algebra.spectrum import Spectrum, spectrum_of
from derive.answers.records import Exact, Inquiry
from derive.errors import DeriveError
from derive.kernel.build import determinant
from derive.kernel.diagram import Diagram
from derive.network.records import Edge, Element, Network

WRITABLE = 3_000
"""Terms above which an answer is not multiplied out: cancelling and factoring would take seconds."""


class NoSolution(DeriveError):
    """The network has no unique solution for this question: its determinant vanishes identically."""


def diagrams(inquiry: Inquiry) -> tuple[Diagram, Diagram]:
    """The determinants whose ratio is the answer, numerator first. Raises TooLarge."""
    network = connected(inquiry)
    base = [(element.current, element.voltage) for element in independent(network.forced)]
    asked = (*inquiry.port, *inquiry.above, *(inquiry.below or ()))

    def solve(*extra: tuple[Edge, Edge]) -> Diagram:
        return determinant(network.elements, [*base, *extra], network.ground, asked)

    above = solve((inquiry.port, inquiry.above))
    if inquiry.below is not None:
        return above, solve((inquiry.port, inquiry.below))
    if inquiry.excitation == "voltage":
        return above, solve((inquiry.port, inquiry.port))
    return above, solve()


def connected(inquiry: Inquiry) -> Network:
    """The network without what is left hanging: elements that no path joins to ground or to what is asked.

    Lifting parts and taking limits can leave a part between nodes that nothing else touches; its voltage is then
    undetermined, and it bears on no answer.
    """
    network = inquiry.network
    graph = networkx.Graph()
    asked = (*inquiry.port, *inquiry.above, *(inquiry.below or ()))
    for element in (*network.elements, *network.forced):
        nodes = (*element.current, *element.voltage)
        graph.add_edges_from((nodes[0], other) for other in nodes[1:])
    reached = {network.ground}
    for node in (network.ground, *asked):
        if node in graph:
            reached |= networkx.node_connected_component(graph, node)
    return replace(
        network,
        elements=tuple(e for e in network.elements if e.current[0] in reached),
        forced=tuple(e for e in network.forced if e.current[0] in reached),
    )


def is_infinite(inquiry: Inquiry) -> bool:
    """Whether the answer is infinite whatever the numbers: the lower determinant vanishes, the upper does not."""
    above, below = diagrams(inquiry)
    return below.root == 0 and above.root != 0


def independent(forced: Sequence[Element]) -> list[Element]:
    """The forced elements without shorts whose ends other shorts have joined already: they add nothing."""
    parent: dict[str, str] = {}

    def find(node: str) -> str:
        while node in parent:
            node = parent[node]
        return node

    kept = []
    for element in forced:
        first, second = find(element.current[0]), find(element.current[1])
        if element.controlled:
            kept.append(element)
        elif first != second:
            parent[first] = second
            kept.append(element)
    return kept


def answer(inquiry: Inquiry, numbers: Mapping[str, Fraction], ring: Ring) -> Exact:
    """The exact answer. Raises NoSolution, TooLarge."""
    above, below = diagrams(inquiry)
    elements = {element.name: element for element in inquiry.network.elements}
    spectrum = _spectrum(inquiry, above, below, elements, numbers)
    counts = above.count(), below.count()
    ratio = _ratio(inquiry, above, below, elements, ring) if max(counts) <= WRITABLE else None
    return Exact(inquiry, counts, ratio, spectrum)


def spectrum(inquiry: Inquiry, numbers: Mapping[str, Fraction]) -> Spectrum:
    """The numeric part of the answer alone, for other numbers of the symbols."""
    above, below = diagrams(inquiry)
    elements = {element.name: element for element in inquiry.network.elements}
    return _spectrum(inquiry, above, below, elements, numbers)


def _spectrum(
    inquiry: Inquiry, above: Diagram, below: Diagram, elements: Mapping[str, Element], numbers: Mapping[str, Fraction]
) -> Spectrum:
    factor = numbers[inquiry.factor] if inquiry.factor else Fraction(1)
    try:
        return spectrum_of(above, below, elements, numbers, factor)
    except ZeroDivisionError:
        raise NoSolution(f"{inquiry.name} has no finite value: the network's determinant is zero") from None


def _ratio(inquiry: Inquiry, above: Diagram, below: Diagram, elements: Mapping[str, Element], ring: Ring) -> Ratio:
    numerator, denominator = ring.expand(above, elements), ring.expand(below, elements)
    if inquiry.factor:
        numerator = numerator * ring.generator(inquiry.factor)
    try:
        return lowest_terms(ring, numerator, denominator)
    except ZeroDivisionError:
        raise NoSolution(f"{inquiry.name} has no finite value: the network's determinant is zero") from None
