"""What connections do, on the page: the ranked table of all, and those that the author asks to have cut.

Enters: a survey of loops. Leaves: blocks. Must not know: LaTeX. Every sentence is made from numbers by a rule.
"""

from __future__ import annotations

from math import log10

from derive.approximate.ground import Ground
from derive.document.compose.loop_words import damping_words, pin, source
from derive.document.records import Block, Column, Heading, Ledger, Paragraph, Row, Table
from derive.explain.connection import MATTERS, Compared, Cut, State
from derive.explain.effects import Effects
from derive.explain.loop_survey import Survey
from derive.explain.written import Written
from derive.expression.tree import Call, Name
from derive.words import Formula, Reading, Words

CARRIES = 0.1
"""A connection carries a loop where no more than this part of T is left without it."""
MOST = 16
"""Connections that the table shows; the record has all."""


def blocks(survey: Survey, ground: Ground) -> list[Block]:
    """The section on connections; nothing where there is nothing to compare."""
    found: list[Block] = []
    if survey.effects is not None and survey.effects.loop is not None and survey.effects.effects:
        found += _ranked(survey.effects, ground)
    for one in survey.cuts:
        found += _cut(one, ground)
    return [Heading(1, ("Connections",)), *found] if found else []


def _ranked(effects: Effects, ground: Ground) -> list[Block]:
    shown = effects.effects[:MOST]
    names: list[Words] = [
        ("T of ", source(w.name)) if effects.loop is not None and not place else (Formula(Name(w.name)),)
        for place, w in enumerate(effects.watched)
    ]
    last: tuple[Column, ...] = (Column(("The connection",), width=0.3),) if effects.loop is not None else ()
    columns = (Column(("Cut",), width=0.24), *(Column(name, "right") for name in names), *last)
    with_all: list[Words] = [(Reading(w.value, w.unit, 4, "magnitude"),) for w in effects.watched]
    rows: list[tuple[Words, ...]] = [(("nothing",), *with_all, *((("",),) if last else ()))]
    for effect in shown:
        values: list[Words] = [
            ("none",) if value is None else (Reading(value, w.unit, 4, "magnitude"),)
            for w, value in zip(effects.watched, effect.values, strict=True)
        ]
        adds: tuple[Words, ...] = ((added(effects.watched[0].value, effect.values[0]),),) if last else ()
        where: Words = (*pin(effect.part, effect.pin, effect.node), *(() if effect.pin else (" taken out",)))
        rows.append((where, *values, *adds))
    words: Words = (
        "Each pin of a device in turn is held at signal ground instead of following its node, each part between two "
        "nodes that move is taken out; the bias point and with it all small-signal values stay. Numbers are for ",
        Reading(float(ground.spot or ground.band[0]), "Hz", 6, "stated"), ", those that change a size most first",
    )  # fmt: skip
    more = len(effects.effects) - len(shown)
    tail: list[str] = [f"{more} more change less than these"] if more else []
    if effects.left_out:
        tail.append(f"{effects.left_out} change nothing by more than {100 * MATTERS:g} %")
    if any(value is None for effect in shown for value in effect.values):
        tail.append("none: without a finite value")
    words = (*words, *(("; ", ", ".join(tail)) if tail else ()), ".")
    return [Paragraph(words), Table(columns, tuple(rows))]


def added(whole: complex, without: complex | None) -> str:
    """What a connection does to the loop, by T with it and without: it carries the loop where hardly any of T is left
    (CARRIES), whose feedback is then negative where |1 + T| is above one; else it raises or lowers |1 + T|, or neither.
    """
    if without is None:
        return "–"
    one, other = abs(1 + whole), abs(1 + without)
    if abs(without) <= CARRIES * abs(whole):
        return f"carries the loop: {'negative' if one > 1 else 'positive'} feedback"
    if abs(one - other) <= MATTERS * min(one, other):
        return "–"
    return "raises |1 + T|" if one > other else "lowers |1 + T|"


def _cut(found: Cut, ground: Ground) -> list[Block]:
    asked = found.connection
    where = pin(asked.part, asked.pin, asked.node)
    how = " held at signal ground" if asked.pin else " taken out"
    heading = Heading(2, (Formula(Name(asked.name)), ": ", *where, how), asked.name)
    made: list[Block] = [heading, Paragraph(cut_sentences(found, ground)), _table(found)]
    every = [*([found.loop.answer] if found.loop is not None else []), *found.answers]
    for compared in every:
        for state, words in ((compared.whole, "as it is"), (compared.cut, "with the connection cut")):
            if state.written is not None:
                made.append(_formula(state.written, words))
    return made


