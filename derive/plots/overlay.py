"""The same answer of several circuits in one picture: magnitude above, phase below.

Enters: ``Overlaid``. Leaves: a PDF of the width of the text; the same record gives the same bytes.
Must not know: circuits, pages. No text of an author is drawn: curves have letters.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from derive.document.figures import Overlaid
from derive.errors import Defect
from derive.plots.looks import ACCENT, FONTS, GREY, HAIR, INK, OUTSIDE, typeset
from derive.plots.saving import Save, to_pdf
from derive.plots.scales import (
    DECIBEL_STEPS,
    DEGREE_STEPS,
    LEAST_DECIBELS,
    LEAST_DEGREES,
    Scale,
    frequencies,
    linear,
    logarithmic,
    tick_label,
)

WIDTH, HEIGHT = 170 / 25.4, 72 / 25.4
LETTERS = "abcdefghijklmnopqrstuvwxyz"
LINES: tuple[dict[str, Any], ...] = (
    {"color": "0.58", "linewidth": 2.5},
    {"color": ACCENT, "linewidth": 1.1, "linestyle": (0, (5.0, 2.6))},
    {"color": INK, "linewidth": 1.0},
    {"color": INK, "linewidth": 1.0, "linestyle": (0, (1.0, 1.6))},
    {"color": ACCENT, "linewidth": 1.1, "linestyle": (0, (7.0, 2.0, 1.0, 2.0))},
    {"color": "0.40", "linewidth": 1.4, "linestyle": (0, (2.5, 1.5))},
)


def draw_overlay(record: Overlaid, save: Save = to_pdf) -> bytes:
    """The picture. Raises Defect where no curve can be drawn."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D

    decibels = record.unit in ("V/V", "1", "A/A")
    traces = [_trace(trace.frequencies, trace.values, decibels) for trace in record.traces]
    if not any(len(trace[0]) > 1 for trace in traces):
        raise Defect(f"the picture {record.stem!r} has no curve")
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        magnitude = figure.add_axes((0.100, 0.49, 0.862, 0.43))
        phase = figure.add_axes((0.100, 0.085, 0.862, 0.36), sharex=magnitude)
        reach = frequencies(record.traces[0].frequencies[0], record.traces[0].frequencies[-1])
        sizes = [float(v) for trace in traces for v in trace[1]]
        scale = linear(sizes, DECIBEL_STEPS, LEAST_DECIBELS) if decibels else logarithmic(sizes)
        angles = linear([float(v) for trace in traces for v in trace[2]], DEGREE_STEPS, LEAST_DEGREES)
        _frame(magnitude, reach, scale, "dB" if decibels else record.unit, record.band, log=not decibels)
        _frame(phase, reach, angles, "°", record.band, log=False)
        magnitude.tick_params(labelbottom=False)
        for place, (points, size, angle) in enumerate(traces):
            style = LINES[place % len(LINES)]
            magnitude.plot(points, size, zorder=3 + 0.1 * place, **style)
            phase.plot(points, angle, zorder=3 + 0.1 * place, **style)
        handles = [Line2D([], [], label=LETTERS[i], **LINES[i % len(LINES)]) for i in range(len(traces))]
        figure.legend(handles=handles, loc="lower right", bbox_to_anchor=(0.962, 0.915), ncols=len(handles),
                      frameon=False, fontsize=7.5, handlelength=3.2, borderaxespad=0.2, borderpad=0.2)  # fmt: skip
        return save(figure)


def _trace(points: tuple[float, ...], values: tuple[complex, ...], decibels: bool) -> tuple[Any, Any, Any]:
    """Frequencies, magnitudes, unwrapped phases; samples that are zero or not finite are left out."""
    z = np.asarray(values, dtype=complex)
    f = np.asarray(points, dtype=float)
    usable = np.isfinite(z) & (np.abs(z) > 0)
    z, f = z[usable], f[usable]
    size = 20 * np.log10(np.abs(z)) if decibels else np.abs(z)
    return f, size, np.degrees(np.unwrap(np.angle(z)))


def _frame(axes: Any, reach: Scale, scale: Scale, unit: str, band: tuple[float, float], *, log: bool) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullFormatter

    axes.set_xscale("log")
    if log:
        axes.set_yscale("log")
    axes.set_xlim(reach.low, reach.high)
    axes.set_ylim(scale.low, scale.high)
    for axis, part, of in ((axes.xaxis, reach, "Hz"), (axes.yaxis, scale, unit)):
        axis.set_major_locator(FixedLocator(part.ticks))
        axis.set_minor_locator(FixedLocator(part.minor))
        axis.set_minor_formatter(NullFormatter())
        axis.set_major_formatter(FuncFormatter(lambda value, _, of=of: typeset(tick_label(value, of))))
    axes.grid(which="major", color=HAIR, linewidth=0.35, zorder=0)
    axes.tick_params(which="both", direction="in", length=2.5, width=0.4, color=GREY, pad=3)
    axes.set_axisbelow(True)
    for start, end in ((reach.low, band[0]), (band[1], reach.high)):
        if end > start:
            axes.axvspan(max(start, reach.low), min(end, reach.high), facecolor=OUTSIDE, edgecolor="none", zorder=-1)
