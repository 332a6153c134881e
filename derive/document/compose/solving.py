"""Sections on parts that were solved for.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.derivation.analysis import Analysis
from derive.derivation.wording import percent
from derive.document.compose.phrases import NOTHING, change, joined, signed
from derive.document.compose.readings import named_at, number, relative
from derive.document.compose.regions import REGIONS
from derive.document.records import Block, Column, Heading, Ledger, Notice, Paragraph, Row, Table
from derive.expression.tree import Sym
from derive.solving.records import Given, Solved
from derive.words import Formula, Line, Node, Reading, Strong, Words

SAME = 1e-6
"""Relative difference below which the values at fixed bias and with the bias following are told as one."""
MOVED = 8
"""Symbols of devices listed that move with the bias."""


def blocks(analysis: Analysis) -> list[Block]:
    """One section for each part that was solved for."""
    return [block for found in analysis.solved for block in _section(found, analysis)]


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top where no value of a part does what is wanted."""
    return [
        Notice("warning", (Strong("Not to be had"), ": no", *_unreached(found, analysis)))
        for found in analysis.solved
        if found.value is None
    ]


def _section(found: Solved, analysis: Analysis) -> list[Block]:
    target, part = found.target, Formula(Sym(found.target.part))
    heading = Heading(1, ("Solving for ", part), f"solve_{target.part}_{target.of}")
    wanted: Words = ("Wanted: ", *_what(found, analysis), " of ", *_aim(found), ".")
    blocks: list[Block] = [heading, Paragraph(wanted), *_inverse(found)]
    if found.value is None:
        return [*blocks, Paragraph(("No", *_unreached(found, analysis)))]
    blocks.append(Paragraph(_result(found)))
    blocks.append(_table(found))
    if found.moved:
        blocks += _moved(found)
    return blocks


def _what(found: Solved, analysis: Analysis) -> Words:
    target = found.target
    return named_at(target.of, target.quantity, target.frequency, analysis.circuit.about.spot)


def _aim(found: Solved) -> Words:
    target = found.target
    value = abs(float(target.equals)) if target.quantity == "magnitude" else float(target.equals)
    sign = ", inverting" if target.quantity == "magnitude" and target.equals < 0 else ""
    return (Reading(value, target.unit, 6, "stated"), sign) if sign else (Reading(value, target.unit, 6, "stated"),)


def _inverse(found: Solved) -> list[Block]:
    """The formula, where there is one; it holds at fixed bias."""
    inverse = found.inverse
    if inverse is None:
        why = WHY_NONE[found.lacking] if found.lacking else WHY_NONE["long"]
        tail = " The value at fixed bias is a root of a quadratic with exact coefficients." if found.fixed else ""
        return [Paragraph((f"No closed form is printed: {why}.{tail}",))]
    target = found.target
    reading: Words = (Reading(inverse.value, found.unit),)
    if inverse.exact:
        note: Words = ("checked: put into the exact answer it gives the answer wanted, at three random exact points",)
        rule: Words = ("the exact answer turned round, ", Strong("at fixed bias"))
    else:
        rule = ("the answer under its statements turned round, ", Strong("at fixed bias"))
        note = ("equal to that form turned round",)
        if inverse.error is not None:
            note = (*note, "; error ", *percent(inverse.error), " of the value that the exact answer asks for")
        else:
            note = (*note, "; the exact answer asks for no such value at fixed bias")
    line = Line(Sym(target.part), "=" if inverse.exact else "≈", inverse.tree)
    return [Ledger((Row(rule, (line,), reading, note, "equal" if inverse.exact else "approximate"),))]


