"""The section of a question of distortion: the harmonics, what makes them, what feedback takes away, how far it holds.

Enters: a DistortionStudy. Leaves: blocks, and the row among the answers at a glance. Must not know: LaTeX.
"""

from __future__ import annotations

from math import isfinite, log10, sqrt

from derive.circuit.records import Distortion
from derive.distortion.cancelling import CANCELS, left_of_all, pairs
from derive.distortion.records import DistortionStudy, Loop, Share
from derive.document.records import Block, Column, Family, Heading, Ledger, Notice, Paragraph, Row, Series, Table
from derive.expression.tree import ONE, Call, Name, Power, Product, Sym, negate, total
from derive.words import Formula, Inline, Node, Reading, Words

LEAST = 1e-4
"""Parts of the largest second or third harmonic below which nonlinearities are told together."""
SMALL = 1e-15
"""A harmonic below this part of the fundamental is rounding."""


def brief(study: DistortionStudy) -> Words:
    ask = _ask(study)
    return ("harmonics at ", Node(ask.to), " under ", Node(ask.driven_by))


def _ask(study: DistortionStudy) -> Distortion:
    assert isinstance(study.study.ask, Distortion)
    return study.study.ask


def glance(study: DistortionStudy) -> Row:
    """The row among the answers at a glance: both harmonics and what makes most of them."""
    second, third = _ratios(study)
    number: Words = (Reading(100 * second, "%", 3), " second", ", ", Reading(100 * third, "%", 3), " third")
    note: Words = ("at ", *_drive(study), "; ", *_leading(study))
    if study.peak > study.trusted:
        note = (*note, "; beyond what the method can tell")
    return Row((Formula(Name(study.study.name)), ", ", *brief(study)), (), number, note, "remark")


def _ratios(study: DistortionStudy) -> tuple[float, float]:
    size = abs(study.fundamental)
    return abs(study.second) / size, abs(study.third) / size


def _drive(study: DistortionStudy) -> Words:
    """The amplitude and the frequency, as they were asked."""
    ask = _ask(study)
    rms = ask.counted == "rms"
    size = float(ask.peak) / (sqrt(2) if rms else 1)
    where: Words = (" at the output, ",) if ask.of == "output" else (" of the signal, ",)
    unit = "V" if ask.of == "output" else study.unit
    words: Words = (Reading(size, unit, 6, "stated"), " r.m.s." if rms else " peak", *where)
    return (*words, Reading(float(ask.frequency), "Hz", 6, "stated"))


def blocks(study: DistortionStudy) -> list[Block]:
    """The section of one study."""
    heading = Heading(1, (Formula(Name(study.study.name)), ": ", *brief(study)), study.study.name)
    found: list[Block] = [heading, *_beyond(study), Paragraph(_opening(study)), _table(study)]
    found += _cancelling(study)
    if study.told:
        said = tuple(piece for sentence in study.told for piece in (*sentence, " "))
        found.append(Paragraph(said[:-1]))
    rows = tuple(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in study.algebra)
    words: Words = ("The largest term of the second harmonic, ", *study.shares[0].source.words, ":")
    found += [Heading(2, ("The dominant term",)), Paragraph(words), Ledger(rows)]
    if study.loop is not None:
        found += _loop(study.loop)
    found += _ends(study)
    found += [Heading(2, ("How far this holds",)), Paragraph(_validity(study))]
    return [*found, _plot(study)]


def _beyond(study: DistortionStudy) -> list[Block]:
    if study.peak <= study.trusted and all(r.swing <= r.room for r in study.regions):
        return []
    words = "At this amplitude the circuit is no longer weakly nonlinear; these numbers are not its distortion."
    return [Notice("warning", (words,))]


def _opening(study: DistortionStudy) -> Words:
    second, third = _ratios(study)
    ask = _ask(study)
    words: Words = ("With ", *_drive(study), ", the fundamental at ", Node(ask.to), " is ",
                    Reading(abs(study.fundamental), "V", 4), " peak, the second harmonic ", *_ratio(second),
                    " of it and the third ", *_ratio(third), ". ")  # fmt: skip
    return (
        *words, "Each device's law is expanded around the bias point to third order. The second harmonic is the linear "
        "circuit's answer, at twice the frequency, to the currents that the second-order terms make of the "
        "fundamental; "
        "the third likewise, of the third-order terms and of fundamental and second harmonic mixed (the method of "
        "nonlinear currents). All impedances, that of the source too, are those of the circuit at each frequency.",
    )  # fmt: skip


def _ratio(value: float) -> Words:
    if value < SMALL:
        return ("zero",)
    return (Reading(100 * value, "%", 3), " (", Reading(20 * log10(value), "dB", 3), ")")


