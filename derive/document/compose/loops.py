"""The loops of a circuit on the page: return ratios, margins, what nests, poles, and the notice at the top.

Enters: a survey of loops. Leaves: blocks. Must not know: LaTeX. Every sentence is made from numbers by a rule.
"""

from __future__ import annotations

from math import pi

from derive.approximate.error import grid
from derive.approximate.ground import Ground
from derive.document.compose import connections, sweeps
from derive.document.compose.loop_words import poles_words, real_or_pair, senses, source
from derive.document.compose.phrases import several
from derive.document.records import (
    Block,
    Column,
    Curve,
    Heading,
    Ledger,
    Locus,
    LoopPlot,
    Mark,
    Notice,
    Paragraph,
    Plot,
    PolarPlot,
    RootMap,
    Row,
    Table,
)
from derive.explain.loop_survey import Survey
from derive.explain.loops import Loop, Loops, steady
from derive.explain.nesting import NESTS
from derive.explain.thresholds import LOOP
from derive.explain.wording import listed
from derive.words import Formula, Reading, Words

MOST_NESTED = 3
"""Sources held dead that are told for each loop; the record has all."""
BEYOND = 10.0
"""How far a plot reaches beyond the author's band, each way, and beyond the last margin."""
FARTHEST = 1e12
"""Hz; no plot goes further."""


def loop_notices(survey: Survey) -> list[Block]:
    """What the top of the sheet says where poles lie in the right half plane or on the axis; else nothing."""
    found = survey.loops.natural
    if found is None or found.stable:
        return []
    words: Words
    if found.right:
        one = len(found.right) == 1
        count = "One pole" if one else f"{len(found.right)} poles"
        where = listed(real_or_pair(found.right), ", ", " and ")
        words = (f"{count} of the network {'lies' if one else 'lie'} in the right half plane: ", *where)
        words = (*words, ". Responses over frequency then mean nothing.")
    else:
        places = listed([(Reading(w / (2 * pi), "Hz"),) for w in sorted(set(found.axis))], ", ", " and ")
        words = ("Poles of the network lie on the imaginary axis, at ", *places, ": what has begun there goes on "
                 "without end, and responses near it mean little.")  # fmt: skip
    return [Notice("warning", (*words, *_oscillation(survey.loops, survey)))]


def _oscillation(loops: Loops, survey: Survey) -> Words:
    """The frequency of a steady oscillation, and what the source would have to be for it."""
    loop = loops.main
    place = steady(loop) if loop is not None and loops.natural is not None else None
    if loop is None or place is None or not _turns(loops):
        return ()
    words: Words = (" A steady oscillation at ", Reading(place.frequency, "Hz"), " needs ", source(loop), " times ")
    words = (*words, Reading(place.factor, "1"))
    value = loop.value(survey.numbers)
    if value is not None:
        unit = "S" if loop.element.symbol is not None else "1"
        words = (*words, ", which is ", Reading(value * place.factor, unit), " instead of ", Reading(value, unit))
    return (*words, "; its amplitude is set by what small-signal algebra leaves out.")


def _turns(loops: Loops) -> bool:
    """Whether what grows, or goes on, oscillates."""
    found = loops.natural
    return found is not None and (bool(found.axis) or any(p.imag for p in found.right))


def loop_blocks(survey: Survey, ground: Ground, zeros: tuple[complex, ...] = ()) -> list[Block]:
    """The sections on loops, connections and stability. ``zeros``: of the first gain (rad/s), for the map of roots."""
    found: list[Block] = []
    loops = survey.loops
    counted = [loop for loop in loops.loops if loop.counts]
    if loops.loops:
        found += [Heading(1, ("Loops",)), *_table(loops, ground), *_forms(counted, survey), *_nesting(counted)]
        if counted:
            found += _plots(counted[0], loops, ground, zeros)
    elif loops.natural is not None and loops.natural.all and survey.swept:
        found += [Heading(1, ("Stability",)), Paragraph(poles_words(loops))]
    found += connections.blocks(survey, ground)
    return found + sweeps.blocks(survey)


def _table(loops: Loops, ground: Ground) -> list[Block]:
    counted = [loop for loop in loops.loops if loop.counts]
    rest = [loop for loop in loops.loops if not loop.counts]
    small: Words = ()
    if rest:
        names = listed([(source(loop),) for loop in rest], ", ", " and ")
        verb = "closes no loop that counts" if len(rest) == 1 else "close no loop that counts"
        small = (*names, f" {verb}: |T| is under {LOOP:g} at ", Reading(float(ground.spot), "Hz", 6, "stated"))
        small = (*small, " and nowhere passes one. ")
    if not counted:
        return [Paragraph((*small, *poles_words(loops)))]
    words: Words = (
        "The return ratio T of each controlled source at ", Reading(float(ground.spot), "Hz", 6, "stated"),
        ": where |1 + T| is above one the feedback around the source is negative, below one positive. The critical "
        "value is T = −1. ",
    )  # fmt: skip
    columns = (
        Column(("Source",)), Column(("T",), "right"),
        Column(("|1 + T|",), "right"), Column(("Feedback",), width=0.22), Column(("|T| = 1 at",), "right"),
        Column(("Phase margin",), "right"), Column(("Factor to −1",), "right"),
    )  # fmt: skip
    rows = tuple(_row(loop, ground) for loop in counted)
    margin: Words = (
        "A margin belongs to the source at which the loop is opened; another source of the same circuit has others. ",
    )
    last = Paragraph((*margin, *_unsure(counted), *poles_words(loops)))
    return [Paragraph((*words, *small)), Table(columns, rows), last]