def _result(found: Solved) -> Words:
    assert found.value is not None
    part = Formula(Sym(found.target.part))
    words: Words = (part, " = ", Reading(found.value, found.unit))
    if not found.follows:
        words = (*words, "; no slope of a device depends on it, so the bias point stays as it is.")
    elif not found.fixed:
        words = (*words, " with the bias following; at fixed bias no value does it.")
    elif abs(found.fixed[0] / found.value - 1) < SAME:
        words = (*words, ", with the bias following as at fixed bias.")
    else:
        apart = change(found.fixed[0], found.value)
        words = (*words, " with the bias following; at fixed bias it would be ", Reading(found.fixed[0], found.unit),
                 " (", *apart, "), which the bias that moves makes wrong.")  # fmt: skip
    if found.follows:
        words = (*words, " Devices that the bias takes along are solved anew with every value.")
    words = (*words, *_left(found, 0))
    others = [
        (Reading(value, found.unit), *_left(found, place)) for place, value in enumerate(found.solved) if place
    ]  # fmt: skip
    if others:
        words = (*words, " Also found: ", *joined(others), ".")
    return words


def _left(found: Solved, place: int) -> Words:
    """Which devices leave their region at a solution."""
    if not found.follows or place >= len(found.left) or not found.left[place]:
        return ()
    told = joined([(Node(name), f" is {REGIONS[region]}") for name, region in found.left[place]])  # type: ignore[index]
    return (" There ", *told, ".") if place == 0 else (" (where ", *told, ")")


WHY_NONE = {
    "frequency": "the answer depends on the frequency, also under its statements",
    "long": "it would be too long to read",
    "negative": "turned round at fixed bias, the answer asks for a value that is not positive",
    "quantity": "one is printed for a magnitude only",
    "absent": "at fixed bias the answer does not depend on the part",
    "branch": "the answer turned round leads to another value than the one found",
}
ROLES = {
    "described": "as described",
    "fixed": "solved at fixed bias",
    "solved": "solved",
    "nearest": "nearest of ",
    "neighbour": "its neighbour on the other side",
}


def _table(found: Solved) -> Table:
    target = found.target
    following = ", bias following" if found.follows else ""
    columns = (
        Column((Formula(Sym(target.part)),), "right"), Column(("",)),
        Column((f"Gives{following}",), "right"), Column(("From what is wanted",), "right"),
    )  # fmt: skip
    return Table(columns, tuple(_given(given, found) for given in found.given))


def _given(given: Given, found: Solved) -> tuple[Words, ...]:
    target = found.target
    role = ROLES[given.role] + (target.series if given.role == "nearest" else "")
    exact = given.role in ("nearest", "neighbour", "described")
    value: Words = (Reading(float(given.value), found.unit, 6 if exact else 4, "stated" if exact else "plain"),)
    if given.reading is None:
        return value, (role,), ("no operating point",), NOTHING
    wanted = float(target.equals)
    signed_size = abs(given.reading) if given.reading * wanted > 0 and target.quantity == "magnitude" else given.reading
    if given.role == "solved":
        off: Words = NOTHING
    elif relative(target.quantity):
        off = change(given.reading, wanted)
    else:
        apart = given.reading - wanted
        off = signed(apart, target.unit, 3) if abs(apart) >= 0.005 else (Reading(0.0, target.unit, 3),)
    return value, (role,), number(signed_size, target.unit), off


def _moved(found: Solved) -> list[Block]:
    """How the devices' slopes follow."""
    told = found.moved[:MOVED]
    columns = (Column(("Follows the bias",)), Column(("As described",), "right"), Column(("As solved",), "right"),
               Column(("",), "right"))  # fmt: skip
    rows = tuple(
        ((Formula(Sym(m.name)),), number(m.before, m.unit), number(m.after, m.unit), change(m.after, m.before))
        for m in told
    )
    return [Table(columns, rows)]


def _unreached(found: Solved, analysis: Analysis) -> Words:
    part = Formula(Sym(found.target.part))
    words: Words = (" value of ", part, " gives ", *_what(found, analysis), " of ", *_aim(found))
    if found.reached is not None:
        low, high = found.looked
        unit = found.target.unit
        ends = sorted(abs(v) for v in found.reached) if found.target.quantity == "magnitude" else list(found.reached)
        between: Words = (*number(ends[0], unit), " and ", *number(ends[-1], unit))
        words = (*words, ": looked at in 121 places from ", Reading(low, found.unit, 3), " to ",
                 Reading(high, found.unit, 3), ", the bias following, it lies between ", *between)  # fmt: skip
    return (*words, ".")
