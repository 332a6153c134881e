"""An answer's form as steps, each line with its number; and the road of its approximations.

Enters: forms, answers, statements. Leaves: steps. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from derive.algebra.ratio import Ratio
from derive.answers.records import Exact
from derive.approximate.records import Approximate, Effect, Reduced, Resolved
from derive.derivation.checks import approximate, equal, remark
from derive.derivation.records import Step
from derive.derivation.wording import error_words, label, run_of, statement_words
from derive.expression.tree import Infinite, Name, Power, S
from derive.forms.laurent import Style
from derive.forms.present import APPROXIMATE, EXACT, Coefficient, Form, present
from derive.forms.trial import points
from derive.numbers import of_terms
from derive.words import Formula, Inline, Line, Reading, Words

BRIEF = 12
"""Terms up to which an answer between the exact and the last approximate one is printed."""


def exact_steps(
    name: Name, exact: Exact, form: Form, numbers: Mapping[str, Fraction], spot: complex
) -> tuple[Step, ...]:
    """The exact answer: its form and coefficients, or its size where it is too long to read."""
    unit = exact.inquiry.unit
    reading = Reading(spot, unit, style="magnitude")
    if form.tree is None:
        rule: Words = (f"exact, too long to print ({of_terms(exact.terms)})",)
        return (remark(rule, (reading,), ("its value is computed from all of them",)),)
    assert exact.ratio is not None
    trials = _trials(name, exact.ratio, form)
    made = [equal(("exact",), (Line(name, "=", form.tree),), (reading,), trials)]
    return tuple(made + _coefficient_steps(form, unit, numbers, trials))


def _trials(name: Name, ratio: Ratio, form: Form) -> list[dict[Any, Fraction]]:
    found = []
    for point in points(ratio.ring.names):
        values: dict[Any, Fraction] = dict(point)
        values[name] = ratio.value(point, point["s"])
        for coefficient in form.coefficients:
            values[coefficient.name] = coefficient.ratio.value(point, point["s"])
        found.append(values)
    return found


def coefficient_unit(coefficient: Coefficient, unit: str) -> str:
    """Unit of a named coefficient: the answer's for the leading one, times powers of seconds."""
    leads = coefficient.name.name.endswith("_0")
    base = "" if not leads or unit in ("1", "V/V") else unit
    power = coefficient.power
    seconds = "" if power == 0 else "s" if power == 1 else f"s^{power}"
    if leads and power == 0:
        return unit
    return "·".join(u for u in (base, seconds) if u) or "1"


def _coefficient_steps(
    form: Form, unit: str, numbers: Mapping[str, Fraction], trials: Sequence[Mapping[Any, Fraction]]
) -> list[Step]:
    """A step for each coefficient that can be read, and one remark with the numbers of those that cannot."""
    made = []
    long: list[Inline] = []
    for coefficient in form.coefficients:
        reading = Reading(float(coefficient.ratio.value(numbers)), coefficient_unit(coefficient, unit))
        if coefficient.tree is not None:
            line = Line(coefficient.name, "=", coefficient.tree)
            made.append(equal(_meaning(coefficient), (line,), (reading,), trials))
        else:
            long += [", " if long else "", Formula(coefficient.name), " = ", reading]
            long += [f" ({of_terms(coefficient.terms)})"]
    if long:
        made.append(remark(("too long to print, so in numbers: ", *long)))
    return made


def _meaning(coefficient: Coefficient) -> Words:
    letter, _, place = coefficient.name.name.partition("_")
    if place == "0":
        return ("leading value",)
    side = "numerator" if letter in (EXACT[1], APPROXIMATE[1]) else "denominator"
    power = S if place == "1" else Power(S, int(place))
    return (f"{side}, coefficient of ", Formula(power))


def approximation_steps(
    name: Name,
    exact: Exact,
    found: Approximate,
    statements: Sequence[Resolved],
    style: Style,
    numbers: Mapping[str, Fraction],
    spot_of: Any,
) -> tuple[Step, ...]:
    """One step for each statement that changed the answer; the last carries the final form."""
    made: list[Step] = []
    used = [effect for effect in found.effects if effect.used]
    silent: list[int] = []
    for effect in used:
        statement = next(s for s in statements if s.number == effect.statement)
        steps = _effect_steps(name, exact, effect, statement, style, numbers, spot_of, effect is used[-1])
        if not steps:
            silent.append(effect.statement)
        made += steps
    if silent:
        which = run_of(silent)
        made.insert(0, remark((f"the forms after {which} are too long to print; their costs stand above",)))
    return tuple(made)


def _effect_steps(
    name: Name,
    exact: Exact,
    effect: Effect,
    statement: Resolved,
    style: Style,
    numbers: Mapping[str, Fraction],
    spot_of: Any,
    last: bool,
) -> list[Step]:
    reduced = effect.reduced
    by = ", proposed by the tool" if statement.statement.proposed else ""
    rule: Words = (f"{label(effect.statement)}{by}: ", *statement_words(statement.statement))
    note: Words = error_words(effect.together)
    if reduced.spectrum is None:
        infinite: Words = ("infinite",)
        return [approximate(rule, (Line(name, "≈", Infinite()),), infinite, effect.together.spot, note)]
    value = spot_of(reduced.spectrum)
    number: Words = (Reading(value, exact.inquiry.unit, style="magnitude"),)
    form = (
        present(style, reduced.ratio, APPROXIMATE)
        if reduced.ratio is not None and (last or _brief(reduced))
        else Form(None)
    )
    if form.tree is None or not (last or form.complete):
        # Its terms, value and costs stand in the table of costs; a form that cannot be read is not shown.
        return [remark((*rule, f"; {of_terms(reduced.terms)} stay"), number, note)] if last else []
    made = [approximate(rule, (Line(name, "≈", form.tree),), number, effect.together.spot, note)]
    if form.coefficients:
        assert reduced.ratio is not None
        trials = _trials(name, reduced.ratio, form)
        made += _coefficient_steps(form, exact.inquiry.unit, numbers, trials)
    return made


def _brief(reduced: Reduced) -> bool:
    """Whether a form between the exact and the last one is worth printing."""
    return sum(reduced.terms) <= BRIEF
