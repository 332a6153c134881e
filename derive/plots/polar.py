"""A return ratio in its plane, and poles and zeros in theirs, with true angles and logarithmic distances.

Enters: a ``PolarPlot``. Leaves: a PDF of the width of the text; the same plot gives the same bytes.
Must not know: circuits, pages.

A return ratio reaches from thousands to millionths and poles from fractions of a hertz to megahertz: on a plain plane
only the largest would be seen. The distance is asinh of the value over a small unit: straight near the centre, decades
beyond, and monotonic, so that a curve goes round -1 here exactly as often as it does in the plane itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, log10, pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from derive.document.records import Locus, PolarPlot, RootMap
from derive.errors import Defect
from derive.plots.bode import WIDTH
from derive.plots.looks import ACCENT, FONTS, GREY, HAIR, INK, OUTSIDE, STYLES, typeset
from derive.plots.saving import Save, to_pdf
from derive.plots.scales import tick_label

HEIGHT = 82 / 25.4
LEAST = 0.02
"""The return ratio around which the plane's centre is straight."""
MOST_RINGS = 7
RAY = np.pi / 4
CROSS: dict[str, Any] = {"marker": "x", "markersize": 5.2, "markeredgewidth": 1.3, "color": INK, "zorder": 6}
CIRCLE: dict[str, Any] = {
    "marker": "o", "markersize": 5.2, "markerfacecolor": "white", "markeredgecolor": INK, "markeredgewidth": 1.0,
    "zorder": 5,
}  # fmt: skip


