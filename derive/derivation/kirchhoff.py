"""Kirchhoff's current law at each node of an inquiry.

Enters: the solution of an inquiry. Leaves: equations, as trees for the page and as coefficients for elimination.
Must not know: how an answer is found, LaTeX.

A node that an ideal source holds has no equation of its own: the source's current is unknown. Nodes that such
currents join share one equation, and the constraint of the source takes its place.
"""

from __future__ import annotations

from dataclasses import dataclass

from derive.algebra.convert import ratio_of
from derive.algebra.ratio import Ratio, lowest_terms
from derive.derivation.checks import equal
from derive.derivation.records import Step
from derive.derivation.solution import PORT_CURRENT, Solution
from derive.expression.tree import ONE, ZERO, Expr, Quotient, S, Sym, Volt, negate, product, total
from derive.network.opamp import follows
from derive.network.records import Edge, Element
from derive.words import Formula, Inline, Line, Node, Reading, Words


@dataclass(frozen=True)
class Equation:
    """Σ coefficient · unknown = 0, with the line in which it is printed."""

    where: Words
    line: Line
    node: str | None
    coefficients: dict[Expr, Ratio]


def equations(solution: Solution) -> tuple[Equation, ...]:
    """One equation for each unknown voltage."""
    groups = _joined_by_unknown_currents(solution)
    found = [
        equation
        for node in solution.nodes
        if groups[node] == node and (equation := _node_equation(solution, node, groups)) is not None
    ]
    for element in solution.inquiry.network.forced:
        if element.controlled and (held := _held(solution, element, groups)) is not None:
            found.append(held)
    return tuple(found)


def steps(solution: Solution, found: tuple[Equation, ...]) -> tuple[Step, ...]:
    """The equations as steps, each checked against the kernel's solution."""
    made = []
    for equation in found:
        number: Words = ()
        if equation.node is not None:
            reading = Reading(solution.spots[equation.node], solution.unit, style="magnitude")
            number = (*per_unit(solution, equation.node), " = ", reading)
        made.append(equal(equation.where, (equation.line,), number, solution.trials, kind="law"))
    return tuple(made)


def per_unit(solution: Solution, node: str) -> Words:
    """What a node's number is: its voltage over the excitation."""
    port = solution.inquiry.port
    if solution.inquiry.excitation == "current":
        return (Formula(Quotient(Volt(node), solution.drive)),)
    if port[1] == solution.inquiry.network.ground:
        return (Formula(Quotient(Volt(node), Volt(solution.node(port[0])))),)
    return (Formula(Volt(node)), " per volt")


def _joined_by_unknown_currents(solution: Solution) -> dict[str, str]:
    """For each node the first node of its group; ground's name for nodes whose current law is not written."""
    inquiry = solution.inquiry
    group = {node: node for node in (*solution.nodes, *solution.follows, inquiry.network.ground)}

    def join(edge: Edge) -> None:
        first, second = group[solution.node(edge[0])], group[solution.node(edge[1])]
        keep, drop = (first, second) if first == inquiry.network.ground else (second, first)
        if drop == inquiry.network.ground:
            keep, drop = drop, keep
        for node, head in group.items():
            if head == drop:
                group[node] = keep

    for element in inquiry.network.forced:
        if element.controlled:
            join(element.current)
    if inquiry.excitation == "voltage":
        join(inquiry.port)
    return group


def _node_equation(solution: Solution, node: str, groups: dict[str, str]) -> Equation | None:
    members = {other for other, head in groups.items() if head == node}
    printed: list[Expr] = []
    coefficients: dict[Expr, Ratio] = {}
    for element in solution.inquiry.network.elements:
        ends = [solution.node(n) for n in element.current]
        if ends[0] == ends[1] or (ends[0] in members) == (ends[1] in members):
            continue
        leaving = ends[0] in members
        printed.append(current_term(solution, element, leaving))
        _collect(solution, coefficients, element, 1 if leaving else -1)
    injected = _injected(solution, members)
    if not printed:
        return None
    right: Expr = ZERO if injected == 0 else PORT_CURRENT if injected > 0 else negate(PORT_CURRENT)
    if injected:
        _add(solution, coefficients, PORT_CURRENT, ONE, -injected)
    names = [Node(member) for member in solution.nodes if member in members]
    where: list[Inline] = ["Kirchhoff at "]
    for place, name in enumerate(names):
        where += [" with "] if place else []
        where.append(name)
    return Equation(tuple(where), Line(total(*printed), "=", right), node if len(names) == 1 else None, coefficients)


