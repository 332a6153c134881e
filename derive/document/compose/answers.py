"""One section an answer: what is asked, the ledger of its derivation, structure, approximations, plot.

Enters: a derivation. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction
from math import isfinite, pi
from typing import Literal

import numpy as np

from derive.algebra.spectrum import Spectrum
from derive.approximate.error import grid
from derive.circuit.records import Bootstrap, Gain, Impedance, ReturnRatio
from derive.derivation.analysis import Analysis
from derive.derivation.loops import sense_words
from derive.derivation.proposals import outcome_words
from derive.derivation.records import Budget, Chain, Derivation, Link, Share, Step
from derive.derivation.wording import brief, error_words, holds_words, percent, source_of
from derive.document.compose import certified, short
from derive.document.compose.assumptions import cost_table
from derive.document.compose.proposals import has_ladder, ladder
from derive.document.compose.roots import roots_words
from derive.document.records import (
    Block,
    Column,
    Curve,
    Heading,
    Ledger,
    Paragraph,
    Plot,
    Row,
    Table,
)
from derive.explain.port_words import port_sentences
from derive.explain.wording import listed
from derive.expression.tree import ONE, ZERO, Name, Product, Quotient, Sym, Volt, negate, total
from derive.numbers import of_terms
from derive.structure.records import Short
from derive.words import Formula, Inline, Line, Node, Reading, Words

BEYOND = 10.0
"""How far a plot reaches beyond the author's band, each way."""


WORTH_TELLING = 1e-3
"""A share that stays below this everywhere, or a change smaller than this, is not told along the band."""


def blocks(derivation: Derivation, analysis: Analysis) -> list[Block]:
    """The section of one answer."""
    question = derivation.question
    heading = Heading(1, (Formula(Name(question.name)), ": ", *brief(question)), question.name)
    found: list[Block] = [heading, Paragraph(derivation.asked)]
    found += short.blocks(derivation.shortened)
    found += certified.of_short_form(derivation, analysis)
    found += _equations(derivation)
    if derivation.elimination:
        found += [Heading(2, ("Elimination",)), Ledger(_rows(derivation.elimination))]
    found += [Heading(2, ("Exact answer",)), Ledger(_rows(derivation.result))]
    found.append(Paragraph(roots_words(derivation.exact.spectrum)))
    if not any(derivation.exact.spectrum.numerator):
        found.append(Paragraph((_why_zero(derivation),)))
    if derivation.approximate is None:
        found += [Paragraph(remark) for remark in derivation.remarks]
    if derivation.corners and derivation.corners[0].kind != "approximate":
        found.append(Ledger(_rows(derivation.corners)))
    found += _equivalent(derivation, analysis)
    if isinstance(question.ask, ReturnRatio):
        spot = float(analysis.ground.spot)
        found.append(Paragraph(sense_words(Name(question.name), source_of(question.ask), derivation.spot, spot)))
    if derivation.chain is not None:
        found += _chain(derivation.chain, derivation, analysis.ground.spot)
    if derivation.budget is not None:
        found += _budget(derivation.budget, analysis)
    found += _approximations(derivation, analysis)
    if varies(derivation):
        found.append(_plot(derivation, analysis))
    return found


def _why_zero(derivation: Derivation) -> str:
    """Why an answer is zero: it has no terms at all, or they cancel at these numbers."""
    if derivation.exact.terms[0]:
        return "It is zero at these numbers: the terms of its numerator cancel exactly."
    if isinstance(derivation.question.ask, Impedance):
        return "It is zero whatever the numbers: zeroed signal voltages or an op amp hold both ends of the port."
    if isinstance(derivation.question.ask, Gain):
        return "It is zero whatever the numbers: no signal reaches that node (a rail, or held by an op amp)."
    return "It is zero whatever the numbers."


def varies(derivation: Derivation) -> bool:
    """Whether the answer or its approximation depends on frequency, so that a plot says something."""
    spectra = [derivation.exact.spectrum]
    if derivation.approximate is not None and derivation.approximate.reduced.spectrum is not None:
        spectra.append(derivation.approximate.reduced.spectrum)
    return any(len(s.numerator) > 1 or len(s.denominator) > 1 for s in spectra)


