"""Time constants of a gain as tables, with the corner that their sum gives beside the true one.

Enters: time constants. Leaves: blocks. Must not know: LaTeX.

A capacitance is said to have the largest part of an end's sum where it makes up more than LARGEST of it, to dominate
it above DOMINATES; neither where the gain has no corner there.
"""

from __future__ import annotations

from derive.derivation.wording import percent
from derive.document.records import Block, Column, Heading, Ledger, Notice, Paragraph, Row, Table
from derive.explain.constants import COMPARABLE, Corner, TimeConstant, TimeConstants
from derive.expression.tree import Sym
from derive.words import Formula, Reading, Words

LARGEST, DOMINATES = 0.5, 2 / 3
"""Shares of the sum above which one time constant is said to have the largest part, and to dominate."""


def constant_blocks(found: TimeConstants | None) -> list[Block]:
    """Nothing where no capacitance acts."""
    if found is None:
        return []
    for end, why in found.refused:
        if end == "both":
            return [Heading(2, ("Corners by time constants",)), Paragraph((f"None: {why}.",))]
    made: list[Block] = [Heading(2, ("Corners by time constants",)), _ledger(found)]
    for corner in found.corners:
        made += [_table(corner), Paragraph(corner_words(corner)), *_warning(corner)]
    for end, why in found.refused:
        made.append(Paragraph((f"No sum of time constants for the {end} corner: {why}.",)))
    return made


def _ledger(found: TimeConstants) -> Ledger:
    """The gain at mid-band, and what each capacitance sees, where it can be read."""
    steps = [*found.mid.steps]
    for corner in found.corners:
        for one in corner.constants:
            if one.seen.tree is not None:
                steps += one.seen.steps
    return Ledger(tuple(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in steps))


def _table(corner: Corner) -> Table:
    how = "open" if corner.end == "upper" else "shorted"
    columns = (
        Column(("Capacitance",)),
        Column(("Value",), "right"),
        Column((f"Sees, others {how}",), "right"),
        Column(("Time constant",), "right"),
        Column(("Share",), "right"),
    )
    rows = tuple(_row(one) for one in corner.constants)
    sums = "time constants" if corner.end == "upper" else "inverse time constants"
    return Table(columns, rows, (f"The {corner.end} corner: shares of the sum of the {sums}.",))


def _row(one: TimeConstant) -> tuple[Words, ...]:
    return (
        (Formula(Sym(one.part)),),
        (Reading(one.value, one.unit, 3),),
        (Reading(one.seen.spot, one.seen.exact.inquiry.unit, style="magnitude"),),
        (Reading(one.seconds, "s"),),
        (Reading(100 * one.share, "%", 3),),
    )


def corner_words(corner: Corner) -> Words:
    """The corner by the sum, the true one, and what makes most of the sum."""
    words: Words = (f"The sum puts the {corner.end} corner at ", Reading(corner.by_sum, "Hz"))
    if corner.true is None:
        side = "above" if corner.end == "upper" else "below"
        words = (*words, f"; the gain of the whole circuit is nowhere {side} the spot 3 dB below that at mid-band.")
    elif corner.error is not None:
        way = "high" if corner.error > 0 else "low"
        words = (*words, "; the true one is at ", Reading(corner.true, "Hz"), ", so that the sum is ")
        words = (*words, *percent(abs(corner.error)), f" too {way}.")
    first = corner.constants[0]
    if first.share > LARGEST and len(corner.constants) > 1 and corner.true is not None:
        share = Reading(100 * first.share, "%", 3)
        verb = " dominates it with " if first.share > DOMINATES else " has the largest part with "
        words = (*words, " ", Formula(Sym(first.part)), verb, share, " of the sum.")
    return words


def _warning(corner: Corner) -> list[Block]:
    if corner.nature == "complex":
        words: Words = (
            f"The roots that govern the {corner.end} corner are a complex pair: a sum of time constants is ",
        )
        return [Notice("warning", (*words, "no corner there."))]
    if corner.nature == "comparable" and corner.spread is not None:
        words = ("The next root lies only a factor of ", Reading(corner.spread, "1", 3), " away (under ")
        words = (
            *words,
            Reading(COMPARABLE, "1", 2, "stated"),
            f"): the sum is a rough guide to the {corner.end} corner.",
        )
        return [Notice("warning", words)]
    return []
