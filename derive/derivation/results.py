"""An answer's form as steps, each line with its number; and the road of its approximations.

Enters: forms, answers, statements. Leaves: steps. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from derive.algebra.ratio import Ratio
from derive.answers.records import Exact
from derive.approximate.records import Approximate, Dropped, Effect, Resolved
from derive.derivation.checks import approximate, equal, remark
from derive.derivation.records import Step
from derive.derivation.wording import error_words, label, statement_words
from derive.expression.tree import Infinite, Name
from derive.forms.laurent import Style
from derive.forms.present import Coefficient, Form, present
from derive.forms.trial import points
from derive.words import Formula, Inline, Line, Reading, Words


def exact_steps(name: Name, exact: Exact, form: Form, numbers: Mapping[str, Fraction], spot: complex) -> tuple[Step, ...]:
    """The exact answer: its form and coefficients, or its size where it is too long to read."""
    unit = exact.inquiry.unit
    reading = Reading(spot, unit, style="magnitude")
    if form.tree is None:
        rule: Words = ("exact, too long to print: ", *_sizes(exact.terms))
        return (remark(rule, (reading,), ("its value and its poles and zeros are computed from all of them",)),)
    assert exact.ratio is not None
    trials = _trials(name, exact.ratio, form)
    made = [equal(("exact",), (Line(name, "=", form.tree),), (reading,), trials)]
    made += [_coefficient_step(c, unit, numbers, trials) for c in form.coefficients]
    return tuple(made)


def _sizes(terms: tuple[int, int]) -> Words:
    return (f"{terms[0]:,} terms above, {terms[1]:,} below".replace(",", "\u2009"),)


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
    """Unit of a named coefficient: the answer's for H_0 (with seconds where it is not flat), seconds for the others."""
    base = "" if coefficient.name.name != "H_0" or unit in ("1", "V/V") else unit
    power = coefficient.power
    seconds = "" if power == 0 else "s" if power == 1 else f"s^{power}"
    if coefficient.name.name == "H_0" and power == 0:
        return unit
    return "·".join(u for u in (base, seconds) if u) or "1"


def _coefficient_step(
    coefficient: Coefficient, unit: str, numbers: Mapping[str, Fraction], trials: Sequence[Mapping[Any, Fraction]]
) -> Step:
    value = coefficient.ratio.value(numbers)
    reading = Reading(float(value), coefficient_unit(coefficient, unit))
    if coefficient.tree is None:
        rule: Words = (Formula(coefficient.name), ", too long to print: ", *_sizes(coefficient.terms))
        return remark(rule, (reading,))
    return equal((_meaning(coefficient),), (Line(coefficient.name, "=", coefficient.tree),), (reading,), trials)


def _meaning(coefficient: Coefficient) -> str:
    letter, _, place = coefficient.name.name.partition("_")
    if letter == "H":
        return "leading value"
    side = "numerator" if letter == "b" else "denominator"
    return f"{side}, coefficient of {'s' if place == '1' else f's^{place}'}".replace("s^2", "s²").replace("s^3", "s³")


def approximation_steps(
    name: Name, exact: Exact, found: Approximate, statements: Sequence[Resolved], style: Style,
    numbers: Mapping[str, Fraction], spot_of: Any,
) -> tuple[Step, ...]:
    """One step for each statement that changed the answer; the last carries the final form."""
    made: list[Step] = []
    used = [effect for effect in found.effects if effect.used]
    for effect in used:
        statement = next(s for s in statements if s.number == effect.statement)
        made += _effect_steps(name, exact, effect, statement, style, numbers, spot_of)
    return tuple(made)


def _effect_steps(
    name: Name, exact: Exact, effect: Effect, statement: Resolved, style: Style, numbers: Mapping[str, Fraction], spot_of: Any
) -> list[Step]:
    reduced = effect.reduced
    rule: Words = (f"{label(effect.statement)}: ", *statement_words(statement.statement))
    note: Words = error_words(effect.together)
    if reduced.spectrum is None:
        infinite: Words = ("infinite",)
        return [approximate(rule, (Line(name, "≈", Infinite()),), infinite, effect.together.spot, note)]
    value = spot_of(reduced.spectrum)
    number: Words = (Reading(value, exact.inquiry.unit, style="magnitude"),)
    form = present(style, reduced.ratio) if reduced.ratio is not None else Form(None)
    if form.tree is None:
        return [remark((*rule, "; ", *_sizes(reduced.terms), " stay"), number, note)]
    made = [approximate(rule, (Line(name, "≈", form.tree),), number, effect.together.spot, note)]
    if form.coefficients:
        assert reduced.ratio is not None
        trials = _trials(name, reduced.ratio, form)
        made += [_coefficient_step(c, exact.inquiry.unit, numbers, trials) for c in form.coefficients]
    return made


def dropped_words(dropped: Sequence[Dropped]) -> Words:
    """How many terms went, and by which statements."""
    by: dict[int, int] = {}
    for item in dropped:
        for number, _ in item.powers:
            by[number] = by.get(number, 0) + 1
    words: list[Inline] = [f"{len(dropped)} terms dropped: "]
    words += [", ".join(f"{count} with the help of {label(number)}" for number, count in sorted(by.items()))]
    return tuple(words)

