"""What was proved of an approximate answer's error, in words.

Enters: a derivation, the analysis. Leaves: paragraphs. Must not know: LaTeX, how it was proved.
"""

from __future__ import annotations

from derive.approximate.records import Certified
from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.derivation.wording import percent
from derive.document.compose.phrases import joined
from derive.expression.tree import Sym
from derive.words import Formula, Reading, Strong, Words

DEVICES = ("bjt", "jfet", "mosfet", "diode")


def certified_words(derivation: Derivation, analysis: Analysis) -> list[Words]:
    """A paragraph on the bounds; none where none were asked for."""
    found = derivation.approximate.certified if derivation.approximate else None
    if found is None:
        return []
    if found.band is None and found.tolerances is None:
        over = " over the band" if found.why == "not within the effort" else ""
        return [(Strong("Not certified"), f"{over}: {found.why or 'not within the effort'}.")]
    low, high = (Reading(float(end), "Hz", 6, "stated") for end in analysis.ground.band)
    band: Words = (" from ", low, " to ", high)
    words: Words = ()
    if found.band is not None:
        words = (Strong("Certified"), ": below ", *percent(found.band), *band, " at the values as they stand. ")
    devices = any(part.kind in DEVICES for part in analysis.circuit.parts.values())
    return [(*words, *_over_tolerances(found, band, devices))]


def _over_tolerances(found: Certified, band: Words, devices: bool) -> Words:
    held = "; device values at this bias point held" if devices else ""
    if found.tolerances is not None:
        bound = percent(found.tolerances)
        stated = joined(
            [(Formula(Sym(name)), " ", Reading(float(100 * t), "%", 6, "stated")) for name, t in found.symbols]
        )
        boxes = f"proved over {found.boxes} boxes of frequencies and values"
        return (Strong("Certified"), ": below ", *bound, *band, " over all tolerances (", *stated, held, f"; {boxes}).")
    if found.boxes:
        return (Strong("Not certified"), f" over the tolerances within the effort ({found.boxes:,} boxes{held}).")
    return (Strong("Not certified"), f" over tolerances: {found.why}.")
