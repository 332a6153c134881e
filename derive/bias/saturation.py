"""The saturation current of a junction: what is taken where none is stated, and how it moves with temperature.

Enters: a variety of junction, a temperature. Leaves: voltages at currents, ratios. Must not know: circuits.

Is(T) = Is(T0) (T/T0)^(x/n) exp((Eg/(n k)) (1/T0 - 1/T)), since Is goes as the square of the intrinsic carrier density
(S. M. Sze, "Physics of Semiconductor Devices", on n_i and on the ideal diode; from memory). Gaps at 300 K from the
same book, from memory; for Schottky diodes the barrier stands for the gap, and 2 for the power of T.
"""

from __future__ import annotations

from fractions import Fraction
from math import exp

from derive.circuit.records import Quantity
from derive.constants import thermal_voltage

REFERENCE = Fraction("298.15")
"""K; stated saturation currents and data-sheet voltages hold at 25 °C."""

GAPS: dict[str, tuple[float, int]] = {"germanium": (0.66, 3), "schottky": (0.69, 2), "led": (1.9, 3)}
SILICON = (1.12, 3)
"""Gap in electronvolts (for a Schottky diode its barrier) and the power of T."""
_DROPS = {
    "germanium": ("0.25 V", Fraction(1, 4), Fraction(1, 1000)),
    "schottky": ("0.3 V", Fraction(3, 10), Fraction(1, 1000)),
    "led": ("1.8 V", Fraction(9, 5), Fraction(1, 100)),
}
_SILICON_DROP = ("0.65 V", Fraction(13, 20), Fraction(1, 1000))


def silent_drop(variety: str) -> Quantity:
    """The junction voltage at a current that is taken where a device states neither; common practice, no source."""
    text, volts, amperes = _DROPS.get(variety, _SILICON_DROP)
    return Quantity(volts, "V", text, at=Quantity(amperes, "A", "1 mA" if amperes < Fraction(1, 100) else "10 mA"))


def warmed_saturation(variety: str, temperature: Fraction, emission: Fraction = Fraction(1)) -> Fraction:
    """Is(T)/Is(25 °C) of a junction at a temperature in kelvin."""
    gap, power = GAPS.get(variety, SILICON)
    n = float(emission)
    ratio = float(temperature / REFERENCE)
    exponent = gap / (n * float(thermal_voltage(REFERENCE))) * (1 - 1 / ratio)
    return Fraction(ratio ** (power / n) * exp(exponent))
