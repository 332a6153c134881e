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
LEAST = 0.01
"""A cause that contributes less than this part of the root of the sum of squares is not listed."""


def blocks(found: Tolerances, spot: Fraction) -> list[Block]:
    """Per answer: causes by what they contribute."""
    told = [s for s in found.spreads if s.moves and (s.reading.criterion is None or not _repeats(s, found))]
    if not told:
        return []
    words: Words = ("By how many per cent an answer changes for one per cent of a value, from the exact answer (no "
                    "difference quotient)",)  # fmt: skip
    if found.linearised:
        words = (*words, ": ", Strong("at fixed bias"), ", and with the bias following")
    if not all(relative(s.reading.quantity) for s in told):
        words = (*words, "; decibels and angles change by the number given when the value grows in the ratio e")
    words = (*words, ". The contribution is to first order, at the full tolerance upwards; the last line is the root "
             "of the sum of their squares.")  # fmt: skip
    tables = [_table(spread, spot, found.linearised) for spread in told]
    return [Heading(2, ("Sensitivities, ranked",)), Paragraph(words), *tables]


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


def _table(spread: Spread, spot: Fraction, linearised: bool) -> Table:
    """The column of fixed bias stands only where a bias point moves."""
    reading = spread.reading
    kinds = ("At fixed bias", "Bias following") if linearised else ("Sensitivity",)
    columns = (
        Column(named_at(reading.of, reading.quantity, reading.frequency, spot)), Column(("Tolerance",), "right"),
        *(Column((kind,), "right") for kind in kinds), Column(("Contributes",), "right"), Column(("",), "right"),
    )  # fmt: skip
    told = [one for one in spread.influences if abs(one.contribution) >= LEAST * spread.rss][:CAUSES]
    rows = [_influence(one, spread, linearised) for one in told]
    rest = len(spread.influences) - len(told)
    more = f" ({rest} more {'cause' if rest == 1 else 'causes'})" if rest else ""
    empty: tuple[Words, ...] = tuple(() for _ in kinds)
    rows.append((("root of the sum of squares" + more,), (), *empty, *_amount(spread.rss, spread, sign=False)))
    return Table(columns, tuple(rows))


def _influence(one: Influence, spread: Spread, linearised: bool) -> tuple[Words, ...]:
    unit = "1" if relative(spread.reading.quantity) else spread.reading.unit
    fixed: Words = NOTHING if one.fixed is None else _sensitivity(one.fixed, unit)
    return (
        (one.cause,),
        (Reading(100 * one.tolerance, "%", 3, "stated"),),
        *((fixed,) if linearised else ()),
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
