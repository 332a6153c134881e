"""The noise at a node: every source through its own transfer, ranked, integrated, referred to the input.

Enters: what is prepared of a circuit, a question of noise. Leaves: a NoiseStudy. Must not know: LaTeX, pages.

Every transfer comes from the kernel, exact, and is compared at the frequency of the numbers with a plain nodal
solution.
"""

from __future__ import annotations

from dataclasses import replace
from math import isfinite, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, answer, spectrum
from derive.answers.inquire import transfer
from derive.answers.records import Inquiry
from derive.approximate.error import grid
from derive.circuit.records import Noise, Study
from derive.derivation.analyse import Prepared
from derive.derivation.transfers import transfer_steps
from derive.errors import Defect
from derive.expression.tree import Name
from derive.network.records import Drive
from derive.noise.figure import figure
from derive.noise.integrate import everywhere, over_band
from derive.noise.records import NoiseSource, NoiseStudy, Part, Referred
from derive.noise.sources import sources
from derive.noise.transfers import transfer_of
from derive.opinion.numeric import solve_nodal_matrix

SHOWN, LEAST = 6, 0.01
"""Sources whose transfer is written as algebra: at most so many, and none with a smaller share at the spot."""
AGREES = 1e-6
BEYOND = 10.0
"""How far the curves reach beyond the author's band, each way."""


def study_noise(prepared: Prepared, study: Study) -> NoiseStudy:
    """The noise that a study asks for. Raises DescriptionError where the circuit has no answer, Defect."""
    ask = study.ask
    assert isinstance(ask, Noise)
    ground, network = prepared.ground, prepared.network
    found, told = sources(prepared)
    error = prepared.circuit.source.error
    if not found:
        raise error(study.path, f"{study.name}: nothing in the circuit has noise", "add a resistor or a device")
    pairs = [(source, transfer_of(source, network, ask.at)) for source in found]
    try:
        spectra = [spectrum(inquiry, ground.numbers) for _, inquiry in pairs]
    except NoSolution:
        raise error(study.path, f"{study.name}: the noise at {ask.at} has no finite value", "") from None
    frequency = float(ground.spot or ground.band[0])
    low, high = (float(f) for f in ground.band)
    frequencies = grid((low / BEYOND, high * BEYOND), *spectra[:3])
    difference = max(_difference(i, s, prepared, frequency) for (_, i), s in zip(pairs, spectra, strict=True))
    parts = [
        _part(source, inquiry, found_spectrum, (low, high), frequency, frequencies)
        for (source, inquiry), found_spectrum in zip(pairs, spectra, strict=True)
    ]
    whole = sum(part.density for part in parts)
    ranked = sorted(
        (replace(part, share=part.density / whole if whole else 0.0) for part in parts), key=lambda p: -p.density
    )
    bounded = [part.everywhere for part in parts if part.everywhere is not None]
    return NoiseStudy(
        study,
        float(prepared.circuit.about.temperature),
        frequency,
        (low, high),
        tuple(_written(part, prepared, place) for place, part in enumerate(ranked)),
        whole,
        sum(part.band for part in parts),
        sum(bounded) if len(bounded) == len(parts) else None,
        tuple(map(float, frequencies)),
        tuple(np.sqrt(np.sum([np.square(part.curve) for part in parts], axis=0)).tolist()),
        _referred(prepared, study, ask, parts, whole, frequency, frequencies),
        None
        if ask.source is None or ask.driven_by is None
        else figure(prepared, ask.source, ask.driven_by, ask.at, pairs, whole, frequency),
        told,
        difference,
    )


def _difference(inquiry: Inquiry, found: Spectrum, prepared: Prepared, frequency: float) -> float:
    """Relative difference of a transfer from the nodal solution. Raises Defect where it is too large."""
    ours = found.at_frequency(frequency)
    try:
        other = solve_nodal_matrix(inquiry, prepared.ground.numbers, 2j * pi * frequency)
    except ArithmeticError:
        return 0.0
    off, size = abs(ours - other.value), max(abs(ours), abs(other.value))
    if off > AGREES * size and off > 10 * other.error:
        raise Defect(f"noise of {inquiry.name}: the nodal solution gives {other.value}, the kernel {ours}")
    return off / size if size and off > other.error else 0.0


def _part(
    source: NoiseSource,
    inquiry: Inquiry,
    found: Spectrum,
    band: tuple[float, float],
    frequency: float,
    frequencies: NDArray[np.float64],
) -> Part:
    value = found.at_frequency(frequency)
    if not isfinite(abs(value)):
        raise Defect(f"the noise of {source.key} has a pole at the spot")
    flicker = 1.0 if source.corner is None else np.sqrt(1 + source.corner / frequencies)
    curve = sqrt(source.density) * np.abs(found.sample(frequencies)) * flicker
    density = source.at(frequency) * abs(value) ** 2
    total = over_band(source, found, *band)
    return Part(source, inquiry, value, density, 0.0, total, everywhere(source, found), tuple(curve.tolist()))


def _written(part: Part, prepared: Prepared, place: int) -> Part:
    """The part with its transfer as algebra, where it counts."""
    if place >= SHOWN or part.share < LEAST:
        return part
    ground = prepared.ground
    exact = answer(part.inquiry, ground.numbers, ground.ring)
    return replace(part, steps=transfer_steps(name_of(part.source), part.source.words, exact, ground, prepared.style))


def name_of(source: NoiseSource) -> Name:
    """The name under which a source's transfer is printed."""
    return Name(f"H_{source.key.replace('_', '')}")


def _referred(
    prepared: Prepared,
    study: Study,
    ask: Noise,
    parts: list[Part],
    whole: float,
    frequency: float,
    frequencies: NDArray[np.float64],
) -> Referred | None:
    if ask.driven_by is None:
        return None
    ground = prepared.ground
    drive: Drive = next(d for d in prepared.network.drives if d.name == ask.driven_by)
    inquiry = transfer("gain", prepared.network, ask.driven_by, ask.at, None)
    exact = answer(inquiry, ground.numbers, ground.ring)
    gain = exact.spectrum.at_frequency(frequency)
    if gain == 0:
        what = f"{study.name}: {ask.driven_by} does not reach {ask.at} at {frequency:g} Hz"
        raise prepared.circuit.source.error(study.path, what, "leave referred_to out, or choose another node")
    steps = transfer_steps(Name("H_s"), ("from the signal to the output",), exact, ground, prepared.style)
    with np.errstate(divide="ignore"):
        together = np.sqrt(np.sum([np.square(p.curve) for p in parts], axis=0))
        curve = together / np.abs(exact.spectrum.sample(frequencies))
    unit = "V" if drive.kind == "voltage" else "A"
    return Referred(ask.driven_by, unit, gain, whole / abs(gain) ** 2, tuple(curve.tolist()), steps)
