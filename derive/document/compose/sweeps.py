"""Stability over a value, on the page.

Enters: a survey of loops. Leaves: blocks. Must not know: LaTeX. Every sentence is made from numbers by a rule.
"""

from __future__ import annotations

from math import inf

from derive.circuit.records import Sweep
from derive.document.compose.loop_words import source
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.explain.loop_survey import Survey
from derive.explain.sweep import A_DECADE, Swept
from derive.expression.tree import Name, Sym
from derive.words import Formula, Node, Reading, Words

UNITS = {"resistor": "Ω", "capacitor": "F", "inductor": "H"}
QUANTITY = {"resistor": "resistance", "capacitor": "capacitance", "inductor": "inductance"}


def blocks(survey: Survey) -> list[Block]:
    """A section for each sweep."""
    found: list[Block] = []
    for swept in survey.swept:
        asked = swept.sweep
        found += [
            Heading(1, (Formula(Name(asked.name)), ": stability over ", *_what(asked)), asked.name),
            Paragraph((*_range(swept), *_nearest(swept))),
        ]
        if len(swept.spans) > 1:
            found.append(_table(swept))
    return found


def _what(asked: Sweep) -> Words:
    if asked.part is not None:
        return (Formula(Sym(asked.part)),)
    return (f"a {QUANTITY[asked.kind]} from ", Node(asked.at or ""), " to ground")


def _range(swept: Swept) -> Words:
    asked = swept.sweep
    unit = UNITS[asked.kind]
    ends: Words = (Reading(float(asked.low.value), unit, 6, "stated"), " to ",
                   Reading(float(asked.high.value), unit, 6, "stated"))  # fmt: skip
    held = "All other small-signal values are held. "
    if swept.stable:
        return ("From ", *ends, " no pole lies in the right half plane, at any value between (the values at which one "
                "could pass the axis are roots of polynomials). ", held)  # fmt: skip
    if all(span.right for span in swept.spans):
        return ("From ", *ends, " poles lie in the right half plane throughout. ", held)
    words: Words = ("From ", *ends, " the circuit is stable ")
    good = [span for span in swept.spans if not span.right]
    for place, span in enumerate(good):
        start, end = span.low > float(asked.low.value), span.high < float(asked.high.value)
        words = (*words, " and " if place else "")
        if start and end:
            words = (*words, "between ", Reading(span.low, unit), " and ", Reading(span.high, unit))
        else:
            words = (*words, "above " if start else "below ", Reading(span.low if start else span.high, unit))
    return (*words, ". ", held)


def _nearest(swept: Swept) -> Words:
    unit = UNITS[swept.sweep.kind]
    words: Words = ()
    damping, margin = swept.least_damping, swept.least_margin
    if swept.stable and damping is not None and damping.damping is not None and damping.damping < 1:
        words = ("The least damping of a pole, −Re p/|p|, is ", Reading(damping.damping, "1", 3), ", at ",
                 Reading(damping.value, unit, 3))  # fmt: skip
    if swept.stable and margin is not None and margin.phase_margin is not None and swept.loop is not None:
        words = (*words, "; the least" if words else "The least", " phase margin of ", source(swept.loop), " is ",
                 Reading(margin.phase_margin, "°", 3), ", at ", Reading(margin.value, unit, 3))  # fmt: skip
    return (*words, f", of {A_DECADE} values looked at in each decade.") if words else ()


def _table(swept: Swept) -> Table:
    unit = UNITS[swept.sweep.kind]
    columns = (
        Column(("From",), "right"), Column(("to",), "right"), Column(("poles in the right half plane",), "right"),
        Column(("what happens at the upper end",), width=0.4),
    )  # fmt: skip
    rows = []
    for place, span in enumerate(swept.spans):
        words: Words = ("",)
        if place < len(swept.borders):
            at = swept.borders[place].frequency
            words = ("a pair passes the axis at ", Reading(at, "Hz"))
            if at in (0.0, inf):
                words = ("a real pole passes through zero" if not at else "a pole passes through infinity",)
        rows.append(((Reading(span.low, unit),), (Reading(span.high, unit),), (str(span.right),), words))
    return Table(columns, tuple(rows))
