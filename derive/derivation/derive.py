"""All that is said about one question: equations, elimination, exact form, structure, approximations.

Enters: the question, the network, the statements. Leaves: a derivation in which every step was checked.
Must not know: LaTeX, pages, files.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import answer, spectrum
from derive.answers.inquire import inquire
from derive.answers.records import Exact
from derive.approximate.certify import certify
from derive.approximate.error import HOLDS_WITHIN
from derive.approximate.records import Approximate, Resolved
from derive.approximate.reduce import Ground, approximate
from derive.circuit.records import Bootstrap, Gain, Impedance, Question
from derive.derivation.bootstrap import only_path, seen_from_near_end
from derive.derivation.budget import budget
from derive.derivation.certified import with_bounds
from derive.derivation.chain import chain
from derive.derivation.checks import equal
from derive.derivation.corners import corner_steps
from derive.derivation.elimination import eliminate
from derive.derivation.insides import numbers_of
from derive.derivation.kirchhoff import Equation, equations, steps
from derive.derivation.loops import closing_step
from derive.derivation.records import Chain, Derivation, Step
from derive.derivation.refusals import refuse_infinite_gains
from derive.derivation.remarks import remarks
from derive.derivation.results import approximation_steps, exact_steps
from derive.derivation.short import Case, short_form
from derive.derivation.solution import PORT_CURRENT, Solution
from derive.derivation.wording import asked
from derive.expression.tree import Name, Quotient, Volt, negate, total
from derive.forms.laurent import Style
from derive.forms.present import APPROXIMATE, Form, present
from derive.network.records import Network
from derive.proposal.records import Proposal
from derive.words import Line, Reading

FEW_EQUATIONS = 6
"""Up to so many equations each answer prints all of its own, though another has printed some of them."""


@dataclass
class Sheet:
    """What the derivations of one sheet share; remembers which equations were printed under which question."""

    network: Network
    ground: Ground
    style: Style
    statements: Sequence[Resolved]
    printed: dict[tuple[Line, ...], str]
    tolerances: Mapping[str, Fraction] = field(default_factory=dict)
    """Of symbols, as fractions of their values."""
    proposals: Mapping[str, Proposal] = field(default_factory=dict)
    lines: dict[Line, str] = field(default_factory=dict)
    """Under which question each single equation was printed."""

    def statements_for(self, question: Question) -> tuple[Resolved, ...]:
        """The author's in the order of the description, then the proposed ones in their order."""
        given = tuple(
            s
            for s in self.statements
            if not s.statement.proposed and question.name in (s.statement.questions or (question.name,))
        )
        proposal = self.proposals.get(question.name)
        return given + (proposal.statements if proposal else ())


def derive_question(question: Question, sheet: Sheet) -> Derivation:
    """The derivation of one question. Raises Defect when a check fails, NoSolution, Unanswerable, TooLarge."""
    ground = sheet.ground
    inquiry = inquire(question, sheet.network)
    exact = answer(inquiry, ground.numbers, ground.ring)
    spot = exact.spectrum.at_frequency(ground.spot)
    form = present(sheet.style, exact.ratio) if exact.ratio is not None else Form(None)
    name = Name(question.name)
    solution = Solution(inquiry, ground.numbers, ground.ring, ground.spot)
    found = equations(solution)
    same = sheet.printed.setdefault(tuple(e.line for e in found), question.name)
    told = steps(solution, found) if same == question.name else ()
    known = {step.lines[0]: sheet.lines[step.lines[0]] for step in told if step.lines[0] in sheet.lines}
    # A few equations are repeated, so that each answer can be read by itself; many are not.
    known = known if len(told) > FEW_EQUATIONS else {}
    for step in told:
        sheet.lines.setdefault(step.lines[0], question.name)
    statements = sheet.statements_for(question)
    within = HOLDS_WITHIN if question.accuracy is None else float(question.accuracy)
    reduced = approximate(exact, statements, ground, within=within) if statements else None
    refuse_infinite_gains(question.name, reduced, statements, sheet.network)
    if reduced is not None and question.certify:
        reduced = replace(reduced, certified=certify(exact, reduced, statements, ground, sheet.tolerances))
    reduced_form = _reduced_form(reduced, sheet.style)
    case = Case(question, exact, form, reduced, reduced_form, statements)
    shortened = short_form(case, ground, sheet.style)
    if question.certify:
        shortened = with_bounds(shortened, ground, sheet.tolerances)
    return Derivation(
        question=question,
        exact=exact,
        form=form,
        spot=spot,
        asked=asked(question, sheet.network),
        same_equations_as=same if same != question.name else None,
        equations=tuple(step for step in told if step.lines[0] not in known),
        others_as=tuple(dict.fromkeys(known.values())) if same == question.name else (),
        elimination=_elimination(question, solution, found, sheet.style),
        result=_port_step(question, solution, name, exact)
        + closing_step(solution, name, exact)
        + exact_steps(name, exact, form, ground.numbers, spot)
        + _insides(form if reduced is None or not any(e.used for e in reduced.effects) else None, sheet)
        + _bootstrapped(question, solution, name),
        corners=_corners(exact, reduced, sheet),
        chain=_chain(question, solution, sheet, statements, exact),
        budget=budget(solution, sheet.style) if isinstance(question.ask, Impedance) else None,
        approximate=reduced,
        approximate_form=reduced_form,
        approximations=_approximations(name, exact, reduced, statements, sheet)
        + (_insides(reduced_form, sheet) if reduced_form != form else ())
        + _only_path(name, solution, exact, reduced, statements),
        remarks=remarks(exact, reduced, sheet.network, ground, sheet.style),
        shortened=shortened,
        proposal=sheet.proposals.get(question.name),
    )


