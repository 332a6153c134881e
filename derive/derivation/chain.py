"""The gain as a product of node-to-node ratios along the signal path.

Enters: the solution of a gain's inquiry, the statements. Leaves: the chain, checked to multiply up.
Must not know: LaTeX.

The path is the shortest from the driven node to the output over the couplings of the network: a resistor or a
capacitor couples its two ends both ways, a controlled source couples what it senses to where its current goes.
A coupling is shorter the larger the share of the node's own admittance that it makes up at the spot; for a
controlled source this counts a tenth, since the signal is meant to go that way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import log10, pi

import networkx

from derive.algebra.ratio import Ratio
from derive.algebra.spectrum import Spectrum, from_coefficients, multiplied
from derive.answers.exact import answer
from derive.approximate.error import measure
from derive.approximate.records import Approximate, Resolved
from derive.approximate.reduce import Ground, approximate
from derive.derivation.records import Chain, Link
from derive.derivation.solution import PORT_CURRENT, Solution
from derive.errors import Defect
from derive.expression.tree import Quotient, Volt
from derive.forms.laurent import Style
from derive.forms.present import Form, present
from derive.network.opamp import follows
from derive.network.records import Element
from derive.structure.search import COARSE
from derive.structure.shortest import shortest

WEAKEST = 1e-9
MOST_IN_A_LINK = 24
"""Terms above which a link's formula is not printed."""
ROUGH = 0.25
"""The worst error up to which a link's short form is shown where none keeps within what is asked."""
GUIDED = 0.1
"""How much a weak share lengthens a controlled source's coupling, beside a passive part's."""


def chain(
    solution: Solution,
    style: Style,
    statements: Sequence[Resolved],
    ground: Ground,
    exact: Spectrum,
) -> Chain | None:
    """The chain from the excitation, or from the node a ratio starts at, to the output.

    None when the path is a single step, when none is found, or when the signal passes no node that moves.
    """
    inquiry = solution.inquiry
    if inquiry.above[1] != inquiry.network.ground or inquiry.port[1] != inquiry.network.ground:
        return None
    begin = solution.node(inquiry.below[0] if inquiry.below else inquiry.port[0])
    path = signal_path(solution, begin, solution.node(inquiry.above[0]))
    if path is None or len(path) + (inquiry.unit == "Ω") < 3:
        return None
    if inquiry.unit == "Ω":
        path = ["", *path]
    shared = (solution, style, statements, ground)
    links = tuple(_link(shared, source, to) for source, to in pairwise(path))
    _require_product(links, exact)
    told = [link.told for link in links]
    if any(spectrum is None for spectrum in told) or all(k.told == k.exact.spectrum for k in links):
        return Chain(links, None, None)
    product = _product([spectrum for spectrum in told if spectrum is not None])
    return Chain(links, product, measure(product, exact, ground.band, ground.spot))


def signal_path(solution: Solution, start: str, stop: str, still: set[str] | None = None) -> list[str] | None:
    """The nodes along the strongest path, both ends included. ``still``: nodes that do not move, where known."""
    graph = networkx.DiGraph()
    still = solution.still if still is None else still
    if start in still:
        return None
    omega = 2 * pi * max(float(solution.spot), 1e-3)
    own: dict[str, float] = {}
    edges: list[tuple[str, str, float, bool]] = []
    for element in solution.inquiry.network.elements:
        if solution.follows.keys() & {*element.current}:
            continue
        size = _size(element, float(solution.numbers[element.name]), omega)
        for to in dict.fromkeys(solution.node(n) for n in element.current):
            own[to] = own.get(to, 0.0) + size
            sources = dict.fromkeys(solution.node(n) for n in element.voltage)
            edges += [(source, to, size, element.controlled) for source in sources if source != to]
    for element in solution.inquiry.network.forced:
        if element.controlled:
            to = solution.node(element.current[0])
            sources = dict.fromkeys(solution.node(n) for n in _sensed(solution, element))
            edges += [(source, to, own.get(to, 1.0), True) for source in sources if source != to]
    for source, to, size, guided in edges:
        # Nothing is passed on through ground, nor through a node that does not move (a virtual ground).
        if solution.inquiry.network.ground in (source, to) or source in still or (to in still and to != stop):
            continue
        share = max(size / own.get(to, size), WEAKEST)
        weight = 1.0 - (GUIDED if guided else 1.0) * log10(min(share, 1.0))
        if not graph.has_edge(source, to) or graph[source][to]["weight"] > weight:
            graph.add_edge(source, to, weight=weight)
    if start not in graph or stop not in graph:
        return None
    try:
        return list(networkx.shortest_path(graph, start, stop, weight="weight"))
    except networkx.NetworkXNoPath:
        return None


def _sensed(solution: Solution, element: Element) -> Sequence[str]:
    """The nodes that a forced element senses: for the output of an op amp of finite gain, its inputs."""
    inner = follows(element)
    if inner is None:
        return element.voltage
    into = (e for e in solution.inquiry.network.elements if e.controlled and inner in e.current)
    return [node for e in into for node in e.voltage]


def _size(element: Element, number: float, omega: float) -> float:
    match element.law:
        case "resistance":
            return 1 / number if number else 1e12
        case "capacitance":
            return omega * number
        case "inductance":
            return 1 / (omega * number) if number else 1e12
        case _:
            return abs(number)


def _link(shared: tuple[Solution, Style, Sequence[Resolved], Ground], source: str, to: str) -> Link:
    solution, style, statements, ground = shared
    reference = solution.inquiry.network.ground
    if source:
        exact = solution.ratio((to, reference), (source, reference))
    else:
        exact = answer(solution.at_edge((to, reference)), solution.numbers, solution.ring)
    form = _short_form(style, exact.ratio)
    reduced: Approximate | None = approximate(exact, statements, ground) if statements else None
    reduced_form = None
    if reduced is not None and reduced.reduced.ratio is not None:
        reduced_form = _short_form(style, reduced.reduced.ratio)
    name = Quotient(Volt(to), Volt(source) if source else PORT_CURRENT)
    spot = exact.spectrum.at_frequency(solution.spot)
    link = Link(source, to, name, exact, form, spot, reduced, reduced_form)
    if (form.tree is None or form.named) and link.told is None:
        found = shortest(exact, statements, ground, style, grid=COARSE)
        if found is None or not found.reached:
            found = shortest(exact, statements, ground, style)
        return replace(link, short=found if found is not None and found.error.worst <= ROUGH else None)
    return link


def _short_form(style: Style, ratio: Ratio | None) -> Form:
    """A link's form, if it can be seen at once: a table of links has no room for more."""
    if ratio is None or sum(ratio.counts) > MOST_IN_A_LINK:
        return Form(None)
    return present(style, ratio)


def _product(spectra: Sequence[Spectrum]) -> Spectrum:
    above, below = [Fraction(1)], [Fraction(1)]
    for spectrum in spectra:
        above, below = multiplied(above, spectrum.numerator), multiplied(below, spectrum.denominator)
    return from_coefficients(above, below)


def _require_product(links: Sequence[Link], exact: Spectrum) -> None:
    if _product([link.exact.spectrum for link in links]) != exact:
        raise Defect("the links of a stage chain do not multiply up to the gain")
