"""The strip under a plot: where the approximate answer holds.

Enters: a ``Plot``, its frequencies, a place in the picture. Leaves: SVG. Must not know: curves.
"""

from __future__ import annotations

from markupsafe import Markup

from derive.document.records import Plot
from derive.plots.agreement import agreement_words, share
from derive.plots.scales import Scale
from derive.web.escape import element, joined
from derive.web.svg import label, line, short

HEIGHT = 17.0
TIP = 7.0
LETTER = 5.7
"""Width of a letter of the words, on average."""


def strip(plot: Plot, reach: Scale, left: float, right: float, top: float) -> Markup:
    """The bars of agreement with their words, between ``left`` and ``right``."""
    parts = [line(left, top + HEIGHT / 2, right, top + HEIGHT / 2, "major")]
    pieces = [*plot.agree_again, *([plot.agree] if plot.agree is not None else [])]
    parts += [_bar(share(reach, low), share(reach, high), left, right, top) for low, high in pieces]
    words = agreement_words(plot)
    need = LETTER * len(words) + 12
    spans = [plot.agree] if plot.agree is not None else list(plot.agree_again)
    ends = [_inside(share(reach, edge)) * (right - left) + left for span in spans for edge in span] or [left, left]
    low, high = ends[0], ends[-1]
    if high - low > need or not (right - high > need or low - left > need):
        place, anchor = (low + high) / 2 if high - low > need else (left + right) / 2, "middle"
    else:
        place, anchor = (high + 9, "start") if right - high > need else (low - 9, "end")
    parts.append(label(place, top + HEIGHT / 2 + 4, words, "t strip-words", text_anchor=anchor))
    return element("g", joined(parts), class_="strip")


def _inside(value: float) -> float:
    return min(max(value, 0.0), 1.0)


def _bar(low: float, high: float, left: float, right: float, top: float) -> Markup:
    """A bar between two shares; it ends in a point where it goes on beyond the plot."""
    start, end = (left + _inside(value) * (right - left) for value in (low, high))
    middle, bottom = top + HEIGHT / 2, top + HEIGHT
    corners = [(start, top), (end, top), *([(right + TIP, middle)] if high > 1 else []), (end, bottom), (start, bottom),
               *([(left - TIP, middle)] if low < 0 else [])]  # fmt: skip
    points = " ".join(f"{short(x)},{short(y)}" for x, y in corners)
    return element("polygon", Markup(""), points=points, class_="bar")
