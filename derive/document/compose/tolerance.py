"""The section on what tolerances do to the answers.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction
from math import isfinite

from derive.derivation.analysis import Analysis
from derive.document.compose.phrases import NOTHING, change, joined, several, signed
from derive.document.compose.readings import named, named_at, number, relative
from derive.document.figures import Histograms, Panel
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table
from derive.expression.tree import Sym
from derive.numbers import grouped_count
from derive.tolerance.records import Extreme, Influence, Met, Recheck, Spread, Tolerances
from derive.words import Formula, Node, Reading, Strong, Words

CAUSES = 8
"""Causes listed for each reading; the record has all."""
LEAST = 1e-3
"""A cause that contributes less than this part of the root of the sum of squares is not listed."""


def blocks(analysis: Analysis) -> list[Block]:
    """The section; nothing where neither a tolerance nor a criterion is stated."""
    found, spot = analysis.tolerances, analysis.circuit.about.spot
    criteria = _criteria(analysis)
    if found is None or not found.spreads:
        return [Heading(1, ("Criteria",), "criteria"), *criteria] if criteria else []
    rows = tuple(_row(spread, spot) for spread in found.spreads)
    columns = (
        Column(("Answer",)), Column(("As described",), "right"), Column(("Lowest",), "right"), Column(("",), "right"),
        Column(("Highest",), "right"), Column(("",), "right"), Column(("95 % of circuits lie within",), "left"),
        Column(("",), "right"),
    )  # fmt: skip
    return [
        Heading(1, ("Tolerances",), "tolerances"),
        Paragraph(_explained(found)),
        Table(columns, rows),
        Paragraph(_roads(found)),
        *_picture(found, spot),
        *criteria,
        *_sensitivities(found, spot),
        *_recheck(found),
    ]


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top for each criterion that the circuit as described does not meet."""
    return [
        Notice("warning", (Strong("A criterion is not met"), ": ", *_wanted(met, analysis.circuit.about.spot), "; it is ",
                           *_read(met), "."))
        for met in analysis.criteria
        if not met.holds
    ]  # fmt: skip


def _row(spread: Spread, spot: Fraction) -> tuple[Words, ...]:
    reading, worst, drawn = spread.reading, spread.worst, spread.drawn
    return (
        named_at(reading.of, reading.quantity, reading.frequency, spot),
        number(reading.nominal, reading.unit),
        *_extreme(worst.lowest, spread),
        *_extreme(worst.highest, spread),
        (*number(drawn.low, reading.unit), " to ", *number(drawn.high, reading.unit)),
        (*_apart(drawn.low, spread), " to ", *_apart(drawn.high, spread)),
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
        f"Lowest and highest are worst cases, solved anew with the bias following. The last columns come from "
        f"{grouped_count(chance.samples)} circuits drawn by chance (seed {chance.seed}), {how} and each cause by "
        "itself, evaluated from the exact answer",
    )
    if found.linearised:
        words = (*words, " with the bias point linearised: each slope of a device moves as a product of powers of the "
                 "values, the powers taken at this bias point.")  # fmt: skip
    else:
        words = (*words, "; no slope depends on a bias point that moves, so nothing is linearised.")
    if found.together:
        names = joined([(Node(part),) for part in found.together])
        words = (*words, " ", Formula(Sym("Idss")), " and ", Formula(Sym("Vp")), " of ", *names, " move together.")
    return words


def _roads(found: Tolerances) -> Words:
    """How the worst cases were found, said for each answer."""
    corners = [s for s in found.spreads if s.worst.road == "corners"]
    search = [s for s in found.spreads if s.worst.road == "search"]
    words: Words = ()
    if corners:
        which: Words = joined([named(s.reading.of, s.reading.quantity) for s in corners]) if search else ()
        words = (
            *(("For ", *which, " the ") if search else ("The ",)), "worst cases are corners of the tolerances: at all "
            f"{corners[0].worst.looked} places looked at, each cause moves the reading in one direction only (looked at, "
            "not proved).",
        )  # fmt: skip
    for spread in search:
        turning = joined([(name,) for name in spread.worst.turning[:4]])
        words = (
            *words, *((" ",) if words else ()), "For ", *named(spread.reading.of, spread.reading.quantity),
            " they were found by search, since ", *turning,
            " turn" if len(spread.worst.turning) > 1 else " turns",
            " within the tolerances; a search may miss a narrow extreme.",
        )  # fmt: skip
    return words