def cut_sentences(found: Cut, ground: Ground) -> Words:
    asked = found.connection
    what = " the connection of " if asked.pin else " "
    subject: Words = ("At ", Reading(float(ground.spot), "Hz", 6, "stated"), what)
    subject = (*subject, *pin(asked.part, asked.pin, asked.node))
    words: Words = ()
    if found.loop is not None:
        loop = found.loop
        of: Words = (" of ", source(loop.of))
        told = added(loop.answer.whole.spot or 0, loop.answer.cut.spot or 0)
        told = f": it {told}" if told.startswith("carries") else ""
        words = (*subject, *change(loop.answer, of), f"{told}. ")
        subject = ("It",)
    for compared in found.answers:
        words = (*words, *subject, *change(compared), ". ")
        subject = ("It",)
    whole, without = found.natural
    if without is not None and not without.stable:
        count = len(without.right)
        where = f"{count} pole{'s' if count != 1 else ''} in the right half plane" if count else "poles on the axis"
        words = (*words, f"Without it the circuit has {where}, so that the numbers without it are algebra alone. ")
    elif whole is not None and without is not None and whole.stable:
        words = (
            *words,
            "With it",
            *_damping(damping_words(whole)),
            "; without it",
            *_damping(damping_words(without)),
            ".",
        )
    return words


def _damping(words: Words) -> Words:
    return (str(words[0]).replace(";", "").replace("all are real", "all poles are real"), *words[1:])


def change(compared: Compared, of: Words = ()) -> Words:
    """“raises |T| of gm_Q2 from 84.0 to 5200”; “leaves” where the size changes by no more than MATTERS."""
    name: Words = (Formula(Call("abs", Name(compared.name))), *of)
    factor = compared.factor
    if factor is None:
        states: list[Words] = [_bare(s, compared.unit) for s in (compared.cut, compared.whole)]
        return (" changes ", *name, " from ", *states[0], " to ", *states[1])
    sizes = [Reading(abs(s.spot or 0), compared.unit, 4) for s in (compared.cut, compared.whole)]
    if not compared.changed:
        return (" leaves ", *name, " at ", sizes[1], " (without it ", sizes[0], ")")
    verb = " raises " if factor > 1 else " lowers "
    return (*(verb,), *name, " from ", sizes[0], " to ", sizes[1], " (", Reading(20 * log10(factor), "dB", 3), ")")


def _bare(state: State, unit: str) -> Words:
    if state.infinite:
        return ("infinity",)
    return ("no value",) if state.spot is None else (Reading(abs(state.spot), unit, 4),)


def _table(found: Cut) -> Table:
    columns = (
        Column(("",)), Column(("as it is",), "right"), Column(("cut",), "right"),
        Column(("corners as it is",), "right", 0.2), Column(("corners, cut",), "right", 0.2),
    )  # fmt: skip
    every = [*([found.loop.answer] if found.loop is not None else []), *found.answers]
    rows = tuple(
        (
            (Formula(Name(compared.name)),),
            _number(compared.whole, compared.unit), _number(compared.cut, compared.unit),
            _corners(compared, compared.whole), _corners(compared, compared.cut),
        )
        for compared in every
    )  # fmt: skip
    caption: Words = ("Corners: where a gain has fallen to 1/√2 of that at the spot.",)
    return Table(columns, rows, caption if any(c.kind == "Gain" for c in every) else ())


def _number(state: State, unit: str) -> Words:
    if state.infinite:
        return ("infinite",)
    return ("none",) if state.spot is None else (Reading(state.spot, unit, 4, "magnitude"),)


def _corners(compared: Compared, state: State) -> Words:
    if compared.kind != "Gain" or state.exact is None:
        return ("",)
    low, high = state.corners
    words: Words = () if low is None else ("below ", Reading(low, "Hz", 3))
    above: Words = () if high is None else ("above ", Reading(high, "Hz", 3))
    return (*words, *((", ",) if words and above else ()), *above) or ("none",)


def _formula(found: Written, which: str) -> Ledger:
    steps = found.steps
    first = Row((which,), steps[0].lines, steps[0].number, steps[0].note, steps[0].kind)
    return Ledger((first, *(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in steps[1:])))
