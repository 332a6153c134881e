"""What a part looks like when its far end follows its near end.

Enters: the solution of a bootstrap's inquiry. Leaves: a checked step.
Must not know: LaTeX.

The current into a part of admittance y from its near end is y (v_near - v_far) = y (1 - A) v_near: a resistance
appears divided by 1 - A, a capacitance multiplied by it.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.answers.exact import spectrum
from derive.answers.records import Exact
from derive.derivation.checks import equal
from derive.derivation.kirchhoff import current_term
from derive.derivation.records import Step
from derive.derivation.solution import Solution
from derive.expression.tree import ONE, Expr, Name, Quotient, S, Sym, Volt, negate, product, total
from derive.network.records import Element
from derive.words import Formula, Line, Reading, Words

UNITS = {"resistance": "Ω", "capacitance": "F", "inductance": "H"}


def seen_from_near_end(solution: Solution, name: Name, element: Element, near: str) -> tuple[Step, ...]:
    """The current into the part from its near end, in terms of A (``name``), and what the part appears as."""
    node = solution.node(near)
    ends = [solution.node(n) for n in element.current]
    if ends[0] == ends[1] or node not in ends or element.law not in UNITS:
        return ()
    symbol, following, volt = Sym(element.name), total(ONE, negate(name)), Volt(node)
    current = current_term(solution, element, ends[0] == node)
    trials = [{**trial, name: spectrum(solution.inquiry, trial).exactly_at(trial["s"])} for trial in solution.trials]
    spot = spectrum(solution.inquiry, solution.numbers).at_frequency(solution.spot)
    value = float(solution.numbers[element.name])
    appears: Expr
    if element.law == "capacitance":
        right, appears, factor = product(S, symbol, following, volt), product(symbol, following), 1 - spot
    else:
        below = symbol if element.law == "resistance" else product(S, symbol)
        right, appears = Quotient(product(following, volt), below), Quotient(symbol, following)
        factor = 1 / (1 - spot) if spot != 1 else complex("inf")
    number: Words = (Formula(appears), " = ", Reading(value * factor, UNITS[element.law], style="magnitude"))
    note: Words = ("the part's own value times ", Reading(factor, "1", style="magnitude"))
    rule: Words = ("current into ", Formula(symbol), ", and what the part appears as")
    return (equal(rule, (Line(current, "=", right),), number, trials, note),)


def only_path(name: Name, solution: Solution, exact: Exact, parts: Sequence[str | None]) -> tuple[Step, ...]:
    """Z = R/(1 - A) where one of the parts is all that touches the port; () otherwise."""
    port = solution.node(solution.inquiry.port[0])
    touching = [e for e in solution.inquiry.network.elements if port in {solution.node(n) for n in e.current}]
    if len(touching) != 1 or touching[0].owner not in parts or touching[0].law != "resistance":
        return ()
    (element,) = touching
    far = next(solution.node(n) for n in element.current if solution.node(n) != port)
    volt = solution.volt(far)
    following = total(ONE, negate(Quotient(volt, Volt(port)))) if volt is not None else ONE
    trials = [{**trial, name: spectrum(exact.inquiry, trial).exactly_at(trial["s"])} for trial in solution.trials]
    reading = Reading(exact.spectrum.at_frequency(solution.spot), "Ω", style="magnitude")
    rule: Words = ("exactly, since ", Formula(Sym(element.name)), " is the only path")
    return (equal(rule, (Line(name, "=", Quotient(Sym(element.name), following)),), (reading,), trials),)
