"""What can be read off a complex answer at a frequency: magnitude, phase, resistance with capacitance beside it.

Enters: complex values and their frequency. Leaves: real numbers, also over whole arrays, and their differentials.
Must not know: networks, tolerances, meters.

``resistance`` and ``capacitance`` are those of the parallel pair, 1/R + jωC = 1/Z.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi
from typing import Any

import numpy as np

Take = Callable[[Any, float], Any]
Differ = Callable[[Any, Any, float], Any]


@dataclass(frozen=True)
class Measure:
    """``take(z, f)`` reads the number; ``differ(z, dz, f)`` is its change for a small change dz of the answer.

    ``unit``: "" stands for that of the answer. ``impedance``: whether only an impedance has it.
    ``reactive``: whether it needs a frequency above zero. ``words``: how a sentence calls it.
    """

    name: str
    unit: str
    take: Take
    differ: Differ
    words: str
    impedance: bool = False
    reactive: bool = False


def _magnitude(z: Any, dz: Any, _: float) -> Any:
    return np.real(np.conj(z) * dz) / np.abs(z)


MEASURES: dict[str, Measure] = {
    measure.name: measure
    for measure in (
        Measure("magnitude", "", lambda z, _: np.abs(z), _magnitude, "magnitude"),
        Measure(
            "decibels", "dB", lambda z, _: 20 * np.log10(np.abs(z)),
            lambda z, dz, f: 20 / np.log(10) * _magnitude(z, dz, f) / np.abs(z), "magnitude",
        ),
        Measure("phase", "°", lambda z, _: np.degrees(np.angle(z)), lambda z, dz, _: np.degrees(np.imag(dz / z)),
                "phase"),
        Measure("resistance", "Ω", lambda z, _: 1 / np.real(1 / z),
                lambda z, dz, _: np.real(dz / z**2) / np.real(1 / z) ** 2, "parallel resistance", impedance=True),
        Measure("capacitance", "F", lambda z, f: np.imag(1 / z) / (2 * pi * f),
                lambda z, dz, f: -np.imag(dz / z**2) / (2 * pi * f), "parallel capacitance", True, True),
    )
}  # fmt: skip


def unit_of(measure: Measure, answer_unit: str) -> str:
    """The unit of what is read off an answer."""
    return measure.unit or answer_unit
