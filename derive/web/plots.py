"""Plots as SVG: magnitude above phase over frequency, with the band, the spot and the strip of agreement.

Enters: a ``Plot``, a width. Leaves: an ``svg`` element, and the geometry with which a script moves its curves.
Must not know: circuits, pages. Scales, ticks and traces are those of the plots on paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from markupsafe import Markup

from derive.document.records import Plot
from derive.errors import Defect
from derive.plots.errors import LEAST, MOST
from derive.plots.scales import Scale, frequencies, logarithmic, tick_label
from derive.plots.traces import Trace, emptiness, magnitude_scale, phase_scale, prepare
from derive.web.escape import element, joined
from derive.web.strip import strip
from derive.web.svg import box, label, line, path, short

WIDE, SLIM = 700.0, 350.0
"""Widths in units of about a pixel: for screens and paper, and for a telephone."""
LEFT, RIGHT, TOP = 62.0, 20.0, 24.0
UPPER, LOWER, GAP, FOOT, STRIP, ALONE = 150.0, 105.0, 16.0, 24.0, 26.0, 130.0
"""Heights: of the magnitude, the phase, the gap between them, the labels of frequency, the strip; of one axis alone."""


@dataclass(frozen=True)
class Axis:
    """A scale laid along a stretch of the picture, from ``start`` (its low end) to ``end``."""

    scale: Scale
    start: float
    end: float
    log: bool

    def at(self, value: float) -> float:
        low, high = self.scale.low, self.scale.high
        share = math.log(value / low) / math.log(high / low) if self.log else (value - low) / (high - low)
        # What is far outside is clipped; a huge coordinate is not.
        return self.start + min(max(share, -2.0), 3.0) * (self.end - self.start)

    def geometry(self) -> dict[str, Any]:
        return {"low": self.scale.low, "high": self.scale.high, "start": self.start, "end": self.end, "log": self.log}


def draw(plot: Plot, name: str, width: float = WIDE) -> tuple[Markup, dict[str, Any]]:
    """The plot as SVG, and its geometry. ``name``: what identifies it on the page, by letters and digits.

    Raises Defect for a plot without a curve.
    """
    if not plot.curves:
        raise Defect(f"the plot {plot.stem!r} has no curve")
    if plot.unit == "%":
        return _error(plot, name, width)
    decibels = plot.unit in ("V/V", "1", "A/A")
    traces = prepare(plot, decibels)
    missing = emptiness(plot)
    if not traces:
        words = "; ".join(missing) + ": no curve to draw"
        return _picture(name, width, 60, words, [label(width / 2, 34, words, "t", text_anchor="middle")]), {}
    reach = frequencies(float(traces[0].frequency[0]), float(traces[0].frequency[-1]))
    across = Axis(reach, LEFT, width - RIGHT, True)
    middle, base = TOP + UPPER, TOP + UPPER + GAP + LOWER
    up = Axis(magnitude_scale(traces, decibels), middle, TOP, not decibels)
    down = Axis(phase_scale(traces), base, middle + GAP, False)
    has_strip = any(curve.name == "approximate" for curve in plot.curves) and plot.tolerance is not None
    parts = [_ground(across, up, plot), _ground(across, down, plot)]
    parts += [_grid(across, up, "dB" if decibels else plot.unit), _grid(across, down, "°")]
    parts += [_frequency_labels(across, base, width)]
    parts += [_side("magnitude", (TOP + middle) / 2), _side("phase", (middle + GAP + base) / 2)]
    for kind, axis in (("m", up), ("p", down)):
        clip = f"{name}-{kind}"
        parts.append(_clip(clip, across, axis))
        for trace in traces:
            values = trace.magnitude if kind == "m" else trace.phase
            parts.append(_curve(trace, values, across, axis, clip, kind))
    parts += _spot(traces[0], plot.spot, across, up, down)
    parts.append(_legend(traces, missing, across, plot))
    height = base + FOOT + (STRIP if has_strip else 0)
    if has_strip:
        parts.append(strip(plot, reach, LEFT, width - RIGHT, base + FOOT + 3))
    geometry = {"x": across.geometry(), "m": up.geometry(), "p": down.geometry(), "decibels": decibels}
    return _picture(name, width, height, _spoken(plot), parts), geometry


def _picture(name: str, width: float, height: float, words: str, parts: list[Markup]) -> Markup:
    return element(
        "svg", joined(parts), viewBox=f"0 0 {short(width)} {short(height)}", role="img", aria_label=words,
        class_="plot " + ("wide" if width == WIDE else "slim"), data_plot=name,
    )  # fmt: skip


def _spoken(plot: Plot) -> str:
    names = " and ".join(curve.name for curve in plot.curves)
    return f"Magnitude and phase over frequency, {names}; the numbers stand in the text"


def _ground(across: Axis, up: Axis, plot: Plot) -> Markup:
    """Grey ground outside the author's band, and lines at its edges."""
    low, high = across.scale.low, across.scale.high
    parts = []
    for start, end in ((low, plot.band[0]), (plot.band[1], high)):
        if end > start:
            left, right = across.at(max(start, low)), across.at(min(end, high))
            parts.append(box(left, up.end, right - left, up.start - up.end, "outside"))
    parts += [line(across.at(e), up.end, across.at(e), up.start, "edge") for e in plot.band if low < e < high]
    return joined(parts)


