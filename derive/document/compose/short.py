"""The short form of an answer: its lines, how it came about, and what other lengths would cost.

Enters: a derivation. Leaves: blocks, and the row among the answers at a glance. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.derivation.records import Derivation, Shortened, Step
from derive.derivation.wording import percent
from derive.document.compose.certified import at_a_glance
from derive.document.compose.proposals import has_ladder
from derive.document.records import Block, Column, Heading, Ledger, Paragraph, Row, Table
from derive.structure.records import Point
from derive.words import Reading, Strong, Words

MOST_POINTS = 8
"""Points of the frontier that are shown; the record has all."""
MOST_LINES = 4
"""Lines of a short form up to which all are shown among the answers at a glance."""


def blocks(shortened: Shortened | None) -> list[Block]:
    """The part of an answer's section that holds its short form; nothing where there is none."""
    if shortened is None:
        return []
    found: list[Block] = [Heading(2, ("In short",)), Ledger(tuple(_row(step) for step in shortened.steps))]
    if shortened.told:
        words: Words = ()
        for sentence in shortened.told:
            words = (*words, *((" ",) if words else ()), *sentence)
        found.append(Paragraph(words))
    return found + _frontier(shortened)


def _row(step: Step) -> Row:
    return Row(step.rule, step.lines, step.number, step.note, step.kind)


def _frontier(shortened: Shortened) -> list[Block]:
    """Error against length, as far as it is worth a look."""
    points = [p for p in shortened.short.frontier if p.worst > 0][:MOST_POINTS]
    if len(points) < 2 or shortened.short.branches:
        return []
    chosen = shortened.short.candidate
    columns = (Column(("Symbols",), "right"), Column(("Worst error in the band",), "right"), Column(("",)))
    rows = tuple(_point(p, chosen is not None and p.symbols == chosen.symbols) for p in points)
    words: Words = ("Other lengths that were found, and what they cost; ask for another with ", Strong("within"), ":")
    return [Paragraph(words), Table(columns, rows)]


def _point(point: Point, chosen: bool) -> tuple[Words, ...]:
    return ((Reading(point.symbols, "1", 4, "stated"),), percent(point.worst), ("shown above",) if chosen else ("",))


def glance(derivation: Derivation, rule: Words, spot: Fraction) -> Row | None:
    """The row among the answers at a glance: the short form and its pieces; None where there is none."""
    shortened = derivation.shortened
    if shortened is None or (not shortened.short.reached and has_ladder(derivation)):
        return None
    first = shortened.steps[0]
    named = [step for step in shortened.steps[1:] if any(line.sign == ":=" for line in step.lines)]
    lines = [line for step in named for line in step.lines] if len(named) < MOST_LINES else []
    note = first.note
    if len(named) >= MOST_LINES:
        note = ("its pieces stand in its section", *(("; ", *note) if note else ()))
    if first.kind == "approximate":
        # The number beside the form is its own; the exact one stands in the small print.
        value = shortened.exact.spectrum.at_frequency(spot)
        note = ("exact answer ", Reading(value, shortened.exact.inquiry.unit, style="magnitude"), "; ", *note)
        note = (*note, *at_a_glance(shortened.certified))
    return Row(rule, (*first.lines, *lines), first.number, note, first.kind)
