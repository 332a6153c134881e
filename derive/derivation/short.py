"""The short form of an answer: its lines with their numbers, and what was done for it in words.

Enters: a question, its exact answer, statements. Leaves: a record of checked steps and sentences.
Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import inf, pi
from typing import Any

from derive.answers.exact import answer, spectrum
from derive.answers.records import Exact
from derive.approximate.records import Approximate, Resolved
from derive.approximate.reduce import Ground
from derive.circuit.records import Bootstrap, Question
from derive.derivation.checks import approximate, equal
from derive.derivation.insides import told
from derive.derivation.records import Shortened, Step
from derive.derivation.short_words import road_words
from derive.derivation.wording import error_words, holds_words, percent
from derive.expression.tree import ONE, Call, Expr, Name, Sym, negate, total, walk
from derive.expression.tree import evaluate as value_of
from derive.forms.laurent import Style
from derive.forms.present import READABLE, Form
from derive.forms.trial import points
from derive.structure.records import Piece, Short
from derive.structure.shortest import DEFAULT, shortest
from derive.structure.write import ONE_LINE
from derive.words import Formula, Line, Reading, Words

NAMED = "a name for a part of the form above, whose value was checked with it"
FIFTY = "equal to fifty digits at three random points"


@dataclass(frozen=True)
class Case:
    """What is known of one question when its short form is looked for."""

    question: Question
    exact: Exact
    form: Form
    reduced: Approximate | None
    reduced_form: Form | None
    statements: Sequence[Resolved]


def short_form(case: Case, ground: Ground, style: Style) -> Shortened | None:
    """The short form where the author asks for one, or where what is there is too long to read.

    Where statements were asked for within an accuracy, that is also where it takes more than a line, if the short form
    takes less.
    """
    within = case.question.within
    present = _least_cost(case, style)
    unasked = within is None
    if unasked and present <= (READABLE if case.question.accuracy is None else ONE_LINE):
        return None
    name, exact = _subject(case, ground)
    # Where statements were asked for within an accuracy, a form that is shown instead keeps it too.
    within = within or case.question.accuracy or DEFAULT
    found = shortest(exact, case.statements, ground, style, within)
    if found is None:
        return None
    if unasked and present <= READABLE and not (found.reached and found.written.cost < present):
        return None
    steps = _steps(case, name, exact, found, ground)
    if found.written.tree == ONE and name == Name(case.question.name) and exact.inquiry.unit == "V/V":
        steps += _missing(case, ground, style, within)
    return Shortened(name, exact, found, steps, road_words(exact, found, ground))


def _missing(case: Case, ground: Ground, style: Style, within: Fraction) -> tuple[Step, ...]:
    """What a gain of about one lacks of it: 1 - A, as an answer of its own, since A itself says little about it."""
    name, exact = _missing_to_one(case, ground)
    found = shortest(exact, case.statements, ground, style, within)
    return _steps(case, name, exact, found, ground) if found is not None and found.reached else ()


def _least_cost(case: Case, style: Style) -> float:
    """What the exact form or the one under the statements asks of a reader, infinite where neither is complete.

    An answer that the statements make infinite is short.
    """
    forms = [case.form]
    if case.reduced is not None and any(effect.used for effect in case.reduced.effects):
        if case.reduced.reduced.spectrum is None:
            return 0.0
        forms = [case.reduced_form or Form(None)]
    return min(_form_cost(form, style) for form in forms)


def _form_cost(form: Form, style: Style) -> float:
    if form.tree is None or not form.complete:
        return inf
    return style.cost(form.tree) + sum(style.cost(c.tree) for c in form.coefficients if c.tree is not None)


def _subject(case: Case, ground: Ground) -> tuple[Expr, Exact]:
    """What is written shortly: the answer; of a bootstrap one minus it, since the error of A itself says little."""
    if isinstance(case.question.ask, Bootstrap):
        return _missing_to_one(case, ground)
    return Name(case.question.name), case.exact


def _missing_to_one(case: Case, ground: Ground) -> tuple[Expr, Exact]:
    name = Name(case.question.name)
    inquiry = case.exact.inquiry
    below = inquiry.below or inquiry.port
    left = replace(inquiry, above=(below[0], inquiry.above[0]))
    return total(ONE, negate(name)), answer(left, ground.numbers, ground.ring)


def _steps(case: Case, name: Expr, exact: Exact, found: Short, ground: Ground) -> tuple[Step, ...]:
    """The form, its pieces, and the numbers within it; checked before they get here, the equality once more."""
    unit = exact.inquiry.unit
    value = found.spectrum.at_frequency(ground.spot)
    number: Words = (Reading(value, unit, style="magnitude"),)
    written = found.written
    if found.exact and not any(isinstance(part, Call) for p in written.pieces for part in walk(p.tree)):
        trials = [_trial(case, name, exact, written.pieces, t) for t in points(ground.ring.names)]
        made = [equal(("in short, and exactly",), (Line(name, "=", written.tree),), number, trials)]
    elif found.exact:
        made = [Step(("in short, and exactly",), (Line(name, "=", written.tree),), number, FIFTY)]
    else:
        note = (*error_words(found.error), "; ", *holds_words(found.error))
        made = [approximate(("in short",), (Line(name, "≈", written.tree),), number, found.error.worst, note)]
    made += [_piece_step(piece, found) for piece in written.pieces]
    return (*made, *told(found.subexpressions))


def _trial(
    case: Case, name: Expr, exact: Exact, pieces: Sequence[Piece], point: Mapping[str, Fraction]
) -> dict[Any, Any]:
    """At a random point the numbers of the symbols, of the pieces, and of the answer by the kernel."""
    values: dict[Any, Any] = dict(point)
    for piece in pieces:
        values[piece.name] = value_of(piece.tree, values)
    value = spectrum(exact.inquiry, point).exactly_at(point["s"])
    values[Name(case.question.name)] = value if isinstance(name, Name) else 1 - value
    return values


def _piece_step(piece: Piece, found: Short) -> Step:
    reading = Reading(piece.value, piece.unit, style="magnitude")
    number: Words = (reading,)
    rule: Words = ("factor",)
    note: Words = ()
    if piece.kind == "corner":
        rule = ("corner",)
        number = (reading, " = 2π · ", Reading(abs(piece.value) / (2 * pi), "Hz"))
    elif piece.kind == "quality":
        rule = ("quality",)
    elif piece.kind == "ratio":
        branch = next(b for b in found.branches if b.piece == piece.name)
        rule = ("across ", Formula(Sym(branch.symbols[0])), ", per volt at the port")
        if branch.follows is not None and branch.follows.worst:
            note = ("error by itself at worst ", *percent(branch.follows.worst))
    line = Line(piece.name, ":=", piece.tree)
    return Step(rule, (line,), number, NAMED, note, "equal")
