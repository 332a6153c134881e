"""A transfer in a network as algebra: its exact form where that can be read, else the shortest within an error.

Enters: an exact answer, the name to print it under. Leaves: checked steps. Must not know: questions, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from derive.answers.exact import spectrum
from derive.answers.records import Exact
from derive.approximate.records import Resolved
from derive.approximate.reduce import Ground
from derive.derivation.checks import approximate, equal, remark
from derive.derivation.records import Step
from derive.derivation.results import exact_steps
from derive.derivation.short import FIFTY, NAMED
from derive.derivation.wording import error_words, spot_error_words
from derive.expression.tree import Call, Name, walk
from derive.expression.tree import evaluate as value_of
from derive.forms.laurent import Style
from derive.forms.present import READABLE, Form, present
from derive.forms.trial import points
from derive.structure.records import Piece, Short
from derive.structure.shortest import DEFAULT, shortest
from derive.words import Line, Reading, Words


def transfer_steps(
    name: Name,
    rule: Words,
    exact: Exact,
    ground: Ground,
    style: Style,
    statements: Sequence[Resolved] = (),
    within: Fraction = DEFAULT,
    *,
    alone: bool = False,
) -> tuple[Step, ...]:
    """The transfer under ``name``, its number at the spot beside it; one step says so where nothing can be
    read. ``alone``: it is evaluated at the spot alone, so that the error is told there alone."""
    value = exact.spectrum.at_frequency(ground.spot)
    form = present(style, exact.ratio) if exact.ratio is not None else Form(None)
    if form.tree is not None and not form.coefficients and style.cost(form.tree) <= READABLE:
        return tuple(_named(step, rule) for step in exact_steps(name, exact, form, ground.numbers, value))
    found = shortest(exact, statements, ground, style, within)
    if found is None or not found.reached:
        number: Words = (Reading(value, exact.inquiry.unit, style="magnitude"),)
        return (remark((*rule, ": too long to print"), number, ("its value is computed from all of its terms",)),)
    return _short(name, rule, exact, found, ground, alone)


def _named(step: Step, rule: Words) -> Step:
    return Step(rule, step.lines, step.number, step.evidence, step.note, step.kind)


def _short(
    name: Name, rule: Words, exact: Exact, found: Short, ground: Ground, alone: bool
) -> tuple[Step, ...]:
    unit = exact.inquiry.unit
    written = found.written
    number: Words = (Reading(found.spectrum.at_frequency(ground.spot), unit, style="magnitude"),)
    if not found.exact:
        lines = (Line(name, "≈", written.tree),)
        error = found.error
        told = spot_error_words(error, float(ground.spot)) if alone else error_words(error)
        made = [approximate(rule, lines, number, error.spot if alone else error.worst, told)]
    elif any(isinstance(part, Call) for p in written.pieces for part in walk(p.tree)):
        made = [Step(rule, (Line(name, "=", written.tree),), number, FIFTY)]
    else:
        trials = [_trial(name, exact, written.pieces, point) for point in points(ground.ring.names)]
        made = [equal(rule, (Line(name, "=", written.tree),), number, trials)]
    for piece in written.pieces:
        reading: Words = (Reading(piece.value, piece.unit, style="magnitude"),)
        made.append(Step(("within it",), (Line(piece.name, ":=", piece.tree),), reading, NAMED))
    return tuple(made)


def _trial(name: Name, exact: Exact, pieces: Sequence[Piece], point: Mapping[str, Fraction]) -> dict[Any, Any]:
    values: dict[Any, Any] = dict(point)
    for piece in pieces:
        values[piece.name] = value_of(piece.tree, values)
    values[name] = spectrum(exact.inquiry, point).exactly_at(point["s"])
    return values