def _rows(steps: tuple[Step, ...]) -> tuple[Row, ...]:
    return tuple(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in steps)


def _equations(derivation: Derivation) -> list[Block]:
    if derivation.same_equations_as is not None:
        other = Formula(Name(derivation.same_equations_as))
        return [Paragraph(("The excitation and so Kirchhoff's equations are those of ", other, "."))]
    if not derivation.equations and not derivation.others_as:
        return []
    found: list[Block] = [Heading(2, ("Kirchhoff's equations",))]
    if derivation.others_as:
        names = listed([(Formula(Name(name)),) for name in derivation.others_as], ", ", " and ")
        rest = ". These differ:" if derivation.equations else "."
        found.append(Paragraph(("Those that are not printed here stand, the same, under ", *names, rest)))
    return [*found, Ledger(_rows(derivation.equations))] if derivation.equations else found


def _equivalent(derivation: Derivation, analysis: Analysis) -> list[Block]:
    """An impedance at the spot as a resistance with an inductance in series or a capacitance in parallel."""
    value, frequency = derivation.spot, float(analysis.ground.spot)
    if not isinstance(derivation.question.ask, Impedance):
        return []
    if not value or not frequency or not isfinite(abs(value)) or abs(value.imag) < 1e-6 * abs(value):
        return []
    words: list[Inline] = ["At ", Reading(frequency, "Hz", 6, "stated"), " it is equivalent to "]
    omega = 2 * pi * frequency
    if value.imag > 0:
        # What rises with frequency reads as a resistance with an inductance in series.
        real, how, reactive = value.real, " in series with ", Reading(value.imag / omega, "H")
    else:
        admittance = 1 / value
        real = 1 / admittance.real if abs(admittance.real) > 1e-9 * abs(admittance) else 0.0
        how, reactive = " in parallel with ", Reading(admittance.imag / omega, "F")
    words += [Reading(real, "Ω"), how] if abs(real) > 1e-9 * abs(value) else []
    words += [reactive, "."]
    if real < 0:
        words.append(" The resistance is negative: it feeds the source instead of loading it.")
    return [Paragraph(tuple(words))]


def _chain(chain: Chain, derivation: Derivation, spot: Fraction) -> list[Block]:
    rows = [row for link in chain.links for row in _link_rows(link, spot)]
    product = Product(tuple(link.name for link in chain.links))
    name = Name(derivation.question.name)
    unit = derivation.exact.inquiry.unit
    reading = Reading(derivation.spot, unit, style="magnitude")
    note = ("checked: exactly the answer above",)
    rows.append(Row(("the links multiply up",), (Line(name, "=", product),), (reading,), note))
    if chain.error is not None and chain.product is not None:
        number: Words = (Reading(chain.product.at_frequency(spot), unit, style="magnitude"),)
        rows.append(Row(("product of the simplest forms",), (), number, error_words(chain.error), "remark"))
    return [Heading(2, ("Stage by stage",)), Ledger(tuple(rows))]


def _link_rows(link: Link, spot: Fraction) -> list[Row]:
    """The exact link with its number, then the approximate one with its own."""
    unit = link.exact.inquiry.unit
    number: Words = (Reading(link.spot, unit, style="magnitude"),)
    rule: Words = ("from ", Node(link.source), " to ", Node(link.to)) if link.source else ("to ", Node(link.to))
    if link.form.tree is not None and not link.form.named:
        rows = [Row(rule, (Line(link.name, "=", link.form.tree),), number)]
    else:
        size = f"exact: {of_terms(link.exact.terms)}"
        rows = [Row((*rule, ": ", Formula(link.name)), (), number, (size,), "remark")]
        if link.short is not None:
            return [*rows, *_short_rows(link, link.short, spot)]
    form, found = link.approximate_form, link.approximate
    if form is None or found is None or found.reduced.spectrum is None or form.tree in (None, ZERO, link.form.tree):
        return rows
    if form.tree is not None and not form.named:
        value = Reading(found.reduced.spectrum.at_frequency(spot), unit, style="magnitude")
        line = Line(link.name, "≈", form.tree)
        rows.append(Row(("under the statements",), (line,), (value,), error_words(found.error), "approximate"))
    return rows