def _row(loop: Loop, ground: Ground) -> tuple[Words, ...]:
    margins = loop.margins
    unity: Words = listed([(Reading(c.frequency, "Hz", 3),) for c in margins.unity[:2]], ", ") or ("never",)
    phase: Words = listed([(Reading(c.phase_margin, "°", 3),) for c in margins.unity[:2]], ", ") or ("–",)
    factors = [c for c in (margins.downward, margins.upward) if c is not None]
    factor: Words = listed([(Reading(c.factor, "1", 3), " at ", Reading(c.frequency, "Hz", 3)) for c in factors], ", ")
    size = abs(1 + loop.spot)
    return (
        (source(loop),), (Reading(loop.spot, "1", 4, "magnitude"),), (Reading(size, "1", 4),),
        senses(margins, ground.band), unity, phase, factor or ("–",),
    )  # fmt: skip


def _unsure(counted: list[Loop]) -> Words:
    """Loops whose margins say nothing by themselves, since the circuit without the source is not stable."""
    names = [(source(loop),) for loop in counted if loop.opened is not None and not loop.opened.stable]
    if not names:
        return ()
    return ("With ", *listed(names, ", ", " or "), " dead the rest is not stable by itself, so that margins of T alone "
            "do not tell whether the whole is. ")  # fmt: skip


def _forms(counted: list[Loop], survey: Survey) -> list[Block]:
    """T of each source as a formula, in short; one that the author asks for stands in its own section."""
    asked = {question.name for question in survey.circuit.questions}
    found: list[Block] = []
    for loop in counted:
        if loop.written is None or loop.name.name in asked:
            continue
        steps = loop.written.steps
        first = Row(("return ratio of ", source(loop)), steps[0].lines, steps[0].number, steps[0].note, steps[0].kind)
        rest = tuple(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in steps[1:])
        found.append(Ledger((first, *rest)))
    return found


def _nesting(counted: list[Loop]) -> list[Block]:
    """Which sources' dead state changes T, the largest change first."""
    rows: list[tuple[Words, ...]] = []
    for loop in counted:
        for place, pair in enumerate(sorted(loop.nested, key=lambda n: -n.weight)[:MOST_NESTED]):
            held: Words = ("without a finite value",) if pair.held is None else (
                Reading(pair.held, "1", 4, "magnitude"),)  # fmt: skip
            first: Words = (source(loop),) if not place else ("",)
            alive: Words = (Reading(pair.alive, "1", 4, "magnitude"),) if not place else ("",)
            rows.append((first, alive, (source(pair.dead),), held))
    if not rows:
        return []
    words: Words = (
        "Loops that nest: held dead, another source changes T by more than ", Reading(100 * NESTS, "%", 2), " at the "
        f"spot. Shown are the {MOST_NESTED} at most that change each T most.",
    )  # fmt: skip
    columns = (
        Column(("Source",)), Column(("T",), "right"), Column(("with this one dead",)), Column(("T becomes",), "right"),
    )  # fmt: skip
    return [Paragraph(words), Table(columns, tuple(rows))]


def _plots(loop: Loop, loops: Loops, ground: Ground, zeros: tuple[complex, ...]) -> list[Block]:
    low, high = (float(f) for f in ground.band)
    every = [*(c.frequency for c in loop.margins.unity), *(c.frequency for c in loop.margins.critical)]
    places = [place for place in every if 0 < place < FARTHEST]
    wide = min([low, *places]) / BEYOND, min(max([high, *places]) * BEYOND, FARTHEST)
    spectrum = loop.exact.spectrum
    every_root = loops.natural.all if loops.natural is not None else ()
    shown = [tuple(r for r in side if abs(r) <= 2 * pi * FARTHEST) for side in (every_root, zeros)]
    roots = RootMap(shown[0], shown[1]) if shown[0] else None
    left = len(every_root) + len(zeros) - len(shown[0]) - len(shown[1])
    beyond: Words = ()
    if left and roots is not None:
        beyond = (f"{several(left, 'root')} beyond ", Reading(FARTHEST, "Hz", 1, "stated"), " ",
                  "is" if left == 1 else "are", " left out.")  # fmt: skip
    if len(spectrum.numerator) < 2 and len(spectrum.denominator) < 2:
        title: Words = ("Poles and zeros",)
        return [PolarPlot(f"roots-{loop.name.name}", title, None, roots, beyond)] if roots is not None else []
    frequencies = grid(wide, spectrum)
    curve = Curve("exact", tuple(map(float, frequencies)), tuple(map(complex, spectrum.sample(frequencies))))
    spot = float(ground.spot)
    plot = Plot(f"loop-{loop.name.name}", (Formula(loop.name), ", return ratio of ", source(loop)), "1", (curve,),
                (low, high), spot)  # fmt: skip
    unity = tuple(Mark(c.frequency, c.phase_margin) for c in loop.margins.unity)
    critical = tuple(Mark(c.frequency, c.factor) for c in loop.margins.critical if c.frequency > 0)
    locus = Locus(curve, spot, tuple(c.frequency for c in loop.margins.unity), loop.encirclements)
    turns: Words = ()
    if loop.encirclements is not None:
        turns = (f"The whole curve goes round −1 clockwise {_times(loop.encirclements)}.",)
    beside: Words = (" and the poles of the network", " with the zeros of the gain" if zeros else "")
    return [
        LoopPlot(plot, unity, critical),
        PolarPlot(f"plane-{loop.name.name}", (Formula(loop.name), " in its plane", *(beside if roots else ())), locus,
                  roots, (*turns, *((" ",) if turns and beyond else ()), *beyond)),
    ]  # fmt: skip


def _times(count: int) -> str:
    if count < 0:
        return f"{count} times, so {-count} {'time' if count == -1 else 'times'} anticlockwise"
    return {0: "zero times", 1: "once", 2: "twice"}.get(count, f"{count} times")
