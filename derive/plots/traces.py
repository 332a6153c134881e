"""Samples of responses as curves to be drawn: decibels or ohms, phases unwrapped and side by side.

Enters: a ``Plot``. Leaves: ``Trace`` records and the scales that show them.
Must not know: drawing libraries.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from derive.document.records import Curve, Plot
from derive.plots.scales import (
    DECIBEL_STEPS,
    DEGREE_STEPS,
    LEAST_DECIBELS,
    LEAST_DEGREES,
    Scale,
    linear,
    logarithmic,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

DIVERGED = 40.0
"""An approximate curve may stretch the axis by so many decibels beyond the exact one."""


@dataclass(frozen=True)
class Trace:
    """One curve ready to draw: magnitude in the axis' unit, phase in degrees, unwrapped."""

    name: str
    frequency: NDArray[np.float64]
    magnitude: NDArray[np.float64]
    phase: NDArray[np.float64]


def prepare(plot: Plot, decibels: bool) -> list[Trace]:
    """The curves that can be drawn, the exact one first; samples that are zero or not finite are left out."""
    curves = sorted(plot.curves, key=lambda curve: curve.name != "exact")
    traces = [trace for trace in (_trace(curve, decibels) for curve in curves) if trace is not None]
    if not traces:
        return []
    first = traces[0]
    near = int(np.argmin(np.abs(np.log(first.frequency / max(plot.spot, first.frequency[0])))))
    return [first, *(_beside(trace, first, near) for trace in traces[1:])]


def emptiness(plot: Plot) -> tuple[str, ...]:
    """What to say of each curve that cannot be drawn: it is zero, or infinite, everywhere."""
    return tuple(f"{curve.name}: {_why_empty(curve)}" for curve in plot.curves if np.count_nonzero(_usable(curve)) < 2)


def _why_empty(curve: Curve) -> str:
    values = np.asarray(curve.values, dtype=complex)
    if len(values) and not np.any(values):
        return "zero everywhere"
    if len(values) and not np.any(np.isfinite(values)):
        return "infinite everywhere"
    return "fewer than two finite values"


def _usable(curve: Curve) -> NDArray[np.bool_]:
    values = np.asarray(curve.values, dtype=complex)
    return (np.asarray(curve.frequencies) > 0) & np.isfinite(values) & (np.abs(values) > 0)


def _trace(curve: Curve, decibels: bool) -> Trace | None:
    """The samples as a trace, None where fewer than two can be drawn."""
    usable = _usable(curve)
    frequency = np.asarray(curve.frequencies, dtype=float)[usable]
    values = np.asarray(curve.values, dtype=complex)[usable]
    if len(frequency) < 2:
        return None
    size = np.abs(values)
    angle = np.degrees(np.unwrap(np.angle(values)))
    if angle[0] < -179.99:
        angle = angle + 360.0
    return Trace(curve.name, frequency, 20 * np.log10(size) if decibels else size, angle)


def _beside(trace: Trace, exact: Trace, near: int) -> Trace:
    """The trace moved by whole turns so that its phase lies beside the exact one at the spot."""
    own = float(np.interp(exact.frequency[near], trace.frequency, trace.phase))
    turns = round((exact.phase[near] - own) / 360.0)
    return Trace(trace.name, trace.frequency, trace.magnitude, trace.phase + 360.0 * turns)


def magnitude_scale(traces: list[Trace], decibels: bool) -> Scale:
    exact = traces[0].magnitude
    everything = np.concatenate([trace.magnitude for trace in traces])
    if decibels:
        shown = np.clip(everything, exact.min() - DIVERGED, exact.max() + DIVERGED)
        return linear(shown.tolist(), DECIBEL_STEPS, LEAST_DECIBELS)
    ratio = 10 ** (DIVERGED / 20)
    return logarithmic(np.clip(everything, exact.min() / ratio, exact.max() * ratio).tolist())


def phase_scale(traces: list[Trace]) -> Scale:
    return linear(np.concatenate([trace.phase for trace in traces]).tolist(), DEGREE_STEPS, LEAST_DEGREES)