def _short_rows(link: Link, found: Short, spot: Fraction) -> list[Row]:
    """The short form of a link, and the pieces that it is written with."""
    unit = link.exact.inquiry.unit
    number: Words = (Reading(found.spectrum.at_frequency(spot), unit, style="magnitude"),)
    line = Line(link.name, "≈", found.written.tree)
    rows = [Row(("in short",), (line,), number, error_words(found.error), "approximate")]
    for piece in found.written.pieces:
        value = Reading(piece.value, piece.unit, style="magnitude")
        rows.append(Row(("where",), (Line(piece.name, ":=", piece.tree),), (value,)))
    return rows


def _budget(budget: Budget, analysis: Analysis) -> list[Block]:
    columns = (
        Column(("Part",)),
        Column(("Own impedance",), "right"),
        Column(("Far end",), width=0.18),
        Column(("Voltage ratio",), "right"),
        Column(("Share, real",), "right"),
        Column(("Share, imaginary",), "right"),
    )
    rows = tuple(_share_row(share) for share in budget.shares)
    words: list[Inline] = ["Each part that touches ", Node(budget.node)]
    words += [" draws its admittance times the voltage across it: so much as its far end does not follow. "]
    words += ["Shares of the port's current at ", Reading(float(analysis.ground.spot), "Hz", 6, "stated")]
    words += ["; they add to one. The voltage ratio is that of the far end to the port"]
    if any(share.controls is not None for share in budget.shares):
        words.append("; for a controlled source, that of its controlling voltage, and its own impedance is 1/g")
    words.append(".")
    ground = analysis.ground
    told = port_sentences(budget.node, budget.shares, ground.band, ground.spot)
    along: list[Block] = [Paragraph(sentence) for sentence in told]
    head: list[Block] = [Heading(2, ("Budget of the port",)), Paragraph(tuple(words)), Table(columns, rows)]
    return [*head, *along, *_along_the_band(budget, analysis), *_followers(budget)]


def _along_the_band(budget: Budget, analysis: Analysis) -> list[Block]:
    """The shares at the ends of the band beside those at the spot, real and imaginary; nothing where none changes."""
    ground = analysis.ground
    places = sorted({ground.band[0], ground.spot, ground.band[1]})
    values = {s.symbol: [s.spectrum.at_frequency(f) for f in places] for s in budget.shares}
    kept = {name: row for name, row in values.items() if max(map(abs, row)) >= WORTH_TELLING}
    if all(abs(a - row[0]) < WORTH_TELLING for row in kept.values() for a in row):
        return []
    columns = [Column(("Share of",))]
    for frequency in places:
        at = Reading(float(frequency), "Hz", 6, "stated")
        columns += [Column((at, ", real"), "right"), Column(("imaginary",), "right")]
    rows: list[tuple[Words, ...]] = []
    for name, row in kept.items():
        cells = (_share_words(part) for value in row for part in (value.real, value.imag))
        rows.append(((Formula(Sym(name)),), *cells))
    return [Table(tuple(columns), tuple(rows))]


def _share_words(value: float) -> Words:
    return (Reading(value, "1", 3),) if abs(value) >= WORTH_TELLING else ("under 0.001",)


def _share_row(share: Share) -> tuple[Words, ...]:
    follows: Words
    if share.controls is not None:
        far: Words = ("controlled",)
        follows = (Reading(share.controls, "1", style="magnitude"),)
    else:
        far = ("ground",) if share.far == "gnd" else (Node(share.far),)
        follows = (Reading(share.follows or 0j, "1", style="magnitude"),)
    return (
        (Formula(Sym(share.symbol)),),
        (Reading(abs(share.own), "Ω", 3),),
        far,
        follows,
        _share_words(share.share.real),
        _share_words(share.share.imag),
    )


def _followers(budget: Budget) -> list[Block]:
    """How the far ends of the parts that matter follow, as formulas where they are short."""
    rows = []
    for share in budget.shares:
        form = share.follows_form
        if form is not None and form.tree is not None and not form.named and share.follows is not None:
            line = Line(Quotient(Volt(share.far), Volt(budget.node)), "=", form.tree)
            number: Words = (Reading(share.follows, "V/V", style="magnitude"),)
            rows.append(Row(("far end of ", Formula(Sym(share.symbol))), (line,), number))
    return [Ledger(tuple(rows))] if rows else []


