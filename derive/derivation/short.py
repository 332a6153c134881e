"""The short form of an answer: its lines with their numbers, and what was done for it in words.

Enters: a question, its exact answer, statements. Leaves: a record of checked steps and sentences.
Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import pi
from typing import Any

from derive.answers.exact import answer, spectrum
from derive.answers.records import Exact
from derive.approximate.records import Approximate, Resolved
from derive.approximate.reduce import Ground
from derive.circuit.records import Bootstrap, Question
from derive.derivation.checks import approximate, equal
from derive.derivation.insides import told
from derive.derivation.records import Shortened, Step
from derive.derivation.wording import error_words, holds_words, label, percent
from derive.expression.tree import ONE, Call, Expr, Name, Sym, negate, total, walk
from derive.expression.tree import evaluate as value_of
from derive.forms.laurent import Style
from derive.forms.present import READABLE, Form
from derive.forms.trial import points
from derive.structure.records import Piece, Short
from derive.structure.shortest import DEFAULT, membership_range, shortest
from derive.structure.thinning import Removal
from derive.words import Formula, Inline, Line, Node, Reading, Words

NAMED = "a name for a part of the form above, whose value was checked with it"
FIFTY = "equal to fifty digits at three random points"
FEW = 4
"""Terms of a factor up to which it is held to be readable; what has more is told, with its reason."""
SMALL = 1e-3
"""Costs below this are told together."""
BEYOND = 0.05
"""How far outside 0 to 1 a membership must lie for its sum to be told as nearly cancelling."""


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
    """The short form where the author asks for one, or where what is there is too long to read."""
    within = case.question.within
    if within is None and not is_long(case, style):
        return None
    name, exact = _subject(case, ground)
    found = shortest(exact, case.statements, ground, style, within or DEFAULT)
    if found is None:
        return None
    steps = _steps(case, name, exact, found, ground)
    if found.written.tree == ONE and name == Name(case.question.name) and exact.inquiry.unit == "V/V":
        steps += _missing(case, ground, style, within or DEFAULT)
    return Shortened(name, exact, found, steps, _told(exact, found, ground))


def _missing(case: Case, ground: Ground, style: Style, within: Fraction) -> tuple[Step, ...]:
    """What a gain of about one lacks of it: 1 - A, as an answer of its own, since A itself says little about it."""
    name, exact = _missing_to_one(case, ground)
    found = shortest(exact, case.statements, ground, style, within)
    return _steps(case, name, exact, found, ground) if found is not None and found.reached else ()


def is_long(case: Case, style: Style) -> bool:
    """Whether neither the exact form nor the one under the statements can be read at once."""
    forms = [case.form]
    if case.reduced is not None and any(effect.used for effect in case.reduced.effects):
        if case.reduced.reduced.spectrum is None:
            return False
        forms = [case.reduced_form or Form(None)]
    return all(not _readable(form, style) for form in forms)


def _readable(form: Form, style: Style) -> bool:
    if form.tree is None or not form.complete:
        return False
    cost = style.cost(form.tree) + sum(style.cost(c.tree) for c in form.coefficients if c.tree is not None)
    return cost <= READABLE


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


def _told(exact: Exact, found: Short, ground: Ground) -> tuple[Words, ...]:
    """What was done to reach the form, in sentences."""
    made: list[Words] = []
    if found.branches:
        made += _budget_words(exact, found, ground)
    elif found.candidate is not None:
        made += _removal_words(found, {e.name: e.law for e in exact.inquiry.network.elements})
        made += _cluster_words(found)
        made += _dropped_words(found)
    large = [piece for piece in found.written.pieces if piece.terms > FEW]
    for piece in large:
        made.append((Formula(piece.name), f" has {piece.terms} terms: none of them is small in the whole band."))
    if found.candidate is not None and not large:
        most = max((len(factor) for factor, _ in found.candidate.factored.sums), default=1)
        if most > FEW:
            made.append(
                (f"Its largest sum has {most} terms: they are coupled, and none of them is small in the whole band.",)
            )
    if not found.reached:
        asked = percent(float(found.within))
        made.append(("No form that can be read stays within ", *asked, "; this is the best that was found."))
    return tuple(made)


def _removal_words(found: Short, laws: Mapping[str, str]) -> list[Words]:
    """The elements taken out of the network; small costs together, the others one by one."""
    assert found.candidate is not None
    removals = found.candidate.removals
    made: list[Words] = []
    small = [r for r in removals if r.cost < SMALL]
    large = [r for r in removals if r.cost >= SMALL]
    if small:
        words: list[Inline] = ["Left out at a cost of ", *percent(sum(r.cost for r in small)), " together: "]
        ways = list(dict.fromkeys(_way(r, laws) for r in small))
        for place, way in enumerate(ways):
            names = [r.element for r in small if _way(r, laws) == way]
            words += ["; " if place else "", *_listed(names), f" {way}"]
        made.append((*words, "."))
    if large:
        words = ["Left out, each at its own cost: "]
        for place, removal in enumerate(large):
            words += [", " if place else "", Formula(Sym(removal.element)), f" {_way(removal, laws)}: "]
            words += percent(removal.cost)
        made.append((*words, "."))
    return made


def _listed(names: Sequence[str]) -> Sequence[Inline]:
    return [piece for name in names for piece in (", ", Formula(Sym(name)))][1:]


def _way(removal: Removal, laws: Mapping[str, str]) -> str:
    """How an element was left out, as the trade says it."""
    law = laws.get(removal.element, "resistance")
    if law in ("conductance", "ratio", "delay", "unity"):
        vanishes = (removal.how == "open") == (law != "ratio")
        return "taken as zero" if vanishes else "taken as without limit"
    return "open" if removal.how == "open" else "shorted"


def _cluster_words(found: Short) -> list[Words]:
    assert found.candidate is not None
    recipe, stages = found.candidate.recipe, found.candidate.stages
    made: list[Words] = []
    if recipe.threshold and stages:
        words: list[Inline] = ["Elements coupled by less than ", Reading(recipe.threshold, "1", 2)]
        words.append(" are taken as independent; what is left falls into ")
        for place, stage in enumerate(stages):
            words += ["; " if place else "", "("]
            words += _listed(stage.elements)
            words.append(f") in the {stage.side}")
        made.append((*words, "."))
    if recipe.separated and found.candidate.separation is not None:
        apart = Reading(found.candidate.separation, "1", 2)
        made.append(("A sum in s is split at its roots, which lie apart by a factor of ", apart, " or more.",))
    return made


def _dropped_words(found: Short) -> list[Words]:
    assert found.candidate is not None
    candidate = found.candidate
    made: list[Words] = []
    if candidate.by_statement:
        words: list[Inline] = ["Terms dropped beside larger ones: "]
        parts = [f"{count} with the help of {label(number)}" for number, count in candidate.by_statement]
        made.append((*words, ", ".join(parts), "."))
    if candidate.by_size:
        count = "One term is" if candidate.by_size == 1 else f"{candidate.by_size} terms are"
        below = percent(candidate.recipe.tolerance)
        made.append((f"{count} dropped: in each sum together below ", *below, " of it over the band."))
    return made


def _budget_words(exact: Exact, found: Short, ground: Ground) -> list[Words]:
    """Why the budget of the port, which branches, and what was left out."""
    made: list[Words] = []
    span = membership_range(exact, ground)
    opening: Words = (
        "The form is the budget of the port: each part's own impedance over how little its far end follows.",
    )
    if span is not None and (span[0] < -BEYOND or span[1] > 1 + BEYOND):
        low, high = Reading(span[0], "1", 2), Reading(span[1], "1", 2)
        opening = ("Terms of its denominator nearly cancel (memberships from ", low, " to ", high, "). ", *opening)
    made.append(opening)
    words: list[Inline] = ["Largest share of the port's current in the band: "]
    for place, branch in enumerate(found.branches):
        words += ["; " if place else ""]
        words += _listed(branch.symbols)
        if branch.far != exact.inquiry.network.ground:
            words += [" to ", Node(branch.far)]
        words += [" ", Reading(100 * branch.share, "%", 2)]
    made.append((*words, "."))
    if found.left_out:
        words = ["Left out, at most in the band: "]
        for place, (name, share) in enumerate(found.left_out):
            words += [", " if place else "", Formula(Sym(name)), " ", *percent(share)]
        made.append((*words, "."))
    return made


__all__ = ["Case", "Shortened", "short_form"]
