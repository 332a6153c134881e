"""An answer as a formula that can be read at once: exact where that is short, else in short within an error.

Enters: a name, what is asked, its exact answer, a prepared circuit. Leaves: checked steps. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from derive.answers.records import Exact
from derive.approximate.records import Resolved
from derive.circuit.records import Ask, Question
from derive.derivation.records import Shortened, Step
from derive.derivation.results import exact_steps
from derive.derivation.short import Case, short_form
from derive.expression.tree import Name, Sym, walk
from derive.forms.present import Form, present
from derive.structure.shortest import DEFAULT

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared

AT_ONCE = 6
"""Symbols up to which an exact formula is not shortened."""


@dataclass(frozen=True)
class Written:
    """The first step holds the formula, the others what is named in it. ``shortened`` None where it is exact."""

    steps: tuple[Step, ...]
    shortened: Shortened | None


def written(
    name: Name,
    ask: Ask,
    exact: Exact,
    prepared: Prepared,
    statements: Sequence[Resolved],
    within: Fraction | None = None,
) -> Written | None:
    """The formula; with ``within`` always one that may be off by so much. None for zero, and where none is readable."""
    if not any(exact.spectrum.numerator):
        return None
    form = present(prepared.style, exact.ratio) if exact.ratio is not None else Form(None)
    if within is None and _is_short(form):
        spot = exact.spectrum.at_frequency(prepared.ground.spot)
        return Written(exact_steps(name, exact, form, prepared.ground.numbers, spot), None)
    question = Question(name.name, ask, (), within or DEFAULT)
    found = short_form(Case(question, exact, form, None, None, statements), prepared.ground, prepared.style)
    return None if found is None else Written(found.steps, found)


def _is_short(form: Form) -> bool:
    if form.tree is None or not form.complete or form.coefficients:
        return False
    return sum(isinstance(part, Sym) for part in walk(form.tree)) <= AT_ONCE
