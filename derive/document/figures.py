"""Pictures of what tolerances do and of what was measured, as records.

Enters: nothing. Leaves: records that ``derive.document.compose`` fills and ``derive.plots`` draws.
Must not know: circuits, drawing libraries.
"""

from __future__ import annotations

from dataclasses import dataclass

from derive.words import Words


@dataclass(frozen=True)
class Panel:
    """One histogram over the deviation from the value as described, in ``unit`` (%, dB, °).

    ``limits``: what a criterion allows, None where it sets no such limit. ``worst``: lowest and highest case.
    ``central``: between these lie 95 % of the circuits.
    """

    edges: tuple[float, ...]
    counts: tuple[int, ...]
    unit: str
    worst: tuple[float, float]
    central: tuple[float, float]
    limits: tuple[float | None, float | None] = (None, None)


@dataclass(frozen=True)
class Histograms:
    """Panels side by side, marked a, b, c where there are several."""

    stem: str
    title: Words
    panels: tuple[Panel, ...]
    caption: Words = ()


@dataclass(frozen=True)
class Comparison:
    """Measurements with error bars on the predicted curve, and the scores below.

    ``frequencies`` and ``values``: the curve. ``points``: frequency, measured value, its expanded uncertainty, the
    score. ``logarithmic``: whether the values' axis is.
    """

    stem: str
    title: Words
    unit: str
    frequencies: tuple[float, ...]
    values: tuple[float, ...]
    points: tuple[tuple[float, float, float, float], ...]
    logarithmic: bool
    caption: Words = ()


@dataclass(frozen=True)
class Trace:
    """One curve of an overlay: frequencies in Hz, complex values."""

    frequencies: tuple[float, ...]
    values: tuple[complex, ...]


@dataclass(frozen=True)
class Overlaid:
    """The same answer of several circuits, marked a, b, c in this order; ``unit`` as for a plot."""

    stem: str
    title: Words
    unit: str
    traces: tuple[Trace, ...]
    band: tuple[float, float]
    caption: Words = ()
