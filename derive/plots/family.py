"""Several magnitudes over frequency in one frame: parts under their whole, harmonics beside each other.

Enters: a ``Family``. Leaves: a PDF of the width of the text; the same record gives the same bytes. Must not know:
circuits, pages. Labels are names of parts and words of the program's own, never an author's text.

The whole is a wide light line, its parts thin lines told apart by their dashes, on a grey printer too.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from derive.document.records import Family
from derive.errors import Defect
from derive.plots.looks import ACCENT, FONTS, GREY, HAIR, INK, OUTSIDE, STYLES, typeset
from derive.plots.saving import Save, to_pdf
from derive.plots.scales import frequencies, logarithmic, tick_label

WIDTH, HEIGHT = 170 / 25.4, 66 / 25.4
ROOT = "/√Hz"
REACH = 1e4
"""How far below the largest value the axis goes at most."""
LINES: tuple[dict[str, Any], ...] = (
    {"color": ACCENT, "linewidth": 1.0, "linestyle": "-"},
    {"color": INK, "linewidth": 0.9, "linestyle": (0, (5.0, 2.6))},
    {"color": ACCENT, "linewidth": 1.0, "linestyle": (0, (1.2, 1.6))},
    {"color": INK, "linewidth": 0.9, "linestyle": (0, (6.0, 1.6, 1.2, 1.6))},
    {"color": GREY, "linewidth": 0.9, "linestyle": (0, (2.6, 1.6))},
    {"color": GREY, "linewidth": 0.9, "linestyle": (0, (8.0, 1.6, 1.2, 1.6, 1.2, 1.6))},
)


def draw_family(family: Family, save: Save = to_pdf) -> bytes:
    """The plot as PDF. Raises Defect for a family without a positive value."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    points = np.asarray(family.frequencies, dtype=float)
    largest = max((v for one in family.series for v in one.values if np.isfinite(v)), default=0.0)
    if len(points) < 2 or not largest > 0:
        raise Defect(f"the plot {family.stem!r} has no curve")
    floor = largest / REACH
    shown = [v for one in family.series for v in one.values if np.isfinite(v) and v >= floor]
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        axes = figure.add_axes((0.100, 0.105, 0.862, 0.775))
        reach = frequencies(float(points[0]), float(points[-1]))
        _frame(axes, family, reach, logarithmic(shown))
        thin = iter(LINES)
        for one in family.series:
            style = STYLES["exact"] if one.whole else {**next(thin, LINES[-1]), "zorder": 4}
            values = np.asarray(one.values, dtype=float)
            axes.plot(points, np.where(values > floor / 10, values, np.nan), label=typeset(one.label), **style)
        per = r" per $\sqrt{\mathrm{Hz}}$" if family.unit.endswith(ROOT) else ""
        figure.text(0.012, 0.49, family.quantity + per, rotation=90, ha="center", va="center", color=GREY)
        _legend(figure, axes, family)
        return save(figure)


def _frame(axes: Any, family: Family, reach: Any, scale: Any) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullFormatter

    axes.set_xscale("log")
    axes.set_yscale("log")
    axes.set_xlim(reach.low, reach.high)
    axes.set_ylim(scale.low, scale.high)
    for axis, part, unit in ((axes.xaxis, reach, "Hz"), (axes.yaxis, scale, family.unit)):
        axis.set_major_locator(FixedLocator(part.ticks))
        axis.set_minor_locator(FixedLocator(part.minor))
        axis.set_minor_formatter(NullFormatter())
        axis.set_major_formatter(FuncFormatter(lambda value, _place, unit=unit: _label(value, unit)))
    axes.grid(which="major", color=HAIR, linewidth=0.35, zorder=0)
    axes.tick_params(which="both", direction="in", length=2.5, width=0.4, color=GREY, pad=3)
    axes.tick_params(which="minor", length=1.5)
    axes.set_axisbelow(True)
    for start, end in ((reach.low, family.band[0]), (family.band[1], reach.high)):
        if end > start:
            axes.axvspan(max(start, reach.low), min(end, reach.high), facecolor=OUTSIDE, edgecolor="none", zorder=-1)
    if reach.low < family.spot < reach.high:
        axes.axvline(family.spot, color=GREY, linewidth=0.5, linestyle=(0, (1, 2)), zorder=1)


def _label(value: float, unit: str) -> str:
    """A tick in the fonts of plots; the root in a unit of density stands with the name of the axis."""
    if unit == "%":
        return typeset(f"{value:g} %")
    return typeset(tick_label(value, unit.removesuffix(ROOT)))


def _legend(figure: Any, axes: Any, family: Family) -> None:
    box = axes.get_position()
    handles, labels = axes.get_legend_handles_labels()
    figure.legend(
        handles, labels, loc="lower right", bbox_to_anchor=(box.x1, box.y1 - 0.012), ncols=max(1, len(family.series)),
        frameon=False, fontsize=7.0, handlelength=2.8, columnspacing=1.2, borderaxespad=0.2, borderpad=0.2,
    )  # fmt: skip