def _approximations(derivation: Derivation, analysis: Analysis) -> list[Block]:
    reduced = derivation.approximate
    why = outcome_words(derivation.proposal) if derivation.proposal is not None else ()
    asked: list[Block] = [Paragraph(why)] if why else []
    if reduced is None:
        return asked
    if not any(effect.used for effect in reduced.effects):
        none = Paragraph(("None of the statements changes this answer: it stays exact.",))
        return [none, *asked, *(Paragraph(remark) for remark in derivation.remarks)]
    found: list[Block] = [Heading(2, ("Approximations, one by one",)), *asked]
    table = cost_table(derivation, analysis.ground.spot)
    if has_ladder(derivation):
        found += ladder(derivation, analysis)
    elif table is not None:
        words = "Each statement in turn, with what it costs alone and together with those before it:"
        found += [Paragraph((words,)), table]
    if reduced.reduced.spectrum is not None:
        together = (*error_words(reduced.error), "; ", *holds_words(reduced.error))
        rule = " Where the answer is under a thousandth of its peak in the band, errors are relative to the peak."
        found.append(Paragraph(("All statements together: ", *together, "." + (rule if reduced.error.small else ""))))
    found += certified.of_answer(derivation, analysis)
    found += [Paragraph(remark) for remark in derivation.remarks]
    found += _bought(derivation, analysis)
    corners = derivation.corners if derivation.corners and derivation.corners[0].kind == "approximate" else ()
    if derivation.approximations:
        found.append(Ledger(_rows(derivation.approximations + corners)))
    return found


def _bought(derivation: Derivation, analysis: Analysis) -> list[Block]:
    """For a bootstrap: 1/(1 - A) exact and approximate, since the error of A itself says little about it."""
    reduced = derivation.approximate
    if not isinstance(derivation.question.ask, Bootstrap) or reduced is None or reduced.reduced.spectrum is None:
        return []
    left = [1 - derivation.spot, 1 - reduced.reduced.spectrum.at_frequency(analysis.ground.spot)]
    if not all(left):
        return []
    factor = Formula(Quotient(ONE, total(ONE, negate(Name(derivation.question.name)))))
    exact, other = (Reading(1 / value, "1", style="magnitude") for value in left)
    words: Words = ("What the bootstrap buys, ", factor, ", is ", exact, ", and ", other, " by the approximate form: ")
    error = abs(left[0] / left[1] - 1)
    return [Paragraph((*words, "an error of ", *percent(error), ", since it rests on a small difference."))]


def _plot(derivation: Derivation, analysis: Analysis) -> Plot:
    low, high = (float(f) for f in analysis.ground.band)
    wide = (low / BEYOND, high * BEYOND)
    exact = derivation.exact.spectrum
    spectra = [exact]
    reduced = derivation.approximate
    approximated = reduced is not None and any(effect.used for effect in reduced.effects)
    if reduced is not None and approximated and reduced.reduced.spectrum is not None:
        spectra.append(reduced.reduced.spectrum)
    frequencies = grid(wide, *spectra)
    curves = [_curve("exact", exact, frequencies)]
    if len(spectra) > 1:
        curves.append(_curve("approximate", spectra[1], frequencies))
    holds = reduced.error.holds if reduced is not None and approximated else None
    pieces = reduced.error.pieces if reduced is not None and approximated else ()
    unit = derivation.exact.inquiry.unit
    return Plot(
        stem=f"plot-{derivation.question.name}",
        title=(Formula(Name(derivation.question.name)),),
        unit=unit,
        curves=tuple(curves),
        band=(low, high),
        spot=float(analysis.ground.spot),
        agree=holds,
        agree_again=tuple(piece for piece in pieces if piece != holds),
        tolerance=reduced.error.within if reduced is not None and approximated else None,
    )


def _curve(name: Literal["exact", "approximate"], spectrum: Spectrum, frequencies: np.ndarray) -> Curve:
    return Curve(name, tuple(map(float, frequencies)), tuple(map(complex, spectrum.sample(frequencies))))
