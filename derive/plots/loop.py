"""A return ratio over frequency, magnitude above phase, with its margins as bars at the places where they belong.

Enters: a ``LoopPlot``. Leaves: a PDF of the width of the text; the same plot gives the same bytes.
Must not know: circuits, pages.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from derive.document.records import LoopPlot
from derive.errors import Defect
from derive.numbers import engineering
from derive.plots.bode import HEIGHT, WIDTH, frame, mark_spot, place_axes
from derive.plots.looks import ACCENT, FONTS, GREY, INK, STYLES, typeset
from derive.plots.saving import Save, to_pdf
from derive.plots.scales import frequencies
from derive.plots.traces import Trace, magnitude_scale, phase_scale, prepare

BAR: dict[str, Any] = {"color": ACCENT, "linewidth": 1.1, "solid_capstyle": "butt", "zorder": 4}
LINE: dict[str, Any] = {"color": INK, "linewidth": 0.6, "linestyle": (0, (6.0, 2.0)), "zorder": 2}
DOT: dict[str, Any] = {"marker": "o", "markersize": 3.6, "color": ACCENT, "zorder": 6}
SQUARE: dict[str, Any] = {
    "marker": "s", "markersize": 3.6, "markerfacecolor": "white", "markeredgecolor": ACCENT, "zorder": 6,
}  # fmt: skip
BOX = {"facecolor": "white", "edgecolor": "none", "pad": 0.6, "alpha": 0.85}
FEW = 3
"""Margins of each kind that are labelled."""


def draw_loop(loop: LoopPlot, save: Save = to_pdf) -> bytes:
    """The plot as PDF. Raises Defect for a plot without a curve that can be drawn."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    traces = prepare(loop.plot, decibels=True)
    if not traces:
        raise Defect(f"the plot {loop.plot.stem!r} has no curve")
    trace = traces[0]
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        magnitude, phase, _ = place_axes(figure, strip=False)
        reach = frequencies(trace.frequency[0], trace.frequency[-1])
        frame(magnitude, magnitude_scale(traces, True), reach, "dB", log=False, plot=loop.plot)
        frame(phase, phase_scale([*traces, *_turned(trace, loop)]), reach, "°", log=False, plot=loop.plot)
        magnitude.tick_params(labelbottom=False)
        for axes, name in ((magnitude, "magnitude"), (phase, "phase")):
            place = axes.get_position()
            figure.text(0.012, (place.y0 + place.y1) / 2, name, rotation=90, ha="center", va="center", color=GREY)
        magnitude.plot(trace.frequency, trace.magnitude, **STYLES["exact"])
        phase.plot(trace.frequency, trace.phase, **STYLES["exact"])
        magnitude.axhline(0.0, **LINE)
        for level in _odd_turns(*phase.get_ylim()):
            phase.axhline(level, **LINE)
        mark_spot(magnitude, phase, trace, loop.plot.spot)
        _margins(magnitude, phase, trace, loop)
        return save(figure)


def _turned(trace: Trace, loop: LoopPlot) -> list[Trace]:
    """The trace of what the axis of phase must show besides the curve: the -180° of each margin."""
    levels = [_level(float(np.interp(m.frequency, trace.frequency, trace.phase))) for m in loop.unity]
    if not levels:
        return []
    places = np.full(len(levels), trace.frequency[0])
    return [Trace("exact", places, np.zeros(len(levels)), np.array(levels))]


def _level(phase: float) -> float:
    """The odd multiple of 180° nearest to a phase."""
    return 360.0 * round((phase - 180) / 360) + 180.0


def _odd_turns(low: float, high: float) -> list[float]:
    first = int(np.ceil((low - 180) / 360))
    return [360.0 * turn + 180.0 for turn in range(first, first + 20) if low <= 360.0 * turn + 180.0 <= high]


def _margins(magnitude: Any, phase: Any, trace: Trace, loop: LoopPlot) -> None:
    low, high = trace.frequency[0], trace.frequency[-1]
    for mark in [m for m in loop.unity if low <= m.frequency <= high][:FEW]:
        at = float(np.interp(mark.frequency, trace.frequency, trace.phase))
        phase.plot([mark.frequency] * 2, [at, _level(at)], **BAR)
        phase.plot([mark.frequency], [at], **DOT)
        magnitude.plot([mark.frequency], [0.0], **DOT)
        _label(phase, mark.frequency, (at + _level(at)) / 2, f"{engineering(mark.number, '°', 3)}", trace)
    for mark in [m for m in loop.critical if low <= m.frequency <= high and m.number > 0][:FEW]:
        size = -20 * float(np.log10(mark.number))
        magnitude.plot([mark.frequency] * 2, [size, 0.0], **BAR)
        magnitude.plot([mark.frequency], [size], **SQUARE)
        at = float(np.interp(mark.frequency, trace.frequency, trace.phase))
        phase.plot([mark.frequency], [_level(at)], **SQUARE)
        _label(magnitude, mark.frequency, size / 2, f"× {engineering(mark.number, '1', 3)}", trace)


def _label(axes: Any, frequency: float, height: float, text: str, trace: Trace) -> None:
    """Beside the bar, on the side where there is room."""
    share = np.log(frequency / trace.frequency[0]) / np.log(trace.frequency[-1] / trace.frequency[0])
    left = share > 0.85
    axes.annotate(typeset(text), (frequency, height), xytext=(-4 if left else 4, 0),
                  textcoords="offset points", ha="right" if left else "left", va="center", color=ACCENT,
                  fontsize=7.5, bbox=BOX, zorder=7)  # fmt: skip
