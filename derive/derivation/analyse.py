"""The order of the stages from a checked circuit to everything derived from it.

Enters: a circuit. Leaves: the analysis. What goes wrong on the way is told with its place in the description.
Must not know: LaTeX, files other than through the circuit's source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import pi

from derive.algebra.ring import Ring
from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import Unanswerable, inquire, return_ratio
from derive.answers.records import Inquiry
from derive.approximate.records import Resolved
from derive.approximate.reduce import Ground
from derive.approximate.resolve import Misstated, resolve
from derive.circuit.records import Circuit, Gain, Question
from derive.derivation.analysis import Analysis, Loop
from derive.derivation.derive import Sheet, derive_question
from derive.derivation.records import Derivation
from derive.derivation.solution import Solution
from derive.errors import Defect, TooLarge
from derive.forms.laurent import Style
from derive.forms.present import style_of
from derive.network.build import build
from derive.network.records import Network
from derive.opinion.numeric import value_by_nodal_matrix

AGREES = 1e-6
"""Largest relative difference from the plain nodal solution (double precision, cancelling circuits included)."""


def prepare(circuit: Circuit) -> tuple[Network, Ground, Style, tuple[Resolved, ...]]:
    """The network of a circuit with its ring and numbers, and the statements resolved."""
    network = build(circuit)
    names = [element.name for element in network.elements]
    ring = Ring.of(names)
    ground = Ground(network.values(), ring, circuit.about.band, circuit.about.spot)
    style = style_of(ring, {e.name: e.law for e in network.elements}, ground.numbers)
    try:
        statements = resolve(circuit.statements, network, ring)
    except Misstated as error:
        key = ("that",) if error.statement.relation is not None else ()
        raise circuit.source.error((*error.statement.path, *key), error.what, error.remedy) from None
    return network, ground, style, statements


def inquiries(circuit: Circuit, network: Network) -> list[Inquiry]:
    """The inquiry of each question, in order."""
    found = []
    for question in circuit.questions:
        with placed(circuit, question):
            found.append(inquire(question, network))
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
    except (Unanswerable, TooLarge) as error:
        raise circuit.source.error(question.path, f"{question.name}: {error}", "") from None


def analyse(circuit: Circuit, told: Callable[[str], None] = lambda _: None) -> Analysis:
    """Derives every question of a circuit; ``told`` is called with what is being worked on."""
    network, ground, style, statements = prepare(circuit)
    asked = inquiries(circuit, network)
    sheet = Sheet(network, ground, style, statements, {})
    derivations = []
    for question in circuit.questions:
        told(question.name)
        with placed(circuit, question):
            derivations.append(derive_question(question, sheet))
    worst = max((_difference(d, i, ground) for d, i in zip(derivations, asked, strict=True)), default=0.0)
    return Analysis(
        circuit,
        network,
        ground,
        style,
        statements,
        tuple(derivations),
        _response(circuit, network, ground),
        _loops(network, ground),
        worst,
    )


def _difference(derivation: Derivation, inquiry: Inquiry, ground: Ground) -> float:
    """Relative difference between the exact answer at the spot and a plain nodal solution; raises Defect."""
    s = 2j * pi * float(ground.spot)
    other = value_by_nodal_matrix(inquiry, ground.numbers, s)
    size = max(abs(derivation.spot), abs(other))
    difference = abs(derivation.spot - other) / size if size else 0.0
    if not difference <= AGREES and abs(derivation.spot - other) > 1e-15:
        name = derivation.question.name
        raise Defect(f"{name}: the nodal solution at the spot gives {other}, the kernel {derivation.spot}")
    return difference


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
