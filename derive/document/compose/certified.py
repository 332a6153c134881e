"""What was proved of the error of an approximate answer or a short form, in words.

Enters: a derivation, the analysis. Leaves: paragraphs. Must not know: LaTeX, how it was proved.
"""

from __future__ import annotations

from derive.approximate.records import Certified
from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.derivation.wording import percent
from derive.document.compose.phrases import joined
from derive.document.records import Paragraph
from derive.expression.tree import Sym
from derive.words import Formula, Reading, Strong, Words

DEVICES = ("bjt", "jfet", "mosfet", "diode")


def of_answer(derivation: Derivation, analysis: Analysis) -> list[Paragraph]:
    """On the answer under its statements; nothing where no bound was asked for."""
    found = derivation.approximate.certified if derivation.approximate else None
    return [] if found is None else [Paragraph(("The error is ", *certified_words(found, analysis)))]


def of_short_form(derivation: Derivation, analysis: Analysis) -> list[Paragraph]:
    """On the short form, or that there is nothing to certify; nothing where no bound was asked for."""
    found = derivation.shortened.certified if derivation.shortened else None
    if found is not None:
        return [Paragraph(("The error of the short form is ", *certified_words(found, analysis)))]
    if derivation.question.certify and derivation.approximate is None:
        return [Paragraph(("There is no error to certify: all that is said of this answer is exact.",))]
    return []


def certified_words(found: Certified, analysis: Analysis) -> Words:
    """The bounds, or what kept them from being proved."""
    low, high = (Reading(float(end), "Hz", 6, "stated") for end in analysis.ground.band)
    band: Words = (" from ", low, " to ", high)
    if found.band is None and found.tolerances is None:
        return (Strong("not certified"), *band, f": {found.why or 'not within the effort'}.")
    if found.band is None:
        return (
            Strong("certified"),
            ": below ",
            *percent(found.tolerances or 0.0),
            *band,
            *_moved(found, analysis),
            ".",
        )
    words: Words = (Strong("certified"), ": below ", *percent(found.band), *band)
    if found.tolerances is not None:
        return (*words, ", and below ", *percent(found.tolerances), *_moved(found, analysis), ".")
    why = f"{found.why} ({found.boxes:,} boxes)" if found.boxes else found.why
    return (*words, "; not certified over tolerances: ", why, ".")


def at_a_glance(found: Certified | None) -> Words:
    """The bounds after an error, in few words; nothing where none was asked for."""
    if found is None:
        return ()
    if found.band is None and found.tolerances is None:
        return ("; ", Strong("not certified"))
    within: Words = ("within tolerances ", *percent(found.tolerances)) if found.tolerances is not None else ()
    if found.band is None:
        return ("; ", Strong("certified"), ": below ", *within[1:], " over all tolerances")
    tail: Words = (", ", *within) if within else ()
    return ("; ", Strong("certified"), ": below ", *percent(found.band), *tail)


def _moved(found: Certified, analysis: Analysis) -> Words:
    """Over which tolerances, and what was held."""
    stated = joined([(Formula(Sym(n)), " ", Reading(float(100 * t), "%", 6, "stated")) for n, t in found.symbols])
    devices = any(part.kind in DEVICES for part in analysis.circuit.parts.values())
    held = ", device values at this bias point held" if devices else ""
    return (" over all tolerances (", *stated, f"){held}")
