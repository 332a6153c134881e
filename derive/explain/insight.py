"""How a circuit works, from every side: motions and duties, loops and connections, and the second roads.

Enters: a prepared circuit. Leaves: one record. Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from derive.derivation.analyse import Prepared, placed
from derive.explain.explain import Explanation, explain
from derive.explain.loop_survey import Survey, survey
from derive.explain.theory import Theory, theories
from derive.explain.written import Written


@dataclass(frozen=True)
class Insight:
    """``explanations``: of each gain; ``survey``: of loops and connections, or None where
    these were not looked at; ``theories``: second roads by question."""

    explanations: tuple[Explanation, ...]
    survey: Survey | None
    theories: Mapping[str, Theory]


def look(
    prepared: Prepared, known: Mapping[str, Written] | None = None, told: Callable[[str], None] = lambda _: None
) -> Insight:
    """All of it; ``known``: formulas of answers that are found already. Raises DescriptionError, Defect."""
    told("looking at how the signal travels")
    explanations = explanations_of(prepared)
    told("looking at loops and connections")
    surveyed = survey(prepared, known=known)
    told("taking the second roads")
    return Insight(explanations, surveyed, {one.question.name: one for one in theories(prepared)})


def explanations_of(prepared: Prepared) -> tuple[Explanation, ...]:
    """How the circuit works, for each gain that is asked."""
    found = []
    for question in prepared.circuit.questions:
        with placed(prepared.circuit, question):
            found.append(explain(question, prepared.circuit, prepared.network, prepared.ground))
    return tuple(e for e in found if e is not None)
