"""The words of the strip under a plot, and where its bars lie.

Enters: a ``Plot``, the frequencies it shows. Leaves: text, shares of the width. Must not know: drawing libraries.
"""

from __future__ import annotations

import math

from derive.document.records import Plot
from derive.numbers import engineering, inwards
from derive.plots.scales import Scale, tick_label

DIGITS = 3


def agreement_words(plot: Plot) -> str:
    """Within which limit the approximate answer stays, and where around the spot."""
    percent = engineering((plot.tolerance or 0.0) * 100, "%", 3)
    limit = tick_label(float(percent.mantissa.replace("\u2009", "")), "%") if not percent.exponent else str(percent)
    if plot.agree is None:
        return f"not within {limit} at the spot"
    return f"within {limit} {reach_words(*plot.agree)}" + (", and again" if plot.agree_again else "")


def reach_words(low: float, high: float) -> str:
    """A band in words, its ends rounded into it; zero and infinity stand for no limit found.

    >>> reach_words(0.0, 19e3), reach_words(0.31, 9.9e6), reach_words(0.0, float("inf"))
    ('up to 19.0 kHz', 'from 310 mHz to 9.90 MHz', 'at all frequencies shown')
    """
    *ends, digits = inwards(low, high, DIGITS)
    bottom, top = (str(engineering(edge, "Hz", digits)) for edge in ends)
    if low <= 0 and math.isinf(high):
        return "at all frequencies shown"
    if low <= 0:
        return f"up to {top}"
    return f"from {bottom} up" if math.isinf(high) else f"from {bottom} to {top}"


def share(reach: Scale, frequency: float) -> float:
    """Where a frequency lies along the strip; below zero or above one where it is beyond the plot."""
    if frequency <= 0 or math.isinf(frequency):
        return math.inf if frequency > 0 else -math.inf
    return reach.share(frequency)
