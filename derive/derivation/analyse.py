"""The order of the stages from a checked circuit to everything derived from it.

Enters: a circuit. Leaves: the analysis. What goes wrong on the way is told with its place in the description.
Must not know: LaTeX, files other than through the circuit's source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from math import isfinite, pi

from derive.algebra.ring import Ring
from derive.answers.exact import NoSolution, is_infinite, spectrum
from derive.answers.inquire import Unanswerable, inquire, return_ratio
from derive.answers.records import Exact, Inquiry
from derive.approximate.misstated import Misstated
from derive.approximate.records import Resolved
from derive.approximate.reduce import Ground
from derive.approximate.resolve import resolve
from derive.bias.records import Bias, Unsolved
from derive.bias.solve import solve
from derive.circuit.records import Circuit, Gain, Impedance, Question, ReturnRatio
from derive.derivation.analysis import Analysis, Infinite, Loop
from derive.derivation.derive import Sheet, derive_question
from derive.derivation.proposals import with_proposals
from derive.derivation.records import Derivation
from derive.derivation.solution import Solution
from derive.derivation.wording import asked
from derive.errors import Defect, TooLarge
from derive.forms.laurent import Style
from derive.forms.present import style_of
from derive.hand.claimed import judge_claim
from derive.hand.matter import Matter
from derive.network.build import build
from derive.network.model import Unfit
from derive.network.records import Network
from derive.opinion.numeric import solve_nodal_matrix

AGREES = 1e-6
"""Largest relative difference from the plain nodal solution (double precision, cancelling circuits included)."""


@dataclass(frozen=True)
class Prepared:
    """A circuit with its bias point, its network with ring and numbers, and the statements resolved."""

    circuit: Circuit
    bias: Bias | Unsolved | None
    network: Network
    ground: Ground
    style: Style
    statements: tuple[Resolved, ...]


def prepare(circuit: Circuit) -> Prepared:
    """Everything that is done before the first question. Raises DescriptionError."""
    bias = solve(circuit)
    if isinstance(bias, Unsolved) and bias.needed:
        raise circuit.source.error(bias.path, bias.what, bias.remedy)
    try:
        network = build(circuit, bias.point if isinstance(bias, Bias) else None)
    except Unfit as error:
        raise circuit.source.error(error.path, error.what, error.remedy) from None
    ring = Ring.of(element.name for element in network.elements if element.symbol is not None)
    ground = Ground(network.values(), ring, circuit.about.band, circuit.about.spot)
    style = style_of(ring, {e.name: e.law for e in network.elements}, ground.numbers)
    try:
        statements = resolve(circuit.statements, network, ring, circuit.about.band)
    except Misstated as error:
        raise circuit.source.error(error.statement.path, error.what, error.remedy) from None
    return Prepared(circuit, bias, network, ground, style, statements)


def inquiries(prepared: Prepared) -> list[Inquiry]:
    """The inquiry of each question with a finite answer, in order."""
    circuit, network = prepared.circuit, prepared.network
    found = []
    for question in circuit.questions:
        with placed(circuit, question):
            inquiry = inquire(question, network)
            if not (isinstance(question.ask, Impedance | ReturnRatio) and is_infinite(inquiry)):
                found.append(inquiry)
    return found


@contextmanager
def placed(circuit: Circuit, question: Question) -> Iterator[None]:
    """What goes wrong inside is told with the line of the question."""
    try:
        yield
    except NoSolution:
        raise circuit.source.error(
            question.path,
            f"{question.name} has no finite value: the network's determinant is zero, so a voltage is undetermined",
            "look for a node without a path to ground, an op amp without feedback, or a lifted part that held a node",
        ) from None
    except Misstated as error:
        raise circuit.source.error(error.statement.path, error.what, error.remedy) from None
    except (Unanswerable, TooLarge) as error:
        raise circuit.source.error(question.path, f"{question.name}: {error}", "") from None


def analyse(circuit: Circuit, told: Callable[[str], None] = lambda _: None) -> Analysis:
    """Derives every question of a circuit; ``told`` is called with what is being worked on."""
    return derive_all(prepare(circuit), told)


def prepared_of(analysis: Analysis) -> Prepared:
    """What an analysis was made from."""
    return Prepared(
        analysis.circuit, analysis.bias, analysis.network, analysis.ground, analysis.style, analysis.statements
    )


def derive_all(prepared: Prepared, told: Callable[[str], None] = lambda _: None) -> Analysis:
    """As ``analyse``, for a circuit that is prepared."""
    circuit, network, ground = prepared.circuit, prepared.network, prepared.ground
    style = prepared.style
    finite = {inquiry.name: inquiry for inquiry in inquiries(prepared)}
    proposed = with_proposals(
        circuit.questions, finite, prepared.statements, network, ground, lambda name: told(f"statements for {name}")
    )
    sheet = Sheet(network, ground, style, proposed.statements, {}, tolerances(circuit), proposed.proposals)
    derivations = []
    for question in circuit.questions:
        if question.name in finite:
            told(question.name)
            with placed(circuit, question):
                derivations.append(derive_question(question, sheet))
    answers = {d.question.name: matter_of(prepared, d.question, d.exact) for d in derivations}
    infinite = tuple(Infinite(q, asked(q, network)) for q in circuit.questions if q.name not in finite)
    worst = max((_difference(d, finite[d.question.name], ground) for d in derivations), default=0.0)
    return Analysis(
        circuit,
        network,
        ground,
        style,
        proposed.statements,
        tuple(derivations),
        infinite,
        _response(circuit, network, ground),
        _loops(network, ground),
        worst,
        prepared.bias,
        tuple(judge_claim(claim, answers) for claim in circuit.claims),
    )


def matter_of(prepared: Prepared, question: Question, exact: Exact) -> Matter:
    """What a result by hand about a question is judged against."""
    statements = tuple(
        s for s in prepared.statements if not s.statement.questions or question.name in s.statement.questions
    )
    point = prepared.bias.point if isinstance(prepared.bias, Bias) else None
    return Matter(
        prepared.circuit, prepared.network, prepared.ground, prepared.style, question, exact, statements, point
    )  # fmt: skip


def tolerances(circuit: Circuit) -> dict[str, Fraction]:
    """The tolerances of the parts that are symbols themselves, as fractions; devices follow from the bias point."""
    return {
        name: part.values["tolerance"].value
        for name, part in circuit.parts.items()
        if part.kind in ("resistor", "capacitor", "inductor", "transconductance") and "tolerance" in part.values
    }


def _difference(derivation: Derivation, inquiry: Inquiry, ground: Ground) -> float:
    """Relative difference between the exact answer and a plain nodal solution; raises Defect when it is too large.

    Taken at the spot, or at the lower end of the band where the spot is zero, a pole or a resonance without loss.
    """
    name = derivation.question.name
    for frequency in (ground.spot, ground.band[0]):
        ours = derivation.exact.spectrum.at_frequency(frequency)
        if not frequency or not isfinite(abs(ours)):
            continue
        try:
            other = solve_nodal_matrix(inquiry, ground.numbers, 2j * pi * float(frequency))
        except ArithmeticError:
            continue
        break
    else:
        raise Defect(f"{name}: the nodal equations are singular both at the spot and at the lower end of the band")
    size = max(abs(ours), abs(other.value))
    off = abs(ours - other.value)
    if off > AGREES * size and off > 10 * other.error:
        raise Defect(f"{name}: the nodal solution at {float(frequency)} Hz gives {other.value}, the kernel {ours}")
    return off / size if size and off > other.error else 0.0


def _response(circuit: Circuit, network: Network, ground: Ground) -> dict[str, complex] | None:
    gain = next((q for q in circuit.questions if isinstance(q.ask, Gain)), None)
    if gain is None:
        return None
    solution = Solution(inquire(gain, network), ground.numbers, ground.ring, ground.spot)
    with placed(circuit, gain):
        return dict(solution.spots)


def _loops(network: Network, ground: Ground) -> tuple[Loop, ...]:
    """The return ratio of every controlled source; one without a finite value is left out."""
    found = []
    for element in network.elements:
        if element.controlled:
            try:
                value = spectrum(return_ratio(element.name, network, element.name), ground.numbers)
            except NoSolution:
                continue
            at_spot = value.at_frequency(ground.spot)
            size = abs(1 + at_spot)
            sense = "none" if abs(size - 1) < 1e-9 else "negative" if size > 1 else "positive"
            found.append(Loop(element.name, at_spot, sense))
    return tuple(found)
