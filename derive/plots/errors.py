"""An error over frequency, in per cent on a logarithmic axis, with the tolerance as a line.

Enters: a ``Plot`` with the unit "%" and one curve. Leaves: a PDF of the width of the text; the same plot gives the same
bytes. Must not know: circuits, pages.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from derive.document.records import Plot
from derive.errors import Defect
from derive.plots.looks import ACCENT, FONTS, GREY, HAIR, INK, OUTSIDE, typeset
from derive.plots.saving import to_pdf
from derive.plots.scales import frequencies, logarithmic, tick_label

WIDTH, HEIGHT = 170 / 25.4, 44 / 25.4
LEAST, MOST = 1e-3, 1e4
"""Per cent: what is smaller or larger is drawn at the edge."""


def draw_error(plot: Plot) -> bytes:
    """The plot as PDF. Raises Defect for a plot without a curve that can be drawn."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    points = np.asarray(plot.curves[0].frequencies if plot.curves else (), dtype=float)
    if len(points) < 2:
        raise Defect(f"the plot {plot.stem!r} has no curve")
    values = np.clip(np.nan_to_num(np.abs(np.asarray(plot.curves[0].values)), nan=MOST, posinf=MOST), LEAST, MOST)
    limit = 100 * (plot.tolerance or 0.0)
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        axes = figure.add_axes((0.100, 0.14, 0.862, 0.74))
        reach = frequencies(float(points[0]), float(points[-1]))
        scale = logarithmic([*values.tolist(), *([limit] if limit else [])])
        _axes(axes, plot, reach, scale)
        axes.plot(points, values, color=INK, linewidth=1.4, zorder=4)
        if limit:
            axes.axhline(limit, color=ACCENT, linewidth=0.9, linestyle=(0, (5.0, 2.6)), zorder=3)
        figure.text(0.012, 0.51, "error", rotation=90, ha="center", va="center", color=GREY)
        return to_pdf(figure)


def _axes(axes: Any, plot: Plot, reach: Any, scale: Any) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullFormatter

    axes.set_xscale("log")
    axes.set_yscale("log")
    axes.set_xlim(reach.low, reach.high)
    axes.set_ylim(scale.low, scale.high)
    for axis, part, unit in ((axes.xaxis, reach, "Hz"), (axes.yaxis, scale, "%")):
        axis.set_major_locator(FixedLocator(part.ticks))
        axis.set_minor_locator(FixedLocator(part.minor))
        axis.set_minor_formatter(NullFormatter())
        axis.set_major_formatter(FuncFormatter(lambda value, _place, unit=unit: typeset(_label(value, unit))))
    axes.grid(which="major", color=HAIR, linewidth=0.35, zorder=0)
    axes.tick_params(which="both", direction="in", length=2.5, width=0.4, color=GREY, pad=3)
    for start, end in ((reach.low, plot.band[0]), (plot.band[1], reach.high)):
        if end > start:
            axes.axvspan(max(start, reach.low), min(end, reach.high), facecolor=OUTSIDE, edgecolor="none", zorder=-1)
    if reach.low < plot.spot < reach.high:
        axes.axvline(plot.spot, color=GREY, linewidth=0.5, linestyle=(0, (1, 2)), zorder=1)
        label = typeset(f"spot {tick_label(plot.spot, 'Hz')}")
        axes.annotate(label, (plot.spot, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 2.5),
                      textcoords="offset points", ha="center", va="bottom", color=GREY)  # fmt: skip


def _label(value: float, unit: str) -> str:
    return f"{value:g} %" if unit == "%" else tick_label(value, unit)