def _elimination(question: Question, solution: Solution, found: tuple[Equation, ...], style: Style) -> tuple[Step, ...]:
    """Elimination answers for a node against ground; a ratio within the network is left to the other roads."""
    inquiry = solution.inquiry
    if not isinstance(question.ask, Gain | Impedance) or inquiry.below is not None:
        return ()
    if inquiry.above[1] != inquiry.network.ground:
        return ()
    return eliminate(solution, found, style, Volt(solution.node(inquiry.above[0])))


def _port_step(question: Question, solution: Solution, name: Name, exact: Exact) -> tuple[Step, ...]:
    """Z = (v_plus - v_minus)/i where neither end of the port is ground; against ground it is the node's own number."""
    ends = [solution.volt(node) for node in solution.inquiry.port]
    if not isinstance(question.ask, Impedance) or ends[0] is None or ends[1] is None:
        return ()
    line = Line(name, "=", Quotient(total(ends[0], negate(ends[1])), PORT_CURRENT))
    trials = [{**t, name: spectrum(exact.inquiry, t).exactly_at(t["s"])} for t in solution.trials]
    reading = Reading(exact.spectrum.at_frequency(solution.spot), "Ω", style="magnitude")
    return (equal(("across the port",), (line,), (reading,), trials),)


def _bootstrapped(question: Question, solution: Solution, name: Name) -> tuple[Step, ...]:
    if not isinstance(question.ask, Bootstrap):
        return ()
    element = next((e for e in solution.inquiry.network.elements if e.owner == question.ask.part), None)
    return seen_from_near_end(solution, name, element, question.ask.near) if element is not None else ()


def _corners(exact: Exact, reduced: Approximate | None, sheet: Sheet) -> tuple[Step, ...]:
    numbers = sheet.ground.numbers
    found = corner_steps(sheet.style, exact.ratio, numbers) if exact.ratio is not None else ()
    if found or reduced is None or reduced.reduced.ratio is None:
        return found
    return corner_steps(sheet.style, reduced.reduced.ratio, numbers, exact.spectrum)


def _chain(
    question: Question, solution: Solution, sheet: Sheet, statements: Sequence[Resolved], exact: Exact
) -> Chain | None:
    if not isinstance(question.ask, Gain | Bootstrap):
        return None
    return chain(solution, sheet.style, statements, sheet.ground, exact.spectrum)


def _reduced_form(reduced: Approximate | None, style: Style) -> Form | None:
    if reduced is None or reduced.reduced.ratio is None:
        return None
    return present(style, reduced.reduced.ratio, APPROXIMATE)


def _insides(form: Form | None, sheet: Sheet) -> tuple[Step, ...]:
    return numbers_of(form, sheet.style, sheet.ground.numbers)


def _approximations(
    name: Name, exact: Exact, reduced: Approximate | None, statements: Sequence[Resolved], sheet: Sheet
) -> tuple[Step, ...]:
    if reduced is None:
        return ()

    def spot_of(spectrum: Spectrum) -> complex:
        return spectrum.at_frequency(sheet.ground.spot)

    return approximation_steps(name, exact, reduced, statements, sheet.style, sheet.ground.numbers, spot_of)


def _only_path(
    name: Name, solution: Solution, exact: Exact, reduced: Approximate | None, statements: Sequence[Resolved]
) -> tuple[Step, ...]:
    """Where an ideal bootstrap removed the only path, what it stands for is kept: Z = R/(1 - A)."""
    if reduced is None or reduced.reduced.spectrum is not None or exact.inquiry.excitation != "current":
        return ()
    parts = [s.statement.ideal_bootstrap for s in statements if s.statement.ideal_bootstrap]
    return only_path(name, solution, exact, parts)
