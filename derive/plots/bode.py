"""Magnitude above phase over frequency, the exact answer and the approximate one.

Enters: a ``Plot``. Leaves: a PDF of the width of the text, drawn with lines; the same plot gives the same
bytes. Must not know: circuits, pages. No text of an author is drawn: titles are set on the page.

The library that draws is loaded when the first plot is drawn, not before.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from derive.document.records import Plot
from derive.errors import Defect
from derive.plots.looks import FONTS, GREY, HAIR, INK, OUTSIDE, STYLES, typeset
from derive.plots.saving import to_pdf
from derive.plots.scales import Scale, frequencies, tick_label
from derive.plots.strip import draw_strip
from derive.plots.traces import Trace, emptiness, magnitude_scale, phase_scale, prepare

WIDTH, HEIGHT = 170 / 25.4, 72 / 25.4
"""Inches: the width of the text, and about seven centimetres."""


def draw(plot: Plot) -> bytes:
    """The plot as PDF. Where a curve is zero or infinite everywhere, words say so in its place.

    Raises Defect for a plot without a curve.
    """
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    if not plot.curves:
        raise Defect(f"the plot {plot.stem!r} has no curve")
    decibels = plot.unit in ("V/V", "1", "A/A")
    traces = prepare(plot, decibels)
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        missing = emptiness(plot)
        if not traces:
            figure.text(0.5, 0.5, "; ".join(missing) + ": no curve to draw", ha="center", va="center", color=INK)
            return to_pdf(figure)
        strip = any(curve.name == "approximate" for curve in plot.curves) and plot.tolerance is not None
        magnitude, phase, agreement = place_axes(figure, strip)
        reach = frequencies(traces[0].frequency[0], traces[0].frequency[-1])
        unit = "dB" if decibels else plot.unit
        frame(magnitude, magnitude_scale(traces, decibels), reach, unit, log=not decibels, plot=plot)
        frame(phase, phase_scale(traces), reach, "°", log=False, plot=plot)
        magnitude.tick_params(labelbottom=False)
        for axes, name in ((magnitude, "magnitude"), (phase, "phase")):
            place = axes.get_position()
            figure.text(0.012, (place.y0 + place.y1) / 2, name, rotation=90, ha="center", va="center", color=GREY)
        for trace in traces:
            magnitude.plot(trace.frequency, trace.magnitude, **STYLES[trace.name])
            phase.plot(trace.frequency, trace.phase, **STYLES[trace.name])
        mark_spot(magnitude, phase, traces[0], plot.spot)
        _legend(figure, magnitude, traces, missing, left=plot.spot > reach.low and reach.share(plot.spot) > 0.6)
        if strip:
            draw_strip(agreement, plot, reach)
        return to_pdf(figure)


def place_axes(figure: Any, strip: bool) -> tuple[Any, Any, Any]:
    """The axes, placed by hand: the same place in every plot, so that plots line up on the page."""
    # On the right there is room for half of the widest label of a tick, "100 MHz".
    left, width = 0.100, 0.862
    base = 0.150 if strip else 0.085
    middle = base + (0.935 - base) * 0.45
    magnitude = figure.add_axes((left, middle + 0.045, width, 0.935 - middle - 0.045))
    phase = figure.add_axes((left, base, width, middle - base), sharex=magnitude)
    agreement = figure.add_axes((left, 0.012, width, 0.052), sharex=magnitude) if strip else None
    return magnitude, phase, agreement


def frame(axes: Any, scale: Scale, reach: Scale, unit: str, *, log: bool, plot: Plot) -> None:
    """Limits, ticks, grid and the grey ground outside the band."""
    from matplotlib.ticker import FixedLocator, NullFormatter

    axes.set_xscale("log")
    if log:
        axes.set_yscale("log")
    axes.set_xlim(reach.low, reach.high)
    axes.set_ylim(scale.low, scale.high)
    for axis, part, label in ((axes.xaxis, reach, "Hz"), (axes.yaxis, scale, unit)):
        axis.set_major_locator(FixedLocator(part.ticks))
        axis.set_minor_locator(FixedLocator(part.minor))
        axis.set_minor_formatter(NullFormatter())
        axis.set_major_formatter(_labels(label))
    axes.grid(which="major", color=HAIR, linewidth=0.35, zorder=0)
    axes.grid(which="minor", axis="x", color="0.91", linewidth=0.25, zorder=0)
    axes.tick_params(which="both", direction="in", length=2.5, width=0.4, color=GREY, pad=3)
    axes.tick_params(which="minor", length=1.5)
    axes.set_axisbelow(True)
    for start, end in ((reach.low, plot.band[0]), (plot.band[1], reach.high)):
        if end > start:
            axes.axvspan(max(start, reach.low), min(end, reach.high), facecolor=OUTSIDE, edgecolor="none", zorder=-1)
    for edge in plot.band:
        if reach.low < edge < reach.high:
            axes.axvline(edge, color=GREY, linewidth=0.5, zorder=1)


def _labels(unit: str) -> Any:
    from matplotlib.ticker import FuncFormatter

    return FuncFormatter(lambda value, _place: typeset(tick_label(value, unit)))


def mark_spot(magnitude: Any, phase: Any, exact: Trace, spot: float) -> None:
    """A ring on the exact curves where the numbers of the sheet are taken."""
    if not exact.frequency[0] <= spot <= exact.frequency[-1]:
        return
    place = np.log(exact.frequency)
    for axes, values in ((magnitude, exact.magnitude), (phase, exact.phase)):
        height = float(np.interp(np.log(spot), place, values))
        axes.axvline(spot, color=GREY, linewidth=0.5, linestyle=(0, (1, 2)), zorder=1)
        axes.plot([spot], [height], marker="o", markersize=4.2, markerfacecolor="white", markeredgecolor=INK,
                  markeredgewidth=0.9, zorder=5)  # fmt: skip
    label = typeset(f"spot {tick_label(spot, 'Hz')}")
    magnitude.annotate(label, (spot, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 2.5),
                       textcoords="offset points", ha="center", va="bottom", color=GREY)  # fmt: skip


def _legend(figure: Any, magnitude: Any, traces: list[Trace], missing: tuple[str, ...], *, left: bool) -> None:
    """Above the axes, on the side where the spot is not."""
    from matplotlib.lines import Line2D

    handles = [Line2D([], [], label=trace.name, **STYLES[trace.name]) for trace in traces]
    handles += [Line2D([], [], label=words, linestyle="none") for words in missing]
    box = magnitude.get_position()
    figure.legend(
        handles=handles, loc="lower left" if left else "lower right",
        bbox_to_anchor=(box.x0 if left else box.x1, box.y1 - 0.012), ncols=len(handles), frameon=False,
        fontsize=7.5, handlelength=3.2, columnspacing=1.6, borderaxespad=0.2, borderpad=0.2,
    )  # fmt: skip