def _grid(across: Axis, up: Axis, unit: str) -> Markup:
    parts = [line(across.at(f), up.end, across.at(f), up.start, "minor") for f in across.scale.minor]
    parts += [line(across.at(f), up.end, across.at(f), up.start, "major") for f in across.scale.ticks]
    for tick in up.scale.ticks:
        parts.append(line(across.start, up.at(tick), across.end, up.at(tick), "major"))
        parts.append(label(across.start - 6, up.at(tick) + 3.8, _tick(tick, unit), "t", text_anchor="end"))
    parts.append(box(across.start, up.end, across.end - across.start, up.start - up.end, "frame"))
    return joined(parts)


def _tick(value: float, unit: str) -> str:
    return f"{value:g} %" if unit == "%" else tick_label(value, unit)


def _frequency_labels(across: Axis, base: float, width: float) -> Markup:
    ticks = across.scale.ticks
    stride = 1 if width / max(len(ticks), 1) > 60 else 2
    shown = ticks[::stride]
    return joined([label(across.at(f), base + 15, tick_label(f, "Hz"), "t", text_anchor="middle") for f in shown])


def _side(words: str, y: float) -> Markup:
    return label(0, 0, words, "t side", text_anchor="middle", transform=f"translate(10 {short(y)}) rotate(-90)")


def _clip(name: str, across: Axis, up: Axis) -> Markup:
    inner = box(across.start, up.end, across.end - across.start, up.start - up.end, "")
    return element("clipPath", inner, id=f"clip-{name}-{short(across.end)}")


def _curve(trace: Trace, values: Any, across: Axis, axis: Axis, clip: str, kind: str) -> Markup:
    points = ((across.at(float(f)), axis.at(float(v))) for f, v in zip(trace.frequency, values, strict=True))
    return element("path", Markup(""), d=path(points), class_=f"curve {trace.name}", data_curve=f"{kind}-{trace.name}",
                   clip_path=f"url(#clip-{clip}-{short(across.end)})")  # fmt: skip


def _spot(exact: Trace, spot: float, across: Axis, up: Axis, down: Axis) -> list[Markup]:
    """A ring on the exact curves where the numbers of the sheet are taken."""
    if not exact.frequency[0] <= spot <= exact.frequency[-1]:
        return []
    x = across.at(spot)
    parts = [line(x, up.end, x, down.start, "spot")]
    for axis, values, kind in ((up, exact.magnitude, "m"), (down, exact.phase, "p")):
        height = float(np.interp(np.log(spot), np.log(exact.frequency), values))
        place = {"cx": short(x), "cy": short(axis.at(height)), "r": "3.4"}
        parts.append(element("circle", Markup(""), **place, class_="ring", data_ring=kind))
    parts.append(label(x, TOP - 7, f"spot {tick_label(spot, 'Hz')}", "t", text_anchor="middle"))
    return parts


def _legend(traces: list[Trace], missing: tuple[str, ...], across: Axis, plot: Plot) -> Markup:
    """Above the axes, on the side where the spot is not."""
    left = plot.spot > across.scale.low and across.scale.share(plot.spot) > 0.5
    entries = [(trace.name, trace.name) for trace in traces] + [("", words) for words in missing]
    lengths = [(24 if kind else 0) + 6.2 * len(words) + 12 for kind, words in entries]
    x = across.start if left else across.end - sum(lengths) + 10
    parts = []
    for (kind, words), length in zip(entries, lengths, strict=True):
        if kind:
            parts.append(line(x, TOP - 11, x + 19, TOP - 11, f"curve {kind}"))
        parts.append(label(x + (24 if kind else 0), TOP - 7, words, "t"))
        x += length
    return joined(parts)


def _error(plot: Plot, name: str, width: float) -> tuple[Markup, dict[str, Any]]:
    """An error in per cent on a logarithmic axis, the tolerance as a line of dashes."""
    points = np.asarray(plot.curves[0].frequencies, dtype=float)
    if len(points) < 2:
        raise Defect(f"the plot {plot.stem!r} has no curve")
    values = np.clip(np.nan_to_num(np.abs(np.asarray(plot.curves[0].values)), nan=MOST, posinf=MOST), LEAST, MOST)
    limit = 100 * (plot.tolerance or 0.0)
    across = Axis(frequencies(float(points[0]), float(points[-1])), LEFT, width - RIGHT, True)
    base = TOP + ALONE
    up = Axis(logarithmic([*values.tolist(), *([limit] if limit else [])]), base, TOP, True)
    parts = [_ground(across, up, plot), _grid(across, up, "%"), _frequency_labels(across, base, width)]
    parts += [_side("error", (TOP + base) / 2), _clip(name, across, up)]
    if limit:
        parts.append(line(across.start, up.at(limit), across.end, up.at(limit), "curve limit"))
    trace = Trace("error", points, values, values)
    parts.append(_curve(trace, values, across, up, name, "e"))
    if across.scale.low < plot.spot < across.scale.high:
        x = across.at(plot.spot)
        parts += [line(x, TOP, x, base, "spot"), label(x, TOP - 7, f"spot {tick_label(plot.spot, 'Hz')}", "t",
                                                        text_anchor="middle")]  # fmt: skip
    words = "The error over frequency, in per cent; the numbers stand in the text"
    return _picture(name, width, base + FOOT, words, parts), {}
