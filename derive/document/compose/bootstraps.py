"""Bootstraps as a table and as sentences.

Enters: the bootstraps of a question. Leaves: blocks. Must not know: LaTeX.

“Follows” is said where |1 - A| is at most TOGETHER (a third); “raises” of an impedance that the moving far end makes
larger by more than HARDLY; “negative” of a conductance or susceptance below minus NEGATIVE of the whole.
"""

from __future__ import annotations

from math import isinf

from derive.document.records import Block, Column, Heading, Ledger, Paragraph, Row, Table
from derive.explain.bootstraps import TOGETHER, Bootstrap, Bootstraps
from derive.expression.tree import Name, Sym
from derive.numbers import inwards
from derive.words import Formula, Node, Reading, Words

HARDLY = 0.01
"""A change of an impedance by less than this is told as hardly any."""
TOLD = 3
"""Bootstraps that are told in sentences; all stand in the table."""
UNITS = {"resistance": "Ω", "capacitance": "F", "inductance": "H"}


def bootstrap_blocks(found: Bootstraps, spot: float) -> list[Block]:
    """Nothing where no part's ends move together."""
    if not found.found:
        return []
    heading = Heading(2, ("Bootstraps under the excitation of ", Formula(Name(found.question))))
    made: list[Block] = [heading, _table(found)]
    for one in found.found[:TOLD]:
        made.append(Paragraph(bootstrap_words(one, spot)))
    made += _forms(found)
    if found.more:
        many = "one more part" if found.more == 1 else f"{found.more} more parts"
        made.append(Paragraph((f"There are {many} whose ends move together less closely.",)))
    return made


def _table(found: Bootstraps) -> Table:
    columns = (
        Column(("Part",)),
        Column(("From",)),
        Column(("Far end",)),
        Column(("Far over near",), "right"),
        Column(("Times itself",), "right"),
        Column(("Buys",), "right"),
        Column(("Works in",), width=0.2),
    )
    rows = tuple(
        (
            (Formula(Sym(one.symbol)),),
            (Node(one.near),),
            (Node(one.far),),
            (Reading(one.follows, "1", style="magnitude"),),
            (Reading(one.factor, "1", 3, style="magnitude"),),
            (Reading(one.buys, "1", 3),),
            _reach(one),
        )
        for one in found.found
    )
    third = Reading(float(TOGETHER), "1", 2)
    caption: Words = (
        "A part appears as its own impedance over one minus the ratio of far to near. What that buys is the ",
    )
    caption = (*caption, "impedance at the near end over that with the far end held at signal ground. It works in the ")
    caption = (*caption, "band in which the ratio stays within ", third, " of one.")
    return Table(columns, rows, caption)


def bootstrap_words(one: Bootstrap, spot: float) -> Words:
    """One bootstrap in sentences that can be read aloud; every claim has its number."""
    part = Formula(Sym(one.symbol))
    words: Words = (part, " (", Reading(one.value, UNITS[one.law], 3), ") runs from ", Node(one.near), " to ")
    if abs(1 - one.follows) <= TOGETHER:
        words = (*words, Node(one.far), ", which follows with ", Reading(one.follows, "V/V", style="magnitude"))
    else:
        words = (*words, Node(one.far), ", which moves by ", Reading(one.follows, "V/V", style="magnitude"))
    words = (*words, " for each volt. At ", Reading(spot, "Hz", 6, "stated"), " it appears as ", *_appears(one), ".")
    if "resistance" in one.negative and one.resistance is not None:
        words = (*words, " Its resistance is negative: it feeds ", Node(one.near), " instead of loading it.")
    if "capacitance" in one.negative and one.capacitance is not None:
        words = (*words, " Its capacitance is negative: it takes away from the others at ", Node(one.near), ".")
    ends: Words = (Reading(abs(one.held), "Ω", 3), " to ", Reading(abs(one.moving), "Ω", 3))
    if abs(one.buys - 1) < HARDLY:
        words = (*words, " It hardly changes the impedance at ", Node(one.near), ", from ", *ends, ".")
    else:
        way = "raises" if one.buys > 1 else "lowers"
        words = (*words, f" That {way} the impedance at ", Node(one.near), " from ", *ends, ", a factor of ")
        words = (*words, Reading(one.buys if one.buys > 1 else 1 / one.buys, "1", 3), ".")
    if one.share is not None and one.share_held is not None:
        words = (
            *words,
            " Its share of the port's current is ",
            Reading(one.share.real, "1", 3),
            " in phase; with the ",
        )
        words = (*words, "far end held it would be ", Reading(one.share_held.real, "1", 3), ".")
    return words


def _appears(one: Bootstrap) -> Words:
    words: Words = ()
    if one.resistance is not None:
        words = (Reading(one.resistance, "Ω", 4),)
    if one.capacitance is not None:
        words = (*words, *((" beside ",) if words else ()), Reading(one.capacitance, "F", 4))
    return words or ("nothing that counts",)


def _reach(one: Bootstrap) -> Words:
    low, high, digits = inwards(one.low, one.high)
    if low == 0 and isinf(high):
        return ("all frequencies",)
    if low == 0:
        return ("up to ", Reading(high, "Hz", digits))
    if isinf(high):
        return ("from ", Reading(low, "Hz", digits), " up")
    return (Reading(low, "Hz", digits), " to ", Reading(high, "Hz", digits))


def _forms(found: Bootstraps) -> list[Block]:
    """What is left across each part, as a formula where one can be read; once for parts side by side."""
    rows: dict[str, list[Row]] = {}
    for one in found.found:
        if one.left.tree is not None and one.left.name.name not in rows:
            rows[one.left.name.name] = [Row(s.rule, s.lines, s.number, s.note, s.kind) for s in one.left.steps]
    return [Ledger(tuple(row for group in rows.values() for row in group))] if rows else []
