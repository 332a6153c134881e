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
    criteria = tuple(_met(analysis, answers, criterion) for criterion in analysis.circuit.wanted.criteria)
    told("solving for parts")
    solved = tuple(_solved(analysis, answers, target) for target in analysis.circuit.wanted.targets)
    told("holding measurements against the answers")
    benches = measure(analysis.circuit, analysis.bias)
    return replace(analysis, tolerances=tolerances, criteria=criteria, solved=solved, benches=benches)


def _met(analysis: Analysis, answers: Answers, criterion: Criterion) -> Met:
    frequency = float(criterion.frequency)
    z = np.complex128(answers.value(analysis.network, criterion.of, frequency))
    with np.errstate(all="ignore"):
        return Met(criterion, float(MEASURES[criterion.quantity].take(z, frequency)))


def _tolerances(analysis: Analysis, answers: Answers) -> Tolerances | None:
    inquiries = {d.question.name: d.exact.inquiry for d in analysis.derivations}
    for criterion in analysis.circuit.wanted.criteria:
        if criterion.of not in inquiries:
            what = f"{criterion.name}: {criterion.of} is infinite whatever the numbers"
            raise analysis.circuit.source.error(criterion.path, what, "ask for something finite")
    try:
        return study(answers, analysis.network, inquiries)
    except Lost:
        # A device on the very edge of a region: the bias point's own range says so on the sheet.
        return None


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
