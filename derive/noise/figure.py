"""Noise against a source's resistance: noise factor, equivalent voltage and current, the best resistance.

Enters: the sources with their transfers, the signal, the resistor that is its source's resistance. Leaves: a Figure.
Must not know: words of the page.

The noise factor is the whole noise at the output over that of the source's resistance alone, at 290 K (IRE standards
on methods of measuring noise in linear twoports, Proc. IRE 48 (1960) 60; from memory). With the resistance R in series
with the signal, each source counts at the input as a voltage e + R·i with e and i free of R (H. Rothe, W. Dahlke,
Proc. IRE 44 (1956) 811; from memory): so all of them together are en² + 2R·c + R²·in², and the factor 1 + (en² + 2Rc +
R²in²)/(4kT0·R) is least at R = en/in, where it is 1 + (en·in + c)/(2kT0). Bias and noise densities are held while R
changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import pi, sqrt
from typing import Any

import mpmath

from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import transfer
from derive.answers.records import Inquiry
from derive.circuit.records import GROUND, Circuit
from derive.constants import BOLTZMANN
from derive.derivation.analyse import Prepared
from derive.errors import Defect
from derive.network.records import Drive
from derive.noise.records import Figure, NoiseSource

REFERENCE = 290
"""Temperature of the source in kelvin by definition of the noise figure."""
AGREES = 1e-9
NONE = 1e-15
"""A noise current below this part of en/R is what rounding leaves."""
Weighted = Sequence[tuple[NoiseSource, Inquiry]]


def figure(
    prepared: Prepared, resistor: str, driven_by: str, at: str, weighted: Weighted, whole: float, frequency: float
) -> Figure:
    """``whole``: the density at the output in V²/Hz at ``frequency`` (Hz)."""
    numbers = prepared.ground.numbers
    resistance = float(numbers[resistor])
    own = sum(_power(s, i, prepared, frequency) for s, i in weighted if s.key == resistor)
    added = whole - own
    warm = own * REFERENCE / float(prepared.circuit.about.temperature)
    if warm == 0:
        return Figure(resistor, resistance, float("inf"), why=f"no noise of {resistor} reaches the output")
    found = Figure(resistor, resistance, 1 + added / warm)
    drive = next(d for d in prepared.network.drives if d.name == driven_by)
    why = _apart(prepared.circuit, resistor, driven_by)
    if why:
        return Figure(resistor, resistance, found.factor, why=why)
    return _two_parameters(found, prepared, drive, at, [(s, i) for s, i in weighted if s.key != resistor], frequency)


def _power(source: NoiseSource, inquiry: Inquiry, prepared: Prepared, frequency: float) -> float:
    value = spectrum(inquiry, prepared.ground.numbers).at_frequency(frequency)
    return source.at(frequency) * abs(value) ** 2


def _apart(circuit: Circuit, resistor: str, driven_by: str) -> str:
    """Why a resistor is not the signal's own resistance, or ""."""
    part, signal = circuit.parts[resistor], circuit.parts[driven_by]
    ends, driven = set(part.pins.values()), set(signal.pins.values())
    if signal.variety == "current":
        return "" if ends == driven else f"{resistor} does not lie across {driven_by}"
    shared = ends & driven - {GROUND}
    others = {
        p.name for p in circuit.parts.values() if p.name not in (resistor, driven_by) and shared & set(p.pins.values())
    }
    if len(shared) != 1 or others:
        return f"{resistor} is not alone in series with {driven_by}"
    return ""


def _two_parameters(
    found: Figure, prepared: Prepared, drive: Drive, at: str, others: Weighted, frequency: float
) -> Figure:
    numbers = prepared.ground.numbers
    resistance = numbers[found.resistor]
    signal = transfer("signal", prepared.network, drive.name, at, None)
    series = drive.kind == "voltage"

    def input_voltage(inquiry: Inquiry, size: Fraction) -> Any:
        """What one unit of a source is worth in series with the signal, the resistance being ``size``."""
        changed = {**numbers, found.resistor: size}
        point = mpmath.mpc(0, 2 * pi * frequency)
        ratio = spectrum(inquiry, changed).at(point) / spectrum(signal, changed).at(point)
        return ratio if series else ratio * mpmath.mpf(size.numerator) / size.denominator

    def law(e: Any, i: Any, size: Fraction) -> Any:
        return e + i * mpmath.mpf(size.numerator) / size.denominator

    en2 = in2 = cross = worst = 0.0
    with mpmath.workdps(40):
        for source, inquiry in others:
            try:
                full, half, double = (input_voltage(inquiry, resistance * k) for k in (1, Fraction(1, 2), 2))
            except NoSolution:
                why = "the signal does not reach the output"
                return replace(found, why=why)
            step = mpmath.mpf(resistance.numerator) / resistance.denominator / 2
            i = (full - half) / step
            e = full - 2 * step * i
            size = abs(double)
            if size:
                worst = max(worst, float(abs(law(e, i, 2 * resistance) - double) / size))
            density = source.at(frequency)
            if float(abs(i * step)) <= NONE * float(abs(full)):
                i = mpmath.mpc(0)
            en2 += density * float(abs(e) ** 2)
            in2 += density * float(abs(i) ** 2)
            cross += density * float(mpmath.re(e * mpmath.conj(i)))
    if worst > AGREES:
        raise Defect(f"noise at the input does not follow e + R·i with {found.resistor} (off by {worst})")
    en, current = sqrt(en2), sqrt(in2)
    best = en / current if current else None
    least = None if best is None else 1 + (en * current + cross) / (2 * float(BOLTZMANN) * REFERENCE)
    return Figure(found.resistor, found.resistance, found.factor, en, current, cross, best, least, worst)