def _picture(found: Tolerances, spot: Fraction) -> list[Block]:
    drawn = [s for s in found.spreads if s.drawn.counts]
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
        *told, "Circuits by their deviation from the value as described; strokes at the foot: worst cases; dots: 95 % lie "
        f"between{shade}. The outermost bars hold what lies beyond them.",
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


def _criteria(analysis: Analysis) -> list[Block]:
    """Each criterion with the value as described, and the part of the circuits that meets it."""
    if not analysis.criteria:
        return []
    spot, tolerances = analysis.circuit.about.spot, analysis.tolerances
    spreads = {} if tolerances is None else {s.reading.criterion: s for s in tolerances.spreads if s.reading.criterion}
    rows = []
    for met in analysis.criteria:
        spread = spreads.get(met.criterion)
        share = NOTHING if spread is None or spread.drawn.yielded is None else _share(spread.drawn.yielded)
        outcome: Words = ("met",) if met.holds else (Strong("not met"),)
        rows.append(((met.criterion.name,), _wanted(met, spot), _read(met), outcome, share))
    columns = (Column(("Criterion",)), Column(("Wanted",)), Column(("As described",), "right"), Column(("",)),
               Column(("Of the circuits meet it",), "right"))  # fmt: skip
    found: list[Block] = [Table(columns if spreads else columns[:-1],
                                tuple(row if spreads else row[:-1] for row in rows))]  # fmt: skip
    if tolerances is not None and tolerances.yielded is not None:
        samples = tolerances.chance.samples
        share = tolerances.yielded
        doubt = (share * (1 - share) / samples) ** 0.5
        words: Words = ("All criteria are met by ", *_share(share), f" of {grouped_count(samples)} circuits")
        if doubt:
            words = (*words, " (standard uncertainty of this count: ", Reading(100 * doubt, "%", 1), ")")
        found.append(Paragraph((*words, ".")))
    return found


def _share(share: float) -> Words:
    """A part of all circuits; one that is not all of them is not rounded to all."""
    if share in (0.0, 1.0):
        return ("none",) if share == 0 else ("all",)
    if share > 0.9995:
        return ("over ", Reading(99.95, "%", 4))
    return (Reading(100 * share, "%", 3),)


def _wanted(met: Met, spot: Fraction) -> Words:
    criterion = met.criterion
    what = named_at(criterion.of, criterion.quantity, criterion.frequency, spot)
    limits: list[Words] = []
    if criterion.at_least is not None:
        limits.append(("at least ", Reading(float(criterion.at_least), criterion.unit, 6, "stated")))
    if criterion.at_most is not None:
        limits.append(("at most ", Reading(float(criterion.at_most), criterion.unit, 6, "stated")))
    return (*what, " ", *joined(limits))


def _read(met: Met) -> Words:
    return number(met.value, met.criterion.unit) if isfinite(met.value) else ("no finite value",)


def _sensitivities(found: Tolerances, spot: Fraction) -> list[Block]:
    """Per answer: causes by what they contribute."""
    words: Words = (
        "By how many per cent an answer changes for one per cent of a value: ", Strong("at fixed bias"),
        " from the exact answer (no difference quotient), and with the bias following. Angles and decibels change by "
        "the number given when the value changes in the ratio e. The contribution is to first order, at the full "
        "tolerance upwards; the last line is the root of the sum of their squares.",
    )  # fmt: skip
    blocks: list[Block] = [Heading(2, ("Sensitivities, ranked",)), Paragraph(words)]
    for spread in found.spreads:
        if spread.reading.criterion is not None and _repeats(spread, found):
            continue
        blocks.append(_table(spread, spot))
    return blocks


def _repeats(spread: Spread, found: Tolerances) -> bool:
    """Whether a criterion reads what an answer of the table reads already."""
    first = next(s for s in found.spreads if _key(s) == _key(spread))
    return first is not spread


def _key(spread: Spread) -> tuple[str, str, Fraction]:
    return spread.reading.of, spread.reading.quantity, spread.reading.frequency


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


def _recheck(found: Tolerances) -> list[Block]:
    """The linearised circuits beside the same solved anew."""
    checked = [(s, s.recheck) for s in found.spreads if s.recheck is not None]
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
        f"A check on the linearised bias: the first {several(first.tried, 'circuit')} of the sample were solved anew in "
        f"full{lost}. The largest difference of a single circuit is told as a part of the range that these circuits "
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
