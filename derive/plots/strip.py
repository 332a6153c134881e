"""The strip under a plot: where the approximate answer holds, and how well.

Enters: a ``Plot`` and the frequencies it shows. Leaves: a bar and words on the axes given.
Must not know: curves. The words state the limits that were found, also where they lie beyond the plot.
"""

from __future__ import annotations

from typing import Any

from derive.document.records import Plot
from derive.plots.agreement import agreement_words, share
from derive.plots.looks import ACCENT, AGREEMENT, HAIR, INK, typeset
from derive.plots.scales import Scale

WORDS_WIDE = 0.34
"""Share of the width that the words of the strip need."""
TIP = 0.012
"""How far the point of a bar that goes on beyond the plot reaches out of it."""
ON_WHITE = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}


def draw_strip(axes: Any, plot: Plot, reach: Scale) -> None:
    """The bar of agreement with its words."""
    axes.set_ylim(0, 1)
    axes.axis("off")
    axes.axhline(0.5, color=HAIR, linewidth=0.5, zorder=0)
    place, side = 0.5, "center"
    words = agreement_words(plot)
    for piece in plot.agree_again:
        _bar(axes, *(share(reach, edge) for edge in piece))
    if plot.agree is not None:
        low, high = (share(reach, edge) for edge in plot.agree)
        _bar(axes, low, high)
        place, side = _beside_or_within(max(low, 0.0), min(high, 1.0))
    elif plot.agree_again:
        ends = [min(max(share(reach, edge), 0.0), 1.0) for edge in (plot.agree_again[0][0], plot.agree_again[-1][1])]
        place, side = _beside_or_within(*ends)
    outside = plot.agree is None or side != "center"
    axes.text(place, 0.46, typeset(words), transform=axes.transAxes, ha=side, va="center", fontsize=7.5,
              color=INK, zorder=3, bbox=ON_WHITE if outside else None)  # fmt: skip


def _bar(axes: Any, low: float, high: float) -> None:
    """A bar between two shares; it ends in a point where it goes on beyond the plot."""
    left, right = min(max(low, 0.0), 1.0), min(max(high, 0.0), 1.0)
    shape = [(left, 0.0), (right, 0.0), (right, 1.0), (left, 1.0)]
    if high > 1:
        shape.insert(2, (1 + TIP, 0.5))
    if low < 0:
        shape.append((-TIP, 0.5))
    axes.fill(*zip(*shape, strict=True), transform=axes.transAxes, facecolor=AGREEMENT, edgecolor=ACCENT,
              linewidth=0.5, zorder=1, clip_on=False)  # fmt: skip


def _beside_or_within(low: float, high: float) -> tuple[float, str]:
    """Where the words of the strip stand: within the band where it is wide enough, else beside it."""
    if high - low > WORDS_WIDE:
        return (low + high) / 2, "center"
    return (min(max(high, 0.0), 1.0) + 0.01, "left") if 1 - high > low else (min(low, 1.0) - 0.01, "right")