def _table(study: DistortionStudy) -> Table:
    columns = (
        Column(("By",), width=0.33),
        Column(("Bends",)),
        Column(("Swing of its control",), "right"),
        Column(("Second",), "right"),
        Column(("Third",), "right"),
        Column(("its own term",), "right"),
    )
    size = abs(study.fundamental)
    most = max(abs(s.second) for s in study.shares), max(abs(s.third) for s in study.shares)
    shown = [s for s in study.shares if abs(s.second) > LEAST * most[0] or abs(s.third) > LEAST * most[1]]
    rows = [_share(share, size) for share in shown]
    whole = (_percent(abs(study.second) / size), _percent(abs(study.third) / size))
    rows.append((("all together, with their phases",), ("",), ("",), whole[0], whole[1], ("",)))
    left = len(study.shares) - len(shown)
    caption: Words = (
        "Harmonics over the fundamental, by what makes them. The third is made by a term of third order "
        "(its own), and by the second harmonic of all of them mixed with the fundamental.",
    )
    if left:
        caption = (*caption, f" {left} more make under a ten-thousandth of the largest.")
    return Table(columns, tuple(rows), caption)


def _cancelling(study: DistortionStudy) -> list[Block]:
    """The pairs of terms that are one law and take each other away."""
    size = abs(study.fundamental)
    words: list[Inline] = []
    for pair in pairs(study.shares):
        if max(abs(pair.first.second), abs(pair.second.second)) > LEAST * abs(study.shares[0].second):
            words += ["" if not words else " ", "Collector and base current of ", Node(pair.first.source.owner),
                      " follow one exponential law. Their second harmonics cancel: of ",
                      *_percent(abs(pair.first.second) / size), " and ", *_percent(abs(pair.second.second) / size),
                      " together ", *_percent(abs(pair.left) / size), " is left."]  # fmt: skip
    return [Paragraph(tuple(words))] if words else []


def _leading(study: DistortionStudy) -> Words:
    """What makes most of the second harmonic: without it less than half is left. Else the largest term alone, and
    whether it is one of two that cancel."""
    first = study.shares[0]
    if any(first in (pair.first, pair.second) for pair in pairs(study.shares)):
        return ("largest term of the second: ", *first.source.words, ", partly cancelled")
    if abs(study.second - first.second) < abs(study.second) / 2:
        return ("most of the second from ", *first.source.words)
    return ("largest term of the second: ", *first.source.words)


def _share(share: Share, size: float) -> tuple[Words, ...]:
    return (
        share.source.words,
        (Formula(Sym(share.source.element)),),
        (Reading(abs(share.swing), "V", 3), " peak"),
        _percent(abs(share.second) / size),
        _percent(abs(share.third) / size),
        _percent(abs(share.own) / size),
    )


def _percent(value: float) -> Words:
    return ("0",) if value < SMALL else (Reading(100 * value, "%", 3),)


def _loop(loop: Loop) -> list[Block]:
    """What the loop of the device's own gm takes away."""
    one_plus = Call("abs", total(ONE, Name("T_1")))
    doubled = Call("abs", total(ONE, Name("T_2")))
    at, double = abs(1 + loop.at), abs(1 + loop.at_double)
    source = Formula(Sym(loop.of))
    rows = [
        Row(("return ratio of ", source, " at the fundamental: ", Formula(Name("T_1"))), (),
            (Reading(loop.at, "1", style="magnitude"),), (), "remark"),
        Row(("the same at the second harmonic: ", Formula(Name("T_2"))), (),
            (Reading(loop.at_double, "1", style="magnitude"),), (), "remark"),
        Row(("what controls it, and its part of the fundamental, are divided by ", Formula(one_plus)), (),
            (Reading(at, "1"),), (), "remark"),
        Row(("the current that it adds reaches the output divided by ", Formula(doubled)), (),
            (Reading(double, "1"),), (), "remark"),
        Row(("so at equal signal its second harmonic is divided by "
             "", Formula(Product((Power(one_plus, 2), doubled)))), (),
            (Reading(at**2 * double, "1"),), (), "remark"),
        Row(("and its ratio to the fundamental by ", Formula(Product((one_plus, doubled)))), (),
            (Reading(at * double, "1"),), (), "remark"),
        Row(("at equal output the ratio is divided by ", Formula(doubled), " alone: the device then has the same "
                                                                           "swing"),
            (), (Reading(double, "1"),), (), "remark"),
    ]  # fmt: skip
    words: Words = ("Compared with the circuit in which nothing comes back to ", source, " (Bode): ")
    tail: Words = (
        "The last three hold for the fundamental that ", source, " makes; ", Reading(100 * abs(loop.bypass), "%", 2),
        " of the fundamental does not go through it. The divisions were checked with the circuit's numbers. A third "
        "harmonic arises in a loop even where the device has no third-order term, since the second harmonic comes "
        "back to "
        "its input and mixes with the fundamental.",
    )  # fmt: skip
    return [Heading(2, ("What the loop takes away",)), Paragraph(words), Ledger(tuple(rows)), Paragraph(tail)]


