"""Histograms side by side: how an answer scatters around its value as described.

Enters: ``Histograms``. Leaves: a PDF of the width of the text; the same record gives the same bytes.
Must not know: circuits, pages.
"""

from __future__ import annotations

import math
from typing import Any

from derive.document.figures import Histograms, Panel
from derive.errors import Defect
from derive.numbers import MINUS
from derive.plots.looks import ACCENT, AGREEMENT, FONTS, GREY, INK, typeset
from derive.plots.saving import Save, to_pdf
from derive.plots.scales import tick_label

WIDTH, HEIGHT = 170 / 25.4, 40 / 25.4
ABREAST = 3
NARROW = 0.02
"""Per cent of the whole axis below which its ticks are told in parts per million."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def draw_histograms(record: Histograms, save: Save = to_pdf) -> bytes:
    """The panels, three abreast. Raises Defect where there is none."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    if not record.panels:
        raise Defect(f"the picture {record.stem!r} has no panel")
    abreast = min(ABREAST, len(record.panels))
    rows = math.ceil(len(record.panels) / abreast)
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT * rows))
        FigureCanvasPdf(figure)
        for place, panel in enumerate(record.panels):
            row, column = divmod(place, abreast)
            width = 1 / abreast
            # Of a single panel half of the width is enough.
            left, reach = (0.25, 0.5) if abreast == 1 else (column * width + 0.02, width - 0.04)
            axes = figure.add_axes((left, 1 - (row + 0.80) / rows, reach, 0.66 / rows))
            _panel(axes, panel)
            if len(record.panels) > 1:
                axes.text(0.0, 1.04, LETTERS[place % 26], transform=axes.transAxes, ha="left", va="bottom", color=INK)
        return save(figure)


def _panel(axes: Any, panel: Panel) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    shown = [*panel.edges[:1], *panel.edges[-1:], *panel.worst, *(v for v in panel.limits if v is not None)]
    low, high = min(shown), max(shown)
    margin = 0.04 * ((high - low) or 1.0)
    low, high = low - margin, high + margin
    if panel.limits[0] is not None:
        axes.axvspan(low, panel.limits[0], facecolor=AGREEMENT, edgecolor="none", zorder=0)
    if panel.limits[1] is not None:
        axes.axvspan(panel.limits[1], high, facecolor=AGREEMENT, edgecolor="none", zorder=0)
    axes.stairs(panel.counts, panel.edges, fill=True, color="0.72", zorder=2)
    axes.stairs(panel.counts, panel.edges, color=INK, linewidth=0.6, zorder=3)
    top = 1.12 * max(panel.counts)
    for value in panel.central:
        axes.axvline(value, color=GREY, linewidth=0.6, linestyle=(0, (1, 2)), zorder=4)
    for limit in panel.limits:
        if limit is not None:
            axes.axvline(limit, color=ACCENT, linewidth=1.0, zorder=4)
    axes.plot(panel.worst, [0.03 * top] * 2, linestyle="none", marker="|", markersize=9, markeredgewidth=1.2,
              color=ACCENT, zorder=5, clip_on=False)  # fmt: skip
    axes.set_xlim(low, high)
    axes.set_ylim(0, top)
    axes.yaxis.set_major_locator(NullLocator())
    axes.xaxis.set_major_locator(FixedLocator(_ticks(low, high)))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: typeset(_label(value, panel.unit, high - low))))
    axes.tick_params(direction="in", length=2.5, width=0.4, color=GREY, pad=3)
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)


def _ticks(low: float, high: float) -> list[float]:
    """Round places: the widest steps that give three of them."""
    power = 10.0 ** math.ceil(math.log10(high - low))
    found: list[float] = []
    for step in (power * factor for factor in (1.0, 0.5, 0.2, 0.1, 0.05)):
        found = [place * step for place in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]
        if len(found) >= 3:
            break
    return found


def _label(value: float, unit: str, span: float) -> str:
    """A tick; where the whole axis is narrow, parts per million stand for per cent."""
    if abs(value) < 1e-9 * span:
        return "0"
    sign = "+" if value > 0 else ""
    if unit != "%":
        return sign + tick_label(value, unit)
    if span < NARROW:
        value, unit = value * 1e4, "ppm"
    return f"{sign}{value:.6g} {unit}".replace("-", MINUS)
