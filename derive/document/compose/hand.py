"""Results by hand on the sheet: the chain as written, the verdict, where it went wrong, its error over the band.

Enters: judgements. Leaves: blocks. Must not know: how they were found, LaTeX.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from derive.derivation.analysis import Analysis
from derive.derivation.wording import error_words, label, percent
from derive.document.compose.verdict import diagnosis_words, headline, verdict_words
from derive.document.records import Block, Curve, Heading, Ledger, Notice, Paragraph, Plot, Row
from derive.expression.tree import Call, Expr, Name
from derive.hand.closeness import error_curve
from derive.hand.verdicts import Judged, LinkFinding
from derive.words import Formula, Line, Reading, Strong, Words

BEYOND = 10.0
"""How far a plot reaches beyond the author's band, each way."""
FLAT = 1e-3
"""Relative change of the error over frequency below which a plot says nothing."""


def blocks(judged: Judged, number: int, analysis: Analysis) -> list[Block]:
    """The section of one result by hand. ``number`` counts those about the same question."""
    name = Formula(Name(judged.question.name))
    head: Words = (f"{judged.name}: " if judged.name else "By hand: ", name)
    found: list[Block] = [Heading(2, head)]
    if judged.because:
        found.append(Paragraph((judged.because,)))
    found.append(Ledger(tuple(_row(judged, place, unit(analysis, judged)) for place in range(len(judged.links)))))
    last = judged.hand.links[-1]
    # Of what is in another unit no error is told.
    if judged.diagnosis is None or judged.diagnosis.units is None:
        found.append(Paragraph(verdict_words(judged.result, judged.tolerance, last.sign)))
    found += _diagnosis(judged)
    plot = _plot(judged, number, analysis)
    if plot is not None:
        found.append(plot)
    return found


def unit(analysis: Analysis, judged: Judged) -> str:
    """The unit of the answer that a result by hand is about."""
    return next(
        d.exact.inquiry.unit for d in analysis.derivations if d.question.name == judged.question.name
    )  # fmt: skip


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top of the sheet for each result by hand that does not hold."""
    found: list[Block] = []
    for judged in analysis.hands:
        if not judged.holds:
            told: Words = (Strong("A result by hand does not hold"), ": ", Formula(Name(judged.question.name)), ", ")
            about: Words = (f"{judged.name}, " if judged.name else "",)
            why = diagnosis_words(judged.diagnosis) if judged.diagnosis and judged.diagnosis.repair else ()
            found.append(Notice("warning", (*told, *about, headline(judged), ". ", *why)))
    return found


def _row(judged: Judged, place: int, of_unit: str) -> Row:
    each: LinkFinding = judged.links[place]
    left: Expr | None = Name(judged.question.name) if place == 0 else None
    if left is not None and each.finding.read == "magnitude":
        left = Call("abs", left)
    number: Words = (Reading(each.value, of_unit, style="magnitude"),)
    rule: Words = (f"line {each.link.line}",) if judged.hand.links[-1].line > 1 else ("as written",)
    line = Line(left, each.link.sign, each.link.value)
    kind: Literal["equal", "approximate", "remark"] = "equal" if each.link.sign == "=" else "approximate"
    return Row(rule, (line,), number, step_words(judged, place), kind if each.holds else "remark")


def step_words(judged: Judged, place: int) -> Words:
    """How one side of the chain follows from what stands before it."""
    each = judged.links[place]
    finding = each.finding
    against = "the answer" if place == 0 else "the line before"
    if finding.kind == "exact":
        return (f"checked: equal to {against}",)
    assert finding.error is not None
    if finding.kind == "stated":
        return (f"follows under {', '.join(label(n) for n in finding.statements)}; ", *error_words(finding.error))
    if finding.kind == "close":
        return (f"near {against}: ", *error_words(finding.error))
    if finding.silent:
        return ("more than ", *percent(judged.tolerance), f" from {against}: ", *error_words(finding.error))
    return (f"does not follow from {against}: " if place else "not the answer: ", *error_words(finding.error))


def _diagnosis(judged: Judged) -> list[Block]:
    if judged.diagnosis is None:
        return []
    where: Words = ()
    if judged.slip_at is not None and len(judged.links) > 1:
        where = (f"The slip is in line {judged.links[judged.slip_at].link.line}. ",)
    found: list[Block] = [Paragraph((*where, *diagnosis_words(judged.diagnosis)))]
    repair = judged.diagnosis.repair
    if repair is not None and repair.repaired is not None:
        sign = "=" if repair.finding.kind == "exact" else "≈"
        put = "put right" if repair.finding.kind in ("exact", "stated") else "so it comes close"
        line = Line(Name(judged.question.name), sign, repair.repaired)  # type: ignore[arg-type]
        found.append(Ledger((Row((put,), (line,), (), (), "equal" if sign == "=" else "approximate"),)))
    return found


def _plot(judged: Judged, number: int, analysis: Analysis) -> Plot | None:
    """The error of the result over frequency; None where it is exact, or does not depend on frequency."""
    if judged.result.kind == "exact" or judged.right.spectrum is None:
        return None
    low, high = (float(f) for f in analysis.ground.band)
    frequencies, errors = error_curve(judged.side, judged.right, judged.result.read, (low / BEYOND, high * BEYOND))
    finite = errors[np.isfinite(errors)]
    if not len(finite) or finite.max() - finite.min() <= FLAT * finite.max():
        return None
    curve = Curve("error", tuple(map(float, frequencies)), tuple(complex(100 * error) for error in errors))
    return Plot(
        stem=f"hand-{judged.question.name}-{number}",
        title=("Error of ", Formula(Name(judged.question.name)), " by hand"),
        unit="%",
        curves=(curve,),
        band=(low, high),
        spot=float(analysis.ground.spot),
        tolerance=judged.tolerance,
    )