def _ends(study: DistortionStudy) -> list[Block]:
    """How the far ends of nonlinear capacitances move: what a bootstrap or a cascode takes away."""
    rows = []
    most = max(abs(s.second) for s in study.shares)
    for share in study.shares:
        follows = study.far_ends.get(share.source.key)
        if follows is None or abs(share.second) <= LEAST * most:
            continue
        near, far = share.source.edge
        left = abs(1 - follows)
        words: Words = (
            Formula(Sym(share.source.element)), ": ", Node(far), " moves by ", Reading(follows, "1", 3, "magnitude"),
            " of ", Node(near), ", so that it sees ", Formula(Call("abs", total(ONE, negate(Name("A"))))), " of that",
        )  # fmt: skip
        if left > 1:
            note: Words = ("held still, as a cascode holds it, it would see 1: at equal voltage at ", Node(near),
                           ", its current at the second harmonic would be ", Reading(left**2, "1", 3),
                           " times smaller")  # fmt: skip
        else:
            note = ("its far end follows, as in a bootstrap: at equal voltage at "
                    "", Node(near), ", its current at the second "
                    "harmonic is ", Reading(1 / max(left, 1e-12) ** 2, "1", 3), " times smaller than with it held "
                                                                                "still")  # fmt: skip
        rows.append(Row(words, (), (Reading(left, "1"),), note, "remark"))
    if not rows:
        return []
    said = "A capacitance makes a second harmonic of the square of the voltage across it:"
    return [Heading(2, ("What a bootstrap or a cascode takes away",)), Paragraph((said,)), Ledger(tuple(rows))]


def _validity(study: DistortionStudy) -> Words:
    share = max(study.shares, key=lambda s: abs(s.swing) / s.source.limit)
    one = share.source
    words: list[Inline] = [
        "The largest swing for its law is that of ",
        *one.words,
        ": ",
        Reading(abs(share.swing), "V", 3),
    ]
    words += [" peak, beside ", *one.scale, ", ", Reading(one.limit, "V", 3), ". "]
    if isfinite(study.trusted):
        words += ["Up to that, a peak of ", Reading(study.trusted, study.unit, 3), " of the signal, two orders tell "
                                                                                   "the law ",
                  "within some per cent. "]  # fmt: skip
    second, third = _ratios(study)
    if second > SMALL and third > SMALL:
        words += ["The third harmonic is ", Reading(third / second, "1", 2), " of the second. "]
        left = left_of_all(study.shares)
        if third > second and left < CANCELS and study.peak <= study.trusted:
            words += ["That it is larger says that the terms of the second cancel, to ", Reading(100 * left, "%", 2),
                      " of the sum of their magnitudes, not that the series fails. "]  # fmt: skip
    for region in study.regions:
        if region.swing > region.room:
            words += [Node(region.owner), " leaves its region: its output swings by ", Reading(region.swing, "V", 3),
                      " peak and has room for ", Reading(max(region.room, 0.0), "V", 3), ". "]  # fmt: skip
    if study.regions and all(r.swing <= r.room for r in study.regions):
        tight = max(study.regions, key=lambda r: r.swing / r.room)
        words += ["No device leaves its region: the nearest, "
                  "", Node(tight.owner), ", swings by ", Reading(tight.swing, "V", 3),
                  " peak and has room for ", Reading(tight.room, "V", 3), ". "]  # fmt: skip
    words.append(
        "The second harmonic grows in proportion to the amplitude beside the fundamental, the third with its square."
    )
    return tuple(words)


def _plot(study: DistortionStudy) -> Family:
    ask = _ask(study)
    names = ("second harmonic", "third harmonic")
    series = [Series(name, tuple(100 * v for v in curve)) for name, curve in zip(names, study.curves, strict=True)]
    held = "output" if ask.of == "output" else "signal"
    key: Words = (
        f"Harmonics over the fundamental, by the frequency of the fundamental, the amplitude of the {held} held.",
    )
    title: Words = (Formula(Name(study.study.name)), ": harmonics over frequency")
    shown = tuple(s for s in series if any(v > 100 * SMALL for v in s.values))
    points = study.frequencies
    return Family(f"plot-{study.study.name}", title, "ratio", "%", points, shown, study.band, float(ask.frequency), key)
