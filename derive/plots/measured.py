"""Measurements with error bars on the predicted curve; below, their distance in combined standard uncertainties.

Enters: ``Comparison``. Leaves: a PDF of the width of the text; the same record gives the same bytes.
Must not know: circuits, pages.
"""

from __future__ import annotations

import math
from typing import Any

from derive.document.figures import Comparison
from derive.errors import Defect
from derive.plots.looks import ACCENT, AGREEMENT, FONTS, GREY, HAIR, INK, typeset
from derive.plots.saving import Save, to_pdf
from derive.plots.scales import DECIBEL_STEPS, DEGREE_STEPS, Scale, frequencies, linear, logarithmic, tick_label

WIDTH, HEIGHT = 170 / 25.4, 68 / 25.4
COVERED = 2.0
LEAST = {"dB": (DECIBEL_STEPS, 3.0), "°": (DEGREE_STEPS, 10.0)}


def draw_comparison(record: Comparison, save: Save = to_pdf) -> bytes:
    """The picture. Raises Defect where nothing was measured."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    if not record.points or len(record.frequencies) < 2:
        raise Defect(f"the picture {record.stem!r} has no measurement")
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        above = figure.add_axes((0.100, 0.40, 0.862, 0.55))
        below = figure.add_axes((0.100, 0.09, 0.862, 0.25), sharex=above)
        reach = frequencies(record.frequencies[0], record.frequencies[-1])
        _values(above, record, reach)
        _scores(below, record, reach)
        for axes, name in ((above, "reading"), (below, "distance")):
            place = axes.get_position()
            figure.text(0.012, (place.y0 + place.y1) / 2, name, rotation=90, ha="center", va="center", color=GREY)
        return save(figure)


def _values(axes: Any, record: Comparison, reach: Scale) -> None:
    ends = [v + side * u for _, v, u, _ in record.points for side in (-1, 1)] + list(record.values)
    if record.logarithmic:
        positive = [end for end in ends if end > 0]
        scale = logarithmic(positive)
        axes.set_yscale("log")
    else:
        steps, least = LEAST.get(record.unit, (_steps(ends), 0.0))
        scale = linear(ends, steps, least)
    axes.set_xscale("log")
    axes.set_xlim(reach.low, reach.high)
    axes.set_ylim(scale.low, scale.high)
    _ticks(axes, reach, scale, record.unit)
    axes.tick_params(labelbottom=False)
    axes.plot(record.frequencies, record.values, color="0.58", linewidth=2.2, zorder=3)
    for frequency, value, spread, score in record.points:
        colour = ACCENT if abs(score) > COVERED else INK
        low, high = value - spread, value + spread
        if record.logarithmic:
            low = max(low, scale.low)
        axes.plot([frequency] * 2, [low, high], color=colour, linewidth=0.8, zorder=4)
        axes.plot([frequency], [value], marker="o", markersize=3.2, markerfacecolor="white", markeredgecolor=colour,
                  markeredgewidth=0.8, zorder=5)  # fmt: skip


def _scores(axes: Any, record: Comparison, reach: Scale) -> None:
    scores = [score for *_, score in record.points]
    largest = max(3.0, *(abs(score) for score in scores))
    step = next(
        s for s in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 10.0 ** math.ceil(math.log10(largest))) if 3 * s >= largest
    )
    top = math.ceil(largest / step) * step
    scale = Scale(
        -1.1 * top, 1.1 * top, tuple(place * step for place in range(-round(top / step), round(top / step) + 1))
    )
    axes.set_ylim(scale.low, scale.high)
    axes.axhspan(-COVERED, COVERED, facecolor=AGREEMENT, edgecolor="none", zorder=0)
    _ticks(axes, reach, scale, "1")
    axes.axhline(0, color=GREY, linewidth=0.5, zorder=1)
    for frequency, *_, score in record.points:
        colour = ACCENT if abs(score) > COVERED else INK
        axes.plot([frequency] * 2, [0, score], color=colour, linewidth=0.8, zorder=3)
        axes.plot([frequency], [score], marker="o", markersize=2.6, color=colour, zorder=4)


def _ticks(axes: Any, reach: Scale, scale: Scale, unit: str) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullFormatter

    for axis, part, of in ((axes.xaxis, reach, "Hz"), (axes.yaxis, scale, unit)):
        axis.set_major_locator(FixedLocator(part.ticks))
        axis.set_minor_locator(FixedLocator(part.minor))
        axis.set_minor_formatter(NullFormatter())
        axis.set_major_formatter(FuncFormatter(lambda value, _, of=of: typeset(tick_label(value, of))))
    axes.grid(which="major", color=HAIR, linewidth=0.35, zorder=0)
    axes.tick_params(which="both", direction="in", length=2.5, width=0.4, color=GREY, pad=3)
    axes.set_axisbelow(True)


def _steps(values: list[float]) -> tuple[float, ...]:
    """Round steps around a fifth of the span of values."""
    span = (max(values) - min(values)) or abs(values[0]) or 1.0
    power = 10.0 ** math.floor(math.log10(span / 5))
    return tuple(power * factor for factor in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0))
