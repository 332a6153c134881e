"""What the small print under a plot says: how to read its lines, its shades and its mark.

Enters: a ``Plot``. Leaves: words. Must not know: LaTeX, drawing.
"""

from __future__ import annotations

from derive.document.records import Family, Plot
from derive.words import Reading, Words


def captioned(plot: Plot) -> Words:
    """The plot's own caption and the key to its signs."""
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
