"""What follows from the answers for practice: tolerances, parts solved for, measurements.

Enters: an analysis. Leaves: the same with these. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from derive.answers.anew import Answers
from derive.answers.measures import MEASURES
from derive.bench.study import study as measure
from derive.circuit.wanted import Criterion, Target
from derive.derivation.analysis import Analysis
from derive.solving.records import Solved
from derive.solving.solve import Formulas, Unsolvable, solve
from derive.tolerance.levers import Lost
from derive.tolerance.records import Met, Tolerances
from derive.tolerance.study import study


def practise(analysis: Analysis, told: Callable[[str], None] = lambda _: None) -> Analysis:
    """Everything of these that the description asks for. Raises DescriptionError."""
    answers = Answers(analysis.circuit, analysis.bias)
    told("carrying the tolerances through")
    tolerances = _tolerances(analysis, answers)
    told("solving for parts")
    solved = tuple(_solved(analysis, answers, target) for target in analysis.circuit.wanted.targets)
    told("holding measurements against the answers")
    benches = measure(analysis.circuit, analysis.bias)
    return replace(with_criteria(analysis), tolerances=tolerances, solved=solved, benches=benches)


def with_criteria(analysis: Analysis) -> Analysis:
    """The analysis with its criteria held against the answers alone. Raises DescriptionError."""
    _check_criteria(analysis)
    answers = Answers(analysis.circuit, analysis.bias)
    criteria = tuple(_met(analysis, answers, criterion) for criterion in analysis.circuit.wanted.criteria)
    return replace(analysis, criteria=criteria)


def _check_criteria(analysis: Analysis) -> None:
    finite = {d.question.name for d in analysis.derivations}
    for criterion in analysis.circuit.wanted.criteria:
        if criterion.of not in finite:
            what = f"{criterion.name}: {criterion.of} is infinite whatever the numbers"
            raise analysis.circuit.source.error(criterion.path, what, "ask for something finite")


def _met(analysis: Analysis, answers: Answers, criterion: Criterion) -> Met:
    frequency = float(criterion.frequency)
    z = np.complex128(answers.value(analysis.network, criterion.of, frequency))
    with np.errstate(all="ignore"):
        return Met(criterion, float(MEASURES[criterion.quantity].take(z, frequency)))


def _tolerances(analysis: Analysis, answers: Answers) -> Tolerances | None:
    inquiries = {d.question.name: d.exact.inquiry for d in analysis.derivations}
    _check_criteria(analysis)
    try:
        return study(answers, analysis.network, inquiries)
    except Lost as fault:
        return Tolerances((), (), analysis.circuit.wanted.chance, False, (), None, str(fault))


def _solved(analysis: Analysis, answers: Answers, target: Target) -> Solved:
    derivation = next((d for d in analysis.derivations if d.question.name == target.of), None)
    error = analysis.circuit.source.error
    if derivation is None:
        raise error(target.path, f"{target.of} is infinite whatever the numbers", "ask for something finite")
    reduced = derivation.approximate.reduced.ratio if derivation.approximate is not None else None
    try:
        return solve(answers, analysis.network, target, Formulas(derivation.exact.ratio, reduced))
    except Unsolvable as fault:
        raise error(target.path, str(fault), "name a part that the answer depends on") from None
