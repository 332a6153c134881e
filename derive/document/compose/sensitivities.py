"""Sensitivities of the answers, ranked by what they contribute.

Enters: what tolerances do. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.document.compose.phrases import NOTHING, signed
from derive.document.compose.readings import named_at, relative
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.tolerance.records import Influence, Spread, Tolerances
from derive.words import Reading, Strong, Words

CAUSES = 8
"""Causes listed for each reading; the record has all."""
LEAST = 1e-3
"""A cause that contributes less than this part of the root of the sum of squares is not listed."""


def blocks(found: Tolerances, spot: Fraction) -> list[Block]:
    """Per answer: causes by what they contribute."""
    words: Words = (
        "By how many per cent an answer changes for one per cent of a value: ", Strong("at fixed bias"),
        " from the exact answer (no difference quotient), and with the bias following. Angles and decibels change by "
        "the number given when the value changes in the ratio e. The contribution is to first order, at the full "
        "tolerance upwards; the last line is the root of the sum of their squares.",
    )  # fmt: skip
    found_blocks: list[Block] = [Heading(2, ("Sensitivities, ranked",)), Paragraph(words)]
    for spread in found.spreads:
        if spread.reading.criterion is not None and _repeats(spread, found):
            continue
        found_blocks.append(_table(spread, spot))
    return found_blocks


def _repeats(spread: Spread, found: Tolerances) -> bool:
    """Whether a criterion reads what an answer before it reads already, or moves in the same ratio with everything."""
    for other in found.spreads:
        if other is spread:
            return False
        alike = other.reading.of == spread.reading.of and relative(other.reading.quantity)
        if alike and relative(spread.reading.quantity) and _ratios(other) == _ratios(spread):
            return True
    return False


def _ratios(spread: Spread) -> list[tuple[str, str]]:
    return [(one.cause, f"{one.follows:.3g}") for one in spread.influences]


def _table(spread: Spread, spot: Fraction) -> Table:
    reading = spread.reading
    columns = (
        Column(named_at(reading.of, reading.quantity, reading.frequency, spot)), Column(("Tolerance",), "right"),
        Column(("At fixed bias",), "right"), Column(("Bias following",), "right"), Column(("Contributes",), "right"),
        Column(("",), "right"),
    )  # fmt: skip
    told = [one for one in spread.influences if abs(one.contribution) >= LEAST * spread.rss][:CAUSES]
    rows = [_influence(one, spread) for one in told]
    rest = len(spread.influences) - len(told)
    last: Words = ("root of the sum of squares",) if not rest else (f"root of the sum of squares ({rest} more causes)",)
    rows.append((last, (), (), (), *_amount(spread.rss, spread, sign=False)))
    return Table(columns, tuple(rows))


def _influence(one: Influence, spread: Spread) -> tuple[Words, ...]:
    unit = "1" if relative(spread.reading.quantity) else spread.reading.unit
    return (
        (one.cause,),
        (Reading(100 * one.tolerance, "%", 3, "stated"),),
        NOTHING if one.fixed is None else _sensitivity(one.fixed, unit),
        _sensitivity(one.follows, unit),
        *_amount(one.contribution, spread),
    )


def _sensitivity(value: float, unit: str) -> Words:
    if abs(value) < TINY:
        return ("0",)
    return signed(value, unit, 3)


TINY = 1e-9
"""A sensitivity below this is none."""


def _amount(value: float, spread: Spread, *, sign: bool = True) -> tuple[Words, Words]:
    """A change in the unit of the reading, and relative to it."""
    reading = spread.reading
    told = signed(value, reading.unit, 3) if sign else (Reading(value, reading.unit, 3),)
    if not relative(reading.quantity):
        return told, ()
    part = 100 * value / abs(reading.nominal)
    return told, signed(part, "%", 2) if sign else (Reading(part, "%", 2),)
