"""The section of a question of noise: what hisses, by source, at the output and at the input.

Enters: a NoiseStudy. Leaves: blocks, and the row among the answers at a glance. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, log10, sqrt

from derive.circuit.records import Noise
from derive.document.compose.phrases import joined
from derive.document.records import Block, Column, Family, Heading, Ledger, Paragraph, Row, Series, Table
from derive.expression.tree import Call, Name, Num, Power, Product, Quotient, Sym
from derive.noise.records import Figure, NoiseStudy, Part, Referred
from derive.words import Formula, Line, Node, Reading, Words

CURVES = 5
"""Sources with a curve of their own."""
LEAST = 5e-4
"""Shares below which sources are told together."""


def blocks(study: NoiseStudy) -> list[Block]:
    """The section of one study."""
    ask = study.study.ask
    assert isinstance(ask, Noise)
    spot = Reading(study.frequency, "Hz", 6, "stated")
    heading = Heading(1, (Formula(Name(study.study.name)), ": ", *brief(study)), study.study.name)
    words: Words = (
        "Every source of noise is independent of the others, so that the squares of what they do at ", Node(ask.at),
        " add up: each has a density ", Formula(Name("S")), ", a transfer ", Formula(Name("H")), " to ", Node(ask.at),
        ", and counts ", Formula(Product((Name("S"), Power(Call("abs", Name("H")), 2)))), ". ", Formula(Sym("k")),
        " is Boltzmann's constant, ", Formula(Sym("q")), " the elementary charge, ", Formula(Sym("T")),
        " the temperature. At ", spot, " and ",
        Reading(study.temperature, "K", 6, "stated"), ", the largest first:",
    )  # fmt: skip
    found: list[Block] = [heading, Paragraph(words), _table(study)]
    found += [Paragraph(_totals(study))]
    if study.told:
        said = tuple(piece for sentence in study.told for piece in (*sentence, " "))
        found.append(Paragraph(said[:-1]))
    rows = [Row(s.rule, s.lines, s.number, s.note, s.kind) for part in study.parts for s in part.steps]
    if rows:
        found += [Heading(2, ("How the largest reach the output",)), Ledger(tuple(rows))]
    if study.referred is not None:
        found += _input(study, study.referred)
    if study.figure is not None:
        found += _figure(study.figure)
    return [*found, _plot(study)]


def brief(study: NoiseStudy) -> Words:
    ask = study.study.ask
    assert isinstance(ask, Noise)
    referred: Words = (", referred to ", Node(ask.driven_by)) if ask.driven_by else ()
    return ("noise at ", Node(ask.at), *referred)


def glance(study: NoiseStudy) -> Row:
    """The row among the answers at a glance: the density, what makes it, the band."""
    first = study.parts[0]
    number: Words = (Reading(sqrt(study.density), "V/√Hz"),)
    note: Words = (Reading(100 * first.share, "%", 2), " of its square is ", *first.source.words, "; over the band ",
                   Reading(sqrt(study.band), "V"), " r.m.s.")  # fmt: skip
    if study.referred is not None:
        size = Reading(sqrt(study.referred.density), f"{study.referred.unit}/√Hz")
        note = (*note, "; at the input ", size)
    return Row((Formula(Name(study.study.name)), ", ", *brief(study)), (), number, note, "remark")


def _table(study: NoiseStudy) -> Table:
    columns = (
        Column(("Source",), width=0.25),
        Column(("Its density ", Formula(Name("S")))),
        Column(("Root of it",), "right"),
        Column((Formula(Call("abs", Name("H"))),), "right"),
        Column(("At the output",), "right"),
        Column(("Share",), "right"),
    )
    shown = [part for part in study.parts if part.share >= LEAST] or list(study.parts[:1])
    rows = [_source(part, study.frequency) for part in shown]
    rest = [part for part in study.parts if part not in shown]
    if rest:
        names = joined([part.source.words for part in rest])
        density = sum(part.density for part in rest)
        tiny = density < 1e-3 * study.density
        share: Words = ("under ", Reading(0.1, "%", 1)) if tiny else (_percent(density / study.density),)
        rows.append((names, ("",), ("",), ("",), (Reading(sqrt(density), "V/√Hz", 3),), share))
    rows.append((("all together",), ("",), ("",), ("",), (Reading(sqrt(study.density), "V/√Hz", 4),), (_percent(1.0),)))
    return Table(columns, tuple(rows))


def _percent(share: float) -> Reading:
    return Reading(100 * share, "%", 3)


def _source(part: Part, frequency: float) -> tuple[Words, ...]:
    source = part.source
    unit = "A/√Hz" if source.excitation == "current" else "V/√Hz"
    flicker: Words = ()
    if source.corner is not None:
        flicker = (" times 1 + ", Reading(source.corner, "Hz", 4, "stated"), "/", Formula(Sym("f")))
    return (
        source.words,
        (Formula(source.law), *flicker),
        (Reading(sqrt(source.at(frequency)), unit, 3),),
        (Reading(abs(part.transfer), "Ω" if source.excitation == "current" else "1", 3),),
        (Reading(sqrt(part.density), "V/√Hz", 3),),
        (_percent(part.share),),
    )


def _totals(study: NoiseStudy) -> Words:
    low, high = (Reading(edge, "Hz", 6, "stated") for edge in study.limits)
    by_band = max(study.parts, key=lambda part: part.band)
    words: Words = ("Over the band, ", low, " to ", high, ", it adds up to ", Reading(sqrt(study.band), "V"), " r.m.s.")
    if by_band is not study.parts[0]:
        words = (*words, ", most of it from ", *by_band.source.words, ".")
    if study.everywhere is not None:
        words = (*words, " Over all frequencies it is ", Reading(sqrt(study.everywhere), "V"),
                 " r.m.s. (the integral of each transfer, in closed form).")  # fmt: skip
    places = max(-12, ceil(log10(study.difference))) if study.difference > 0 else -12
    return (*words, " The transfers differ from a plain nodal solution by less than one part in ",
            Formula(Power(Num(Fraction(10)), -places)), ".")  # fmt: skip


def _input(study: NoiseStudy, referred: Referred) -> list[Block]:
    rows = [Row(s.rule, s.lines, s.number, s.note, s.kind) for s in referred.steps]
    above = Reading(sqrt(study.density), "V/√Hz")
    number: Words = (Reading(sqrt(referred.density), f"{referred.unit}/√Hz"),)
    note: Words = (above, " over the size of ", Formula(Name("H_s")))
    rule: Words = ("noise at the input: what ", Node(referred.signal), " would have to be")
    rows.append(Row(rule, (), number, note, "remark"))
    return [Heading(2, ("At the input",)), Ledger(tuple(rows))]


def _figure(figure: Figure) -> list[Block]:
    resistance = Formula(Sym(figure.resistor))
    if figure.factor == float("inf"):
        return [Paragraph(("No noise of ", resistance, " reaches the output, so there is no noise figure."))]
    words: Words = (
        "Noise figure with ", resistance, " as the resistance of the source, at 290 K by definition: ",
        Reading(10 * log10(figure.factor), "dB", 3), " (a factor of ", Reading(figure.factor, "1", 4), ").",
    )  # fmt: skip
    found: list[Block] = [Heading(2, ("Against the source's own noise",)), Paragraph(words)]
    if figure.voltage is None or figure.current is None:
        found.append(Paragraph((f"No equivalent voltage and current of noise are told: {figure.why}.",)))
        return found
    return [*found, *_two(figure, resistance, figure.voltage, figure.current)]


def _two(figure: Figure, resistance: Formula, voltage: float, current: float) -> list[Block]:
    rows = [
        Row(("noise voltage at the input, ", resistance, " apart: what counts with the input shorted"), (),
            (Reading(voltage, "V/√Hz"),), (), "remark"),
        Row(("noise current at the input: what counts in proportion to ", resistance,), (),
            (Reading(current, "A/√Hz"),), (), "remark"),
    ]  # fmt: skip
    if figure.best is None or figure.least is None:
        rows.append(Row(("no source has a noise current at the input: the larger the source's resistance, the smaller "
                         "the "
                         "noise figure",), (), ()))  # fmt: skip
    else:
        ratio = Line(Name("R_opt"), "=", Quotient(Name("e_n"), Name("i_n")))
        note: Words = ("noise figure there ", Reading(10 * log10(figure.least), "dB", 3))
        rows.append(Row(("optimum resistance of the source",), (ratio,), (Reading(figure.best, "Ω"),), note))
    words: Words = (
        "Bias and densities are held while ", resistance, " changes. That every source counts as a voltage plus ",
        resistance, " times a current was checked in the circuit with half and with twice its value.",
    )  # fmt: skip
    return [Ledger(tuple(rows)), Paragraph(words)]


def _plot(study: NoiseStudy) -> Family:
    shown = [part for part in study.parts if part.share >= LEAST][:CURVES]
    series = [Series("all", study.curve, True), *(Series(_label(part), part.curve) for part in shown)]
    key: Words = ("Wide line: the whole density at the output; thin lines: its largest parts.",)
    title: Words = (Formula(Name(study.study.name)), ": noise density by source")
    return Family(f"plot-{study.study.name}", title, "density", "V/√Hz", study.frequencies, tuple(series), study.limits,
                  study.frequency, key)  # fmt: skip


def _label(part: Part) -> str:
    letter, _, owner = part.source.key.partition("_")
    words = {"c": "collector of", "b": "base of", "d": "channel of", "g": "gate of", "j": "", "e": "voltage of",
             "ip": "plus current of", "im": "minus current of", "rb": "rb of"}  # fmt: skip
    return f"{words[letter]} {owner}".strip() if owner and letter in words else part.source.key
