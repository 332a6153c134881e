"""Criteria: what is wanted, what is, and how many circuits within the tolerances meet it.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction
from math import isfinite

from derive.derivation.analysis import Analysis
from derive.document.compose.phrases import NOTHING, joined
from derive.document.compose.readings import named_at, number
from derive.document.records import Block, Column, Notice, Paragraph, Table
from derive.numbers import grouped_count
from derive.tolerance.records import Met
from derive.words import Reading, Strong, Words


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top for each criterion that the circuit as described does not meet."""
    spot = analysis.circuit.about.spot
    return [
        Notice("warning", (Strong("A criterion is not met"), ": ", *wanted_words(met, spot), "; it is ", *_read(met)))
        for met in analysis.criteria
        if not met.holds
    ]


def blocks(analysis: Analysis) -> list[Block]:
    """Each criterion with the value as described, and the part of the circuits that meets it."""
    if not analysis.criteria:
        return []
    spot, tolerances = analysis.circuit.about.spot, analysis.tolerances
    spreads = {} if tolerances is None else {s.reading.criterion: s for s in tolerances.spreads if s.reading.criterion}
    rows = []
    for met in analysis.criteria:
        spread = spreads.get(met.criterion)
        share = NOTHING if spread is None or spread.drawn.yielded is None else _share(spread.drawn.yielded)
        outcome: Words = ("met",) if met.holds else (Strong("not met"),)
        rows.append(((met.criterion.name,), wanted_words(met, spot), _read(met), outcome, share))
    columns = (Column(("Criterion",)), Column(("Wanted",)), Column(("As described",), "right"), Column(("",)),
               Column(("Of the circuits meet it",), "right"))  # fmt: skip
    found: list[Block] = [Table(columns if spreads else columns[:-1],
                                tuple(row if spreads else row[:-1] for row in rows))]  # fmt: skip
    if tolerances is not None and tolerances.yielded is not None:
        samples = tolerances.chance.samples
        yielded = tolerances.yielded
        doubt = (yielded * (1 - yielded) / samples) ** 0.5
        words: Words = ("All criteria are met by ", *_share(yielded), f" of {grouped_count(samples)} circuits")
        if doubt:
            words = (*words, " (standard uncertainty of this count: ", Reading(100 * doubt, "%", 1), ")")
        found.append(Paragraph((*words, ".")))
    return found


def _share(share: float) -> Words:
    """A part of all circuits; one that is not all of them is not rounded to all."""
    if share in (0.0, 1.0):
        return ("none",) if share == 0 else ("all",)
    if share > 0.9995:
        return ("over ", Reading(99.95, "%", 4))
    return (Reading(100 * share, "%", 3),)


def wanted_words(met: Met, spot: Fraction) -> Words:
    """What a criterion asks for."""
    criterion = met.criterion
    what = named_at(criterion.of, criterion.quantity, criterion.frequency, spot)
    limits: list[Words] = []
    if criterion.at_least is not None:
        limits.append(("at least ", Reading(float(criterion.at_least), criterion.unit, 6, "stated")))
    if criterion.at_most is not None:
        limits.append(("at most ", Reading(float(criterion.at_most), criterion.unit, 6, "stated")))
    return (*what, " ", *joined(limits))


def _read(met: Met) -> Words:
    return number(met.value, met.criterion.unit) if isfinite(met.value) else ("no finite value",)
