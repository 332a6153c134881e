"""The section on what tolerances do to the answers.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.derivation.analysis import Analysis
from derive.document.compose import criteria, sensitivities
from derive.document.compose.phrases import NOTHING, change, joined, several, signed
from derive.document.compose.readings import named, named_at, number, relative
from derive.document.figures import Histograms, Panel
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.expression.tree import Sym
from derive.numbers import grouped_count
from derive.tolerance.records import Extreme, Recheck, Spread, Tolerances
from derive.words import Formula, Node, Reading, Words


def blocks(analysis: Analysis) -> list[Block]:
    """The section; nothing where neither a tolerance nor a criterion is stated."""
    found, spot = analysis.tolerances, analysis.circuit.about.spot
    wanted = criteria.blocks(analysis)
    if found is not None and found.why:
        words = f"The tolerances could not be carried through to the answers: {found.why}."
        return [Heading(1, ("Tolerances",)), Paragraph((words,)), *wanted]
    if found is None or not found.spreads:
        return [Heading(1, ("Criteria",)), *wanted] if wanted else []
    rows = tuple(_row(spread, spot) for spread in found.spreads)
    columns = (
        Column(("Answer",)), Column(("As described",), "right"), Column(("Lowest",), "right"), Column(("",), "right"),
        Column(("Highest",), "right"), Column(("",), "right"), Column(("95 % of circuits",)),
    )  # fmt: skip
    return [
        Heading(1, ("Tolerances",)),
        Paragraph(_explained(found)),
        Table(columns, rows),
        Paragraph(_roads(found, spot)),
        *_picture(found, spot),
        *wanted,
        *sensitivities.blocks(found, spot),
        *_recheck(found),
    ]


def _row(spread: Spread, spot: Fraction) -> tuple[Words, ...]:
    reading, worst, drawn = spread.reading, spread.worst, spread.drawn
    return (
        named_at(reading.of, reading.quantity, reading.frequency, spot),
        number(reading.nominal, reading.unit),
        *_extreme(worst.lowest, spread),
        *_extreme(worst.highest, spread),
        (*number(drawn.low, reading.unit), " to ", *number(drawn.high, reading.unit)),
    )


def _extreme(extreme: Extreme, spread: Spread) -> tuple[Words, Words]:
    value = extreme.value
    if value is None:
        return ("no operating point",), NOTHING
    return number(value, spread.reading.unit), _apart(value, spread)


def _apart(value: float, spread: Spread) -> Words:
    """By how much a value differs from the nominal one."""
    reading = spread.reading
    if relative(reading.quantity):
        return change(value, reading.nominal)
    return signed(value - reading.nominal, reading.unit, 3)


def _explained(found: Tolerances) -> Words:
    chance = found.chance
    how = (
        "every value within its tolerance being as likely"
        if chance.distribution == "uniform"
        else "values normal, with a standard deviation of a third of the tolerance and nothing beyond it"
    )
    words: Words = (
        "Lowest and highest are worst cases, solved anew with the bias following. The last column, between whose "
        f"values 95 % of them lie, comes from {grouped_count(chance.samples)} circuits drawn by chance (seed "
        f"{chance.seed}), {how} and each cause by itself, evaluated from the exact answer",
    )
    if found.linearised:
        words = (*words, " with the slopes of devices, and so the bias point, linearised: each slope moves as a "
                 "product of powers of the values, the powers taken at this bias point.")  # fmt: skip
    else:
        words = (*words, "; no slope of a device moves, so nothing is linearised.")
    if found.together:
        names = joined([(Node(part),) for part in found.together])
        words = (*words, " ", Formula(Sym("Idss")), " and ", Formula(Sym("Vp")), " of ", *names, " move together.")
    return words


def _roads(found: Tolerances, spot: Fraction) -> Words:
    """How the worst cases were found, said for each answer."""
    corners = [s for s in found.spreads if s.worst.road == "corners"]
    search = [s for s in found.spreads if s.worst.road == "search"]
    words: Words = ()
    if corners:
        which: Words = joined([_named(s, spot) for s in corners]) if search else ()
        words = (
            *(("For ", *which, " the ") if search else ("The ",)), "worst cases are corners of the tolerances: at all "
            f"{corners[0].worst.looked} places looked at, each cause moves the reading in one direction only "
            "(looked at, not proved).",
        )  # fmt: skip
    for spread in search:
        turning = joined([(name,) for name in spread.worst.turning[:4]])
        words = (
            *words, *((" ",) if words else ()), "For ", *_named(spread, spot),
            " they were found by search, since ", *turning,
            " turn" if len(spread.worst.turning) > 1 else " turns",
            " within the tolerances; a search may miss a narrow extreme.",
        )  # fmt: skip
    return words


def _named(spread: Spread, spot: Fraction) -> Words:
    reading = spread.reading
    return named_at(reading.of, reading.quantity, reading.frequency, spot)


def _picture(found: Tolerances, spot: Fraction) -> list[Block]:
    drawn = [s for s in found.spreads if s.drawn.counts and s.moves]
    if not drawn:
        return []
    letters = "abcdefghijklmnopqrstuvwxyz"
    which: list[Words] = [
        (f"{letters[place % 26]}: ", *named_at(s.reading.of, s.reading.quantity, s.reading.frequency, spot))
        for place, s in enumerate(drawn)
    ]
    limits = any(s.reading.criterion is not None for s in drawn)
    told: Words = (*joined(which, ", "), ". ") if len(drawn) > 1 else ()
    shade = "; coloured ground: what a criterion rules out" if limits else ""
    caption: Words = (
        *told, "Circuits by their deviation from the value as described; strokes at the foot: worst cases; dots: 95 % "
        f"lie between{shade}. The outermost bars hold what lies beyond them.",
    )  # fmt: skip
    return [
        Histograms("tolerances", ("Scatter within the tolerances",), tuple(_panel(s) for s in drawn), caption)
    ]  # fmt: skip


def _panel(spread: Spread) -> Panel:
    reading, drawn, worst = spread.reading, spread.drawn, spread.worst
    percent = relative(reading.quantity)

    def place(value: float) -> float:
        return 100 * (value / reading.nominal - 1) if percent else value - reading.nominal

    ends = [e.linear if e.value is None else e.value for e in (worst.lowest, worst.highest)]
    criterion = reading.criterion
    limits = (None, None) if criterion is None else tuple(
        None if limit is None else place(float(limit)) for limit in (criterion.at_least, criterion.at_most)
    )  # fmt: skip
    return Panel(
        tuple(place(e) for e in drawn.edges), drawn.counts, "%" if percent else reading.unit,
        (place(ends[0]), place(ends[1])), (place(drawn.low), place(drawn.high)), limits,  # type: ignore[arg-type]
    )  # fmt: skip


def _recheck(found: Tolerances) -> list[Block]:
    """The linearised circuits beside the same solved anew."""
    checked = [(s, s.recheck) for s in found.spreads if s.recheck is not None and s.moves]
    if not checked:
        return []
    columns = (
        Column(("Answer",)), Column(("Mean, solved anew",), "right"), Column(("linearised",), "right"),
        Column(("Standard deviation, solved anew",), "right"), Column(("linearised",), "right"),
        Column(("Largest difference",), "right"),
    )  # fmt: skip
    first = checked[0][1]
    lost = "" if first.solved == first.tried else f", of which {first.tried - first.solved} found no operating point"
    words: Words = (
        f"A check on the linearised bias: the first {several(first.tried, 'circuit')} of the sample were solved anew "
        f"in full{lost}. The largest difference of a single circuit is told as a part of the range that these circuits "
        "cover.",
    )
    rows = tuple(_checked(spread, recheck) for spread, recheck in checked if recheck.solved)
    return [Heading(2, ("Linearised and solved anew",)), Paragraph(words), Table(columns, rows)]


def _checked(spread: Spread, recheck: Recheck) -> tuple[Words, ...]:
    unit = spread.reading.unit
    return (
        named(spread.reading.of, spread.reading.quantity),
        number(recheck.mean, unit), number(recheck.linear_mean, unit),
        number(recheck.deviation, unit, 3), number(recheck.linear_deviation, unit, 3),
        (Reading(100 * recheck.worst, "%", 2),),
    )  # fmt: skip
