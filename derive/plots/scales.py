"""Limits and ticks of axes: round numbers, and never an axis that magnifies noise.

Enters: the values to be shown. Leaves: limits and tick places, tick labels as text.
Must not know: drawing libraries.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from derive.numbers import engineering

DECIBEL_STEPS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 40.0, 60.0, 100.0, 200.0, 400.0, 1000.0)
DEGREE_STEPS = (2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0, 180.0, 360.0, 720.0, 1440.0)
LEAST_DECIBELS, LEAST_DEGREES = 3.0, 10.0
"""Least span of an axis, however flat the response."""
INTERVALS = 5
MARGIN = 0.05


@dataclass(frozen=True)
class Scale:
    """Limits of an axis, places of its labelled ticks and of those without a label."""

    low: float
    high: float
    ticks: tuple[float, ...]
    minor: tuple[float, ...] = ()

    def share(self, value: float) -> float:
        """Where a value lies on a logarithmic axis, as a share of its length."""
        return math.log(value / self.low) / math.log(self.high / self.low)


def linear(values: Sequence[float], steps: Sequence[float], least: float) -> Scale:
    """A linear axis that ends a little beyond its ticks, so that a curve along the last one is seen.

    >>> linear([0.0, 0.01], DECIBEL_STEPS, LEAST_DECIBELS).ticks
    (-2.0, -1.0, 0.0, 1.0, 2.0)
    """
    low, high = min(values), max(values)
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least / 2, middle + least / 2
    step = next((step for step in steps if (high - low) / step <= INTERVALS), steps[-1])
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    ticks = tuple(place * step for place in range(first, last + 1))
    margin = MARGIN * (ticks[-1] - ticks[0])
    return Scale(ticks[0] - margin, ticks[-1] + margin, ticks)


def logarithmic(values: Sequence[float], least: float = 10 ** (LEAST_DECIBELS / 20)) -> Scale:
    """A logarithmic axis: ticks at decades, at 1-2-5 steps, or evenly, as the span allows.

    ``values`` are positive; ``least`` is the least ratio of the limits.
    """
    low, high = min(values), max(values)
    if high / low < least:
        middle = math.sqrt(low * high)
        low, high = middle / math.sqrt(least), middle * math.sqrt(least)
    span = math.log10(high / low)
    even = _narrow(low, high) if span < 0.7 else None
    if even is not None:
        return even
    if span < 2.2:
        ticks = _one_two_five(low, high)
        return _spread(ticks, _between_decades(ticks[0], ticks[-1]))
    first, last = math.floor(math.log10(low) + 1e-9), math.ceil(math.log10(high) - 1e-9)
    stride = math.ceil((last - first) / 6)
    ticks = tuple(10.0**power for power in range(first, last + 1, stride))
    ends = (10.0**first, 10.0**last)
    return _spread(ticks, _between_decades(*ends) if stride == 1 else (), ends)


def frequencies(low: float, high: float) -> Scale:
    """The frequency axis: exactly as wide as the samples, labels at decades."""
    first, last = math.ceil(math.log10(low) - 1e-9), math.floor(math.log10(high) + 1e-9)
    stride = max(1, math.ceil((last - first) / 9))
    ticks = tuple(10.0**power for power in range(first, last + 1, stride))
    if len(ticks) < 2:
        ticks = tuple(tick for tick in _one_two_five(low, high) if low <= tick <= high)
    return Scale(low, high, ticks, _between_decades(low, high))


def _narrow(low: float, high: float) -> Scale | None:
    """Evenly spaced ticks, None where the first of them would be zero."""
    raw = (high - low) / INTERVALS
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(power * factor for factor in (1, 2, 5, 10) if power * factor >= raw)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return _spread(tuple(place * step for place in range(first, last + 1))) if first > 0 else None


def _spread(ticks: tuple[float, ...], minor: tuple[float, ...] = (), ends: tuple[float, float] | None = None) -> Scale:
    """A logarithmic scale that ends a little beyond its ticks."""
    low, high = ends or (ticks[0], ticks[-1])
    margin = (high / low) ** MARGIN
    return Scale(low / margin, high * margin, ticks, minor)


def _one_two_five(low: float, high: float) -> tuple[float, ...]:
    powers = range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 2)
    steps = [factor * 10.0**power for power in powers for factor in (1, 2, 5)]
    first = max(place for place, step in enumerate(steps) if step <= low * (1 + 1e-9))
    last = min(place for place, step in enumerate(steps) if step >= high * (1 - 1e-9))
    return tuple(steps[first : last + 1])


def _between_decades(low: float, high: float) -> tuple[float, ...]:
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    steps = (factor * 10.0**power for power in powers for factor in range(1, 10))
    return tuple(step for step in steps if low * (1 - 1e-9) <= step <= high * (1 + 1e-9))


def tick_label(value: float, unit: str) -> str:
    """A tick in engineering notation without trailing zeros.

    >>> tick_label(20000.0, "Hz"), tick_label(-2.0, "dB")
    ('20 kHz', '−2 dB')
    """
    parts = engineering(round(value, 12) if unit in ("dB", "°") else value, unit, 5)
    mantissa = parts.mantissa
    if "." in mantissa:
        mantissa = mantissa.rstrip("0\u2009").rstrip(".")
    return str(replace(parts, mantissa=mantissa))