def draw_polar(plot: PolarPlot, save: Save = to_pdf) -> bytes:
    """The plot as PDF. Raises Defect for a plot with nothing in it."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    if plot.locus is None and plot.roots is None:
        raise Defect(f"the plot {plot.stem!r} has nothing in it")
    side = 0.90
    width = side * HEIGHT / WIDTH
    both = plot.locus is not None and plot.roots is not None
    places = (0.245, 0.755) if both else (0.5, 0.5)
    with matplotlib.rc_context(FONTS):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasPdf(figure)
        for middle, part in zip(places, (plot.locus, plot.roots), strict=True):
            if part is not None:
                axes = figure.add_axes((middle - width / 2, 0.05, width, side))
                axes.set_xlim(-1.09, 1.09)
                axes.set_ylim(-1.09, 1.09)
                axes.set_aspect("equal")
                axes.axis("off")
                _locus(axes, part) if isinstance(part, Locus) else _roots(axes, part)
        return save(figure)


class _Radius:
    """Distances from the centre: one for ``largest``, straight under ``unit``."""

    def __init__(self, unit: float, largest: float) -> None:
        self.unit, self.full = unit, float(np.arcsinh(largest / unit))

    def of(self, size: NDArray[np.float64] | float) -> NDArray[np.float64]:
        return np.asarray(np.arcsinh(np.asarray(size) / self.unit) / self.full)

    def place(self, values: Sequence[complex] | NDArray[np.complex128]) -> NDArray[np.complex128]:
        found = np.asarray(values, dtype=complex)
        size = np.abs(found)
        return np.asarray(found / np.where(size > 0, size, 1.0) * self.of(size), dtype=complex)


def _locus(axes: Any, locus: Locus) -> None:
    values = np.asarray(locus.curve.values, dtype=complex)
    values = values[np.isfinite(values)]
    largest = 10.0 ** ceil(log10(max(float(np.max(np.abs(values))), 1.0)) + 0.05)
    radius = _Radius(LEAST, largest)
    decades = range(-1, round(log10(largest)) + 1)
    stride = max(1, ceil(len(decades) / MOST_RINGS))
    rings = [(10.0**d, f"{10.0**d:g}" if -2 <= d < 4 else f"$10^{{{d}}}$") for d in decades if d % stride == 0]
    _rings(axes, radius, rings)
    points = radius.place(values)
    axes.plot(points.real, -points.imag, color="0.58", linewidth=0.6, zorder=3)
    axes.plot(points.real, points.imag, **STYLES["exact"])
    _arrow(axes, points)
    critical = radius.place([-1 + 0j])[0]
    axes.plot([critical.real], [0.0], marker="+", markersize=8, markeredgewidth=1.4, color=ACCENT, zorder=7)
    _ring_of_one(axes, float(radius.of(1.0)))
    axes.text(critical.real - 0.03, 0.035, "$-1$", color=ACCENT, ha="right", va="bottom", zorder=7)
    _axis_names(axes, "Re", "Im")
    frequencies = np.asarray(locus.curve.frequencies)[np.isfinite(np.asarray(locus.curve.values))]
    for frequency in locus.unity:
        place = _between(points, frequencies, frequency)
        axes.plot([place.real], [place.imag], marker="o", markersize=3.6, color=ACCENT, zorder=6)
    if frequencies[0] <= locus.spot <= frequencies[-1]:
        place = _between(points, frequencies, locus.spot)
        axes.plot([place.real], [place.imag], marker="o", markersize=4.2, markerfacecolor="white",
                  markeredgecolor=INK, markeredgewidth=0.9, zorder=6)  # fmt: skip


def _between(points: NDArray[np.complex128], frequencies: NDArray[np.float64], frequency: float) -> complex:
    where = np.log(frequencies)
    return complex(*(float(np.interp(np.log(frequency), where, part)) for part in (points.real, points.imag)))


def _axis_names(axes: Any, real: str, imaginary: str) -> None:
    axes.text(1.06, 0.02, real, color=GREY, ha="right", va="bottom")
    axes.text(0.025, 1.055, imaginary, color=GREY, ha="left", va="top")


def _ring_of_one(axes: Any, size: float) -> None:
    turn = np.linspace(0, 2 * np.pi, 181)
    axes.plot(size * np.cos(turn), size * np.sin(turn), color=INK, linewidth=0.6, linestyle=(0, (6.0, 2.0)), zorder=2)


def _arrow(axes: Any, points: NDArray[np.complex128]) -> None:
    """An arrow head halfway along the drawn curve, where there is a curve."""
    steps = np.abs(np.diff(points))
    length = float(np.sum(steps))
    if length < 0.05:
        return
    place = int(np.searchsorted(np.cumsum(steps), length / 2))
    start, end = points[max(place - 1, 0)], points[min(place + 1, len(points) - 1)]
    if start != end:
        head = {"arrowstyle": "-|>", "color": INK, "linewidth": 0.8, "mutation_scale": 9}
        axes.annotate("", (end.real, end.imag), (start.real, start.imag), zorder=5, arrowprops=head)


def _roots(axes: Any, roots: RootMap) -> None:
    poles, zeros = ([root / (2 * pi) for root in side] for side in (roots.poles, roots.zeros))
    sizes = [float(abs(r)) for r in (*poles, *zeros) if r]
    low, high = (min(sizes), max(sizes)) if sizes else (1.0, 10.0)
    first, last = floor(log10(low) - 0.3), ceil(log10(high) + 0.15)
    radius = _Radius(10.0**first, 10.0**last)
    turn = np.linspace(-np.pi / 2, np.pi / 2, 91)
    axes.fill(np.cos(turn), np.sin(turn), facecolor=OUTSIDE, edgecolor="none", zorder=-1)
    stride = max(1, ceil((last - first) / MOST_RINGS))
    _rings(axes, radius, [(10.0**d, typeset(tick_label(10.0**d, "Hz"))) for d in range(last, first, -stride)])
    _axis_names(axes, r"$\sigma$", r"$\mathrm{j}\omega$")
    for angle in (np.pi - RAY, np.pi + RAY):
        axes.plot([0, np.cos(angle)], [0, np.sin(angle)], color=GREY, linewidth=0.5, linestyle=(0, (4, 3)), zorder=1)
    for values, look in ((zeros, CIRCLE), (poles, CROSS)):
        for place in radius.place(values):
            style = {**look, "color": ACCENT} if look is CROSS and place.real > 1e-12 else look
            axes.plot([place.real], [place.imag], linestyle="none", **style)


def _rings(axes: Any, radius: _Radius, rings: Sequence[tuple[float, str]]) -> None:
    """Axes, rings at decades, and the decades' names along a ray that curves seldom meet."""
    turn = np.linspace(0, 2 * np.pi, 181)
    axes.plot([-1.04, 1.04], [0, 0], color=HAIR, linewidth=0.5, zorder=0)
    axes.plot([0, 0], [-1.04, 1.04], color=HAIR, linewidth=0.5, zorder=0)
    for value, name in rings:
        size = float(radius.of(value))
        axes.plot(size * np.cos(turn), size * np.sin(turn), color=HAIR, linewidth=0.5, zorder=0)
        axes.text(size * np.cos(1.15), size * np.sin(1.15), name, fontsize=6.5, color=GREY, ha="center", va="center",
                  zorder=2, bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4, "alpha": 0.8})  # fmt: skip