def _injected(solution: Solution, members: set[str]) -> int:
    if solution.inquiry.excitation != "current":
        return 0
    port = [solution.node(n) for n in solution.inquiry.port]
    return (port[0] in members) - (port[1] in members)


def _held(solution: Solution, element: Element, groups: dict[str, str]) -> Equation | None:
    """What takes the place of Kirchhoff's law where a forced element supplies the current."""
    inner = follows(element)
    if inner is None or solution.node(inner) != inner:
        return _constraint(solution, element)
    # Joined to ground by an unknown current, the inner node has no law: the inputs are held together instead.
    return _amplifier(solution, element.owner, inner) if groups[inner] == inner else None


def _amplifier(solution: Solution, owner: str, inner: str) -> Equation:
    """V_plus - V_minus = V_out/a0 + s tau V_out: Kirchhoff's law at the inner node, with the output's own name."""
    coefficients: dict[Expr, Ratio] = {}
    sides: dict[bool, list[Expr]] = {True: [], False: []}
    for element in solution.inquiry.network.elements:
        if inner in element.current:
            leaving = element.current[0] == inner
            term = current_term(solution, element, leaving)
            sides[leaving].append(term if leaving else negate(term))
            _collect(solution, coefficients, element, 1 if leaving else -1)
    injected = _injected(solution, {inner})
    if injected:
        sides[False].append(solution.drive if injected > 0 else negate(solution.drive))
        _add(solution, coefficients, solution.drive, ONE, -injected)
    line = Line(total(*sides[False]), "=", total(*sides[True]))
    return Equation(("op amp ", Node(owner)), line, None, coefficients)


def _constraint(solution: Solution, element: Element) -> Equation:
    first, second = (solution.volt(n) for n in element.voltage)
    coefficients: dict[Expr, Ratio] = {}
    for volt, sign in ((first, 1), (second, -1)):
        if volt is not None:
            _add(solution, coefficients, volt, ONE, sign)
    line = Line(first, "=", second or ZERO) if first is not None else Line(second or ZERO, "=", ZERO)
    amplifier = "op amp " if follows(element) else "ideal op amp "
    what = amplifier if element.law == "unity" else "ideal device "
    return Equation((what, Node(element.owner)), line, None, coefficients)


def admittance(element: Element) -> Expr:
    """1/R, g, s C, 1/(s L), or the 1, 1/a and s tau of an op amp, as a tree."""
    symbol = Sym(element.name)
    match element.law:
        case "resistance" | "ratio":
            return Quotient(ONE, symbol)
        case "capacitance" | "delay":
            return product(S, symbol)
        case "inductance":
            return Quotient(ONE, product(S, symbol))
        case "unity":
            return ONE
        case _:
            return symbol


def current_term(solution: Solution, element: Element, leaving: bool) -> Expr:
    """The current through an element away from the node at its first end (leaving) or at its second."""
    first, second = (solution.volt(n) for n in element.voltage)
    if not element.controlled and not leaving:
        first, second = second, first
    difference = total(*((first,) if first is not None else ()), *((negate(second),) if second is not None else ()))
    symbol = Sym(element.name)
    match element.law:
        case "resistance" | "ratio":
            return Quotient(difference, symbol)
        case "inductance":
            return Quotient(difference, product(S, symbol))
        case "capacitance" | "delay":
            return product(S, symbol, difference)
        case _:
            term = product(admittance(element), difference)
            # Without a separate control (a transistor wired as a diode) the difference is turned already.
            return term if leaving or not element.controlled else negate(term)


def _collect(solution: Solution, coefficients: dict[Expr, Ratio], element: Element, sign: int) -> None:
    for name, direction in zip(element.voltage, (sign, -sign), strict=True):
        volt = solution.volt(name)
        if volt is not None:
            _add(solution, coefficients, volt, admittance(element), direction)


def _add(solution: Solution, coefficients: dict[Expr, Ratio], unknown: Expr, factor: Expr, sign: int) -> None:
    ring = solution.ring
    more = ratio_of(factor, ring)
    if unknown in coefficients:
        old = coefficients[unknown]
        above = old.above * more.below + sign * more.above * old.below
        coefficients[unknown] = lowest_terms(ring, above, old.below * more.below)
    else:
        coefficients[unknown] = Ratio(ring, sign * more.above, more.below)
    if coefficients[unknown].above.is_zero():
        del coefficients[unknown]
