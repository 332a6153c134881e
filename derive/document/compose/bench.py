"""The section on measurements: predicted beside measured, and what would explain a difference.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.bench.compare import LIKELY
from derive.bench.records import Benches, Compared, Explanation, Held
from derive.circuit.parts import KINDS
from derive.circuit.records import Circuit
from derive.derivation.analysis import Analysis
from derive.document.compose.phrases import NOTHING, change, joined, several, signed
from derive.document.compose.readings import named, named_at, number
from derive.document.figures import Comparison
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table
from derive.expression.tree import Name
from derive.words import Formula, Node, Reading, Strong, Words

SHOWN = 14
"""Rows of a sweep that are listed, those farthest off; the record has all."""
HINTS = 5
COVERED = 2


def blocks(analysis: Analysis) -> list[Block]:
    """The section; nothing where nothing was measured."""
    found = analysis.benches
    if found is None:
        return []
    return [
        Heading(1, ("On the bench",)),
        Paragraph(_explained(analysis)),
        *[block for place, held in enumerate(found.held) for block in _held(held, place, analysis)],
        *_hints(found, analysis.circuit),
    ]


def warnings(analysis: Analysis) -> list[Block]:
    """A notice at the top for each bench that disagrees."""
    if analysis.benches is None:
        return []
    return [
        Notice("warning", (Strong("A measurement disagrees"), ": ", Formula(Name(held.bench.of)), f"{_label(held)}. ",
                           *_verdict(held)))
        for held in analysis.benches.held
        if not held.agrees
    ]  # fmt: skip


def _explained(analysis: Analysis) -> Words:
    words = (
        "Each difference is measured less predicted, in units of the combined standard uncertainty: that of the "
        "measurement (its expanded uncertainty over k) and that of the prediction (from the tolerances, each taken as "
        + (
            "limits within which every value is as likely"
            if analysis.circuit.wanted.chance.distribution == "uniform"
            else "three standard deviations"
        )
        + ", to first order with the bias following), by the root of the sum of their squares (JCGM 100). A "
        "single one within two counts as met. ± stands for expanded uncertainties, with the measurement's coverage "
        "factor k."
    )
    return (words,)


def _label(held: Held) -> str:
    return f" ({held.bench.name})" if held.bench.name else ""


def _held(held: Held, place: int, analysis: Analysis) -> list[Block]:
    bench = held.bench
    name: Words = (f"{bench.name}: ",) if bench.name else ()
    found: list[Block] = [Heading(2, (*name, Formula(Name(bench.of)), " as measured"))]
    about: list[Words] = []
    if bench.because:
        about.append((bench.because,))
    if bench.file:
        about.append(
            (
                several(len(held.rows), "reading"),
                " from a file beside the description.",
            )
        )
    if bench.meter is not None:
        about.append(_meter(held))
    if about:
        found.append(Paragraph(tuple(piece for words in about for piece in (*words, " "))[:-1]))
    found.append(_table(held, analysis))
    found.append(Paragraph((*_verdict(held),)))
    found += _pictures(held, place)
    return found


def _meter(held: Held) -> Words:
    meter = held.bench.meter
    assert meter is not None
    values: list[Words] = []
    if meter.resistance is not None:
        values.append((Reading(float(meter.resistance), "Ω", 6, "stated"),))
    if meter.capacitance is not None:
        values.append((Reading(float(meter.capacitance), "F", 6, "stated"),))
    where: Words = ("from ", Node(meter.plus), " to ", Node(meter.minus))
    return ("The meter is put into the network: ", *joined(values), " ", *where, ", at d.c. too where it conducts.")


def _table(held: Held, analysis: Analysis) -> Table:
    rows = sorted(held.rows, key=lambda row: -abs(row.score))[:SHOWN] if len(held.rows) > SHOWN else list(held.rows)
    rows = [row for row in held.rows if row in rows]
    bare = held.bench.meter is not None
    columns = [Column(("Reading",)), Column(("Measured",), "right"), Column(("",), "right")]
    columns.append(Column(("Predicted",), "right"))
    if bare:
        columns.append(Column(("without the meter",), "right"))
    columns += [
        Column(("",), "right"),
        Column(("Difference",), "right"),
        Column(("in standard uncertainties",), "right"),
    ]
    caption: Words = ()
    if len(rows) < len(held.rows):
        caption = (f"The {len(rows)} of {len(held.rows)} readings that are farthest off; the record has all.",)
    return Table(tuple(columns), tuple(_row(row, held, analysis, bare) for row in rows), caption)


def _row(row: Compared, held: Held, analysis: Analysis, bare: bool) -> tuple[Words, ...]:
    taken = row.taken
    spot = analysis.circuit.about.spot
    what = named_at(held.bench.of, taken.quantity, taken.frequency, spot)
    if len({r.taken.frequency for r in held.rows}) > 1 and taken.frequency == spot:
        what = (*what, " at ", Reading(float(spot), "Hz", 6, "stated"))
    score: Words = signed(row.score, "1", 2) if abs(row.score) >= LEAST else ("0",)
    far = abs(row.score) > COVERED
    return (
        what,
        (Reading(float(taken.value), taken.unit, 6, "stated"),),
        ("± ", Reading(float(taken.uncertainty), taken.unit, 2)),
        number(row.predicted, taken.unit),
        *((number(row.bare, taken.unit),) if bare else ()),
        ("± ", Reading(float(held.bench.k) * row.by_parts, taken.unit, 2)) if row.by_parts else NOTHING,
        signed(row.difference, taken.unit, 2),
        (Strong("! "), *score) if far else score,
    )


LEAST = 5e-3


def _verdict(held: Held) -> Words:
    count = len(held.rows)
    worst = max(held.rows, key=lambda row: abs(row.score))
    if count == 1:
        told: Words = ("It ", "agrees" if held.agrees else "disagrees", ": ", *_apart(worst), ".")
        return told
    verb = "lies" if held.outside == 1 else "lie"
    within = f"{held.outside} of {several(count, 'reading')} {verb} beyond two combined standard uncertainties"
    joint = held.joint
    together: Words = (
        "taken together, each tolerance moving all of them at once, chi squared is ", Reading(joint.squares, "1", 3),
        f" for {count} readings; chance gives as much in ", *_share(joint.chance), " of cases",
    )  # fmt: skip
    if joint.telling:
        together = (*together, f"; along the effect of {joint.telling}, which tells most, they are ",
                    Reading(abs(joint.score), "1", 2), " standard uncertainties off, which along an effect chosen "
                    "beforehand chance gives in ", *_share(joint.along), " of cases")  # fmt: skip
    if joint.looks > 1:
        together = (*together, f". For the verdict the least chance counts {joint.looks} times, once for each way of "
                    "looking at them, at most once a reading, and has to come to no less than ",
                    Reading(100 * LIKELY, "%", 1, "stated"))  # fmt: skip
    head = "They agree: " if held.agrees else "They disagree: "
    return (head, *together, ". ", within, "; the farthest, at ", Reading(float(worst.taken.frequency), "Hz", 3),
            ", is ", *_apart(worst), ".")  # fmt: skip


def _share(chance: float) -> Words:
    return ("under ", Reading(0.1, "%", 1)) if chance < 1e-3 else (Reading(100 * chance, "%", 2),)


def _apart(row: Compared) -> Words:
    return (Reading(abs(row.score), "1", 2), " combined standard uncertainties away")


def _pictures(held: Held, place: int) -> list[Block]:
    found: list[Block] = []
    for curve in held.curves:
        rows = [row for row in held.rows if row.taken.quantity == curve.quantity and row.taken.frequency]
        points = tuple(
            (float(r.taken.frequency), float(r.taken.value), float(r.taken.uncertainty), r.score) for r in rows
        )  # fmt: skip
        positive = all(value > 0 for value in curve.values) and all(point[1] > 0 for point in points)
        caption: Words = (
            "Line: predicted",
            ", meter in place" if held.bench.meter is not None else "",
            f"; rings with bars: measured, expanded uncertainty (k = {float(held.bench.k):g}). Below: the distance in "
            "combined standard uncertainties; coloured ground: within two.",
        )
        title = (*named(held.bench.of, curve.quantity), " predicted and measured")
        found.append(
            Comparison(f"bench-{place + 1}-{curve.quantity}", title, curve.unit, curve.frequencies, curve.values,
                       points, positive and curve.unit not in ("dB", "°"), tuple(w for w in caption if w))
        )  # fmt: skip
    return found


def _hints(found: Benches, circuit: Circuit) -> list[Block]:
    """Which single value, changed, would explain it."""
    if found.agrees:
        return []
    if not found.explanations:
        words = f"Of {several(found.tried, 'value')} changed one at a time, up to ten times up or down, none helps."
        return [Heading(2, ("What would explain it",)), Paragraph((words,))]
    words = (
        f"A hint, no proof: of {several(found.tried, 'value')}, each changed alone up to ten times up or down with the "
        "bias following, these bring all measurements together nearest to what is predicted. What is left is the root "
        f"mean square of the differences in units of the measurement's own standard uncertainty, {_root(found.before)} "
        "with nothing changed. Values that explain everything come first, of those the one that has to change least."
    )
    heads = ("As described", "Would be", "", "What is left")
    columns = (Column(("Value",)), *(Column((head,), "right") for head in heads), Column(("",)))
    rows = tuple(_hint(one, circuit) for one in found.explanations[:HINTS])
    return [Heading(2, ("What would explain it",)), Paragraph((words,)), Table(columns, rows)]


def _root(value: float) -> str:
    from derive.numbers import plain

    return plain(value, "1", 2)


def _hint(one: Explanation, circuit: Circuit) -> tuple[Words, ...]:
    head = KINDS[circuit.parts[one.part].kind].head
    plain_value = head is not None and head.record_name == one.key
    name: Words = (Node(one.part),) if plain_value else (f"{one.key} of ", Node(one.part))
    remarks = []
    if one.explains:
        remarks.append("explains all")
    if one.at_edge:
        remarks.append("at the end of what was tried")
    elif one.tolerance is not None:
        inside = abs(one.factor - 1) <= one.tolerance
        remarks.append("within its tolerance" if inside else "beyond its tolerance")
    return (
        name,
        (Reading(one.value, one.unit, 6, "stated"),),
        (Reading(one.changed, one.unit, 3),),
        change(one.changed, one.value),
        (Reading(one.rest, "1", 2),) if one.rest >= LEAST else ("0",),
        (", ".join(remarks),),
    )
