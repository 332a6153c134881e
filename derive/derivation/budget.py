"""The budget of a port: which part draws how much of the current that flows into it.

Enters: the solution of an impedance's inquiry. Leaves: the budget, its shares checked to add to one.
Must not know: LaTeX.

Kirchhoff at the node that is looked into: Y = Σ y (1 - v_far/v) + Σ g v_control/v over all that touches it.
"""

from __future__ import annotations

from fractions import Fraction
from math import isfinite, pi

from derive.algebra.spectrum import Spectrum, from_coefficients
from derive.answers.exact import spectrum as response
from derive.derivation.checks import equal
from derive.derivation.kirchhoff import current_term, per_unit
from derive.derivation.records import Budget, Share, Step
from derive.derivation.solution import PORT_CURRENT, Solution
from derive.errors import Defect
from derive.expression.tree import total
from derive.forms.laurent import Style
from derive.forms.present import present
from derive.network.records import Element
from derive.words import Line, Node, Reading, Words

CLOSE = 1e-9
SHORT = 12
"""Terms up to which the formula for a far end is worked out."""


def budget(solution: Solution, style: Style) -> Budget | None:
    """The budget of the port's first node; None where an ideal source holds it, or nothing touches it alone."""
    shares = port_shares(solution, style)
    node = solution.node(solution.inquiry.port[0])
    touching = [e for e in solution.inquiry.network.elements if _touches(solution, e, node)]
    return Budget(node, shares, _law(solution, touching, node)) if shares else None


def port_shares(solution: Solution, style: Style | None) -> tuple[Share, ...]:
    """The shares of all that touches the port, largest first; () where there are none. Without a style no formulas."""
    inquiry = solution.inquiry
    node, other = (solution.node(n) for n in inquiry.port)
    held = {solution.node(n) for e in inquiry.network.forced if e.controlled for n in e.current}
    if node in held or node == inquiry.network.ground or inquiry.excitation != "current":
        return ()
    port = solution.at_spot(node) - solution.at_spot(other)
    if port == 0 or not isfinite(abs(port)):
        return ()
    touching = [e for e in inquiry.network.elements if _touches(solution, e, node)]
    shares = tuple(_share(solution, style, element, node, port) for element in touching)
    if not all(isfinite(abs(s.share)) for s in shares):
        return ()
    # At a resonance the shares are huge and opposite: they add to one within the rounding of the largest.
    if shares and abs(sum(s.share for s in shares) - 1) > CLOSE * max(1.0, sum(abs(s.share) for s in shares)):
        raise Defect(f"the shares of the budget at {node} do not add to one")
    return tuple(sorted(shares, key=lambda s: -abs(s.share)))


def _touches(solution: Solution, element: Element, node: str) -> bool:
    ends = [solution.node(n) for n in element.current]
    return node in ends and ends[0] != ends[1]


def _law(solution: Solution, touching: list[Element], node: str) -> Step:
    """i = the sum of all currents away from the node, checked exactly."""
    terms = [current_term(solution, e, solution.node(e.current[0]) == node) for e in touching]
    reading = Reading(solution.spots[node], "Ω", style="magnitude")
    number: Words = (*per_unit(solution, node), " = ", reading)
    return equal(("Kirchhoff at ", Node(node)), (Line(PORT_CURRENT, "=", total(*terms)),), number, solution.trials)


def _share(solution: Solution, style: Style | None, element: Element, node: str, port: complex) -> Share:
    inquiry = solution.inquiry
    leaving = solution.node(element.current[0]) == node
    far = solution.node(element.current[1 if leaving else 0])
    current, spectrum = _current(solution, element, leaving)
    own = _own_impedance(element, solution.numbers[element.name], 2 * pi * float(solution.spot))
    if element.controlled:
        controls = sum(
            sign * solution.at_spot(n) for n, sign in zip(element.voltage, (1, -1), strict=True)
        )
        return Share(element.owner, element.name, far, own, None, complex(controls) / port, current, None, spectrum)
    other = solution.node(inquiry.port[1])
    if far == other:
        return Share(element.owner, element.name, far, own, 0j, None, current, None, spectrum)
    if style is None:
        across = (solution.at_spot(far) - solution.at_spot(other)) / port
        return Share(element.owner, element.name, far, own, across, None, current, None, spectrum)
    follows = solution.ratio((far, other), inquiry.port)
    at_spot = follows.spectrum.at_frequency(solution.spot)
    short = follows.ratio is not None and sum(follows.ratio.counts) <= SHORT
    # The formula is written for a port against ground, where the ratio is that of two node voltages.
    grounded = other == inquiry.network.ground
    form = present(style, follows.ratio) if short and grounded and follows.ratio is not None else None
    return Share(element.owner, element.name, far, own, at_spot, None, current, form, spectrum)


def _current(solution: Solution, element: Element, leaving: bool) -> tuple[complex, Spectrum]:
    """The current through an element away from the port for one ampere into it: at the spot, and as a spectrum.

    Taken from the spectrum of its voltage, in which s L cancels before zero frequency is put in.
    """
    voltage = response(solution.at_edge(element.voltage), solution.numbers)
    above, below = list(voltage.numerator), list(voltage.denominator)
    number = solution.numbers[element.name]
    match element.law:
        case "resistance":
            below = [number * c for c in below]
        case "capacitance":
            above = [Fraction(0), *(number * c for c in above)]
        case "inductance":
            below = [Fraction(0), *(number * c for c in below)]
        case _:
            above = [number * c for c in above]
    found = from_coefficients(above if leaving else [-c for c in above], below)
    return found.at_frequency(solution.spot), found


def _own_impedance(element: Element, value: Fraction, omega: float) -> complex:
    number = float(value)
    match element.law:
        case "resistance":
            return complex(number)
        case "capacitance":
            return 1 / (1j * omega * number) if omega and number else complex("inf")
        case "inductance":
            return 1j * omega * number
        case _:
            return complex(1 / number) if number else complex("inf")
