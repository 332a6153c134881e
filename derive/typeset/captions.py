"""What the small print under a plot says: how to read its lines, its shades and its mark.

Enters: a ``Plot``. Leaves: words. Must not know: LaTeX, drawing.
"""

from __future__ import annotations

from derive.document.records import (
    Comparison,
    Family,
    Graph,
    Histograms,
    LoopPlot,
    Overlaid,
    Plot,
    PolarPlot,
)
from derive.words import Reading, Words


def captioned(block: Graph) -> Words:
    """The plot's own caption and the key to its signs."""
    match block:
        case LoopPlot():
            return _of_loop(block)
        case PolarPlot():
            return _of_polar(block)
        case Histograms() | Comparison() | Overlaid():
            return block.caption
        case Family():
            return key_to(block)
        case _:
            return _of_response(block)


def _of_loop(loop: LoopPlot) -> Words:
    plot = loop.plot
    low, high = (Reading(edge, "Hz", 6, "stated") for edge in plot.band)
    marks = ""
    if loop.unity:
        marks += "; filled dots: the magnitude is one, with the distance of the phase from −180° as a bar"
    if loop.critical:
        marks += "; open squares: real and negative, with the factor that leads to −1 as a bar"
    spot: Words = ("; the ring marks the spot, ", Reading(plot.spot, "Hz", 6, "stated")) if plot.spot > 0 else ()
    return (*plot.caption, *((" ",) if plot.caption else ()), f"Magnitude above, phase below{marks}; grey ground lies "
            "outside the band, ", low, " to ", high, *spot, ".")  # fmt: skip


def _of_polar(plot: PolarPlot) -> Words:
    words: Words = ("Angles are true, distances from the centre logarithmic. ",)
    if plot.locus is not None:
        words = (*words, "Left: the return ratio over frequency, the arrow pointing to higher frequencies; thin: its "
                 "mirror image for negative ones; cross: −1; the ring marks the spot. ")  # fmt: skip
    if plot.roots is not None:
        where = "Right: " if plot.locus is not None else ""
        words = (*words, where, "crosses are poles, circles zeros, at their distance from zero in Hz; on grey ground a "
                 "pole grows; the dashed rays are at 45°.")  # fmt: skip
    return (*plot.caption, *((" ",) if plot.caption else ()), *words)


def _of_response(plot: Plot) -> Words:
    low, high = (Reading(edge, "Hz", 6, "stated") for edge in plot.band)
    if plot.unit == "%":
        limit: Words = ("; dashes: ", Reading(100 * plot.tolerance, "%", 3, "stated")) if plot.tolerance else ()
        shade = ("; grey ground lies outside the band, ", low, " to ", high, ".")
        return (*plot.caption, *((" ",) if plot.caption else ()), "Line: the error", *limit, *shade)
    names = {curve.name for curve in plot.curves}
    lines = "Wide line: exact; dashes: approximate" if "approximate" in names else "Wide line: exact"
    spot: Words = ("; the ring marks the spot, ", Reading(plot.spot, "Hz", 6, "stated")) if plot.spot > 0 else ()
    return (*plot.caption, *((" ",) if plot.caption else ()), f"{lines}. Magnitude above, phase below; grey ground "
            "lies outside the band, ", low, " to ", high, *spot, ".")  # fmt: skip


def key_to(family: Family) -> Words:
    """The key to the signs of several curves in one frame."""
    low, high = (Reading(edge, "Hz", 6, "stated") for edge in family.band)
    spot: Words = ("; dots mark ", Reading(family.spot, "Hz", 6, "stated")) if family.spot > 0 else ()
    ahead: Words = (*family.key, " ") if family.key else ()
    return (*ahead, "Grey ground lies outside the band, ", low, " to ", high, *spot, ".")
