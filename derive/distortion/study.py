"""The harmonics at a node: by nonlinearity, over the band, with the dominant one as algebra.

Enters: what is prepared of a circuit, a question of distortion. Leaves: a DistortionStudy. Must not know: LaTeX, pages.

The orders are found in floating point from the nodal equations; the transfers of the dominant term come from the
kernel, exact, and have to give the same harmonic.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import inf, pi, prod

import numpy as np

from derive.answers.exact import spectrum
from derive.answers.inquire import transfer
from derive.answers.records import Inquiry
from derive.approximate.error import grid
from derive.bias.records import Bias
from derive.circuit.records import Distortion, Study
from derive.derivation.analyse import Prepared
from derive.distortion.algebra import dominant_steps
from derive.distortion.harmonics import Orders, orders
from derive.distortion.loop import loop_of
from derive.distortion.records import DistortionStudy, Nonlinearity, Region, Share
from derive.distortion.terms import nonlinearities
from derive.distortion.transfers import injected, to_control
from derive.errors import Defect

AGREES = 1e-6
BEYOND = 10.0
"""How far the curves reach beyond the author's band, each way."""
POINTS = 90
"""Frequencies of the curves at most."""
RAIL = 0.2
"""Volts between collector and emitter below which a bipolar saturates; common practice, no source."""


def study_distortion(prepared: Prepared, study: Study) -> DistortionStudy:
    """The harmonics that a study asks for. Raises DescriptionError where there is no answer, Defect."""
    ask = study.ask
    assert isinstance(ask, Distortion)
    found, told, values = nonlinearities(prepared)
    error = prepared.circuit.source.error
    if not found:
        why = "; ".join("".join(p for p in words if isinstance(p, str)).strip() for words in told)
        raise error(study.path, f"{study.name}: nothing in the circuit bends", why or "state devices by their laws")
    inquiry = transfer(study.name, prepared.network, ask.driven_by, ask.to, None)
    frequency, numbers = float(ask.frequency), prepared.ground.numbers
    gain = spectrum(inquiry, numbers)
    at = gain.at_frequency(ask.frequency)
    if at == 0 or not np.isfinite(abs(at)):
        raise error(study.path, f"{study.name}: {ask.driven_by} does not reach {ask.to}", "name another node")
    peak = float(ask.peak) / (abs(at) if ask.of == "output" else 1.0)
    try:
        here = orders(inquiry, numbers, found, frequency, peak)
    except np.linalg.LinAlgError:
        raise error(study.path, f"{study.name}: the equations are singular at a harmonic", "") from None
    shares = _shares(found, here)
    difference = max(
        abs(here.output / (at * peak) - 1),
        _check_second(inquiry, shares[0], numbers, ask.frequency, peak),
    )
    if difference > AGREES:
        raise Defect(f"{study.name}: the kernel's transfers give another harmonic (off by {difference})")
    frequencies, curves = _curves(prepared, inquiry, found, peak, ask)
    algebra = dominant_steps(prepared, inquiry, shares[0], values, ask, peak, abs(here.output))
    return DistortionStudy(
        study,
        "A" if inquiry.excitation == "current" else "V",
        peak,
        here.output,
        sum(here.second),
        sum(here.third),
        shares,
        frequencies,
        curves,
        algebra,
        loop_of(prepared, inquiry, shares[0], ask.frequency),
        _regions(prepared, inquiry, numbers, frequency, peak),
        _trusted(shares, peak),
        _far_ends(prepared, inquiry, shares, frequency),
        (float(prepared.ground.band[0]), float(prepared.ground.band[1])),
        told,
        difference,
    )


def _shares(found: Sequence[Nonlinearity], here: Orders) -> tuple[Share, ...]:
    rows = zip(found, here.first, here.second, here.third, here.own, strict=True)
    made = [Share(one, first[0], second, third, own) for one, first, second, third, own in rows]
    return tuple(sorted(made, key=lambda share: -abs(share.second)))


def _check_second(
    inquiry: Inquiry, share: Share, numbers: Mapping[str, Fraction], frequency: Fraction, peak: float
) -> float:
    """Relative difference of the largest second harmonic from that by the kernel's exact transfers."""
    one = share.source
    to_controls = [spectrum(to_control(inquiry, edge), numbers).at_frequency(frequency) * peak for edge in one.controls]
    amount = sum(t.number * prod(to_controls[p] for p in t.powers) for t in one.second) / 2
    if one.kind == "charge":
        amount *= 4j * pi * float(frequency)
    ours = amount * spectrum(injected(inquiry, one.edge), numbers).at_frequency(2 * frequency)
    size = max(abs(ours), abs(share.second))
    return abs(ours - share.second) / size if size else 0.0


def _curves(
    prepared: Prepared, inquiry: Inquiry, found: Sequence[Nonlinearity], peak: float, ask: Distortion
) -> tuple[tuple[float, ...], tuple[tuple[float, ...], tuple[float, ...]]]:
    """The ratios of the harmonics to the fundamental over frequency, the signal (or the output) being held."""
    numbers = prepared.ground.numbers
    low, high = (float(f) for f in prepared.ground.band)
    points = grid((low / BEYOND, high * BEYOND), spectrum(inquiry, numbers))
    if len(points) > POINTS:
        points = np.geomspace(points[0], points[-1], POINTS)
    kept, second, third = [], [], []
    for frequency in points.tolist():
        try:
            here = orders(inquiry, numbers, found, frequency, peak)
        except np.linalg.LinAlgError:
            continue
        size = abs(here.output)
        if not size:
            continue
        scale = float(ask.peak) / size if ask.of == "output" else 1.0
        kept.append(frequency)
        second.append(abs(sum(here.second)) / size * scale)
        third.append(abs(sum(here.third)) / size * scale**2)
    return tuple(kept), (tuple(second), tuple(third))


def _trusted(shares: Sequence[Share], peak: float) -> float:
    """The peak of the signal at which the first control reaches its limit."""
    return min((share.source.limit / abs(share.swing) * peak for share in shares if abs(share.swing) > 0), default=inf)


def _regions(
    prepared: Prepared, inquiry: Inquiry, numbers: Mapping[str, Fraction], frequency: float, peak: float
) -> tuple[Region, ...]:
    """The swing of each solved device's output voltage beside the room that it has at the bias point."""
    if not isinstance(prepared.bias, Bias):
        return ()
    found = []
    for name, point in prepared.bias.point.devices.items():
        pins = prepared.circuit.parts[name].pins
        ends = ("collector", "emitter") if point.kind == "bjt" else ("drain", "source")
        if point.region != "active" or ends[0] not in pins:
            continue
        edge = (prepared.network.node(pins[ends[0]]), prepared.network.node(pins[ends[1]]))
        if edge[0] == edge[1]:
            continue
        swing = abs(spectrum(to_control(inquiry, edge), numbers).at_frequency(Fraction(frequency))) * peak
        if point.kind == "bjt":
            room = abs(point.voltages["Vce"]) - RAIL
        else:
            gm = point.slopes["gm"]
            room = abs(point.voltages["Vds"]) - (2 * abs(point.currents["drain"]) / gm if gm else 0.0)
        found.append(Region(name, swing, room))
    return tuple(found)


def _far_ends(prepared: Prepared, inquiry: Inquiry, shares: Sequence[Share], frequency: float) -> dict[str, complex]:
    """Of each capacitance, how its far end follows its near end (the first node of its edge) at the fundamental."""
    numbers, ground = prepared.ground.numbers, prepared.network.ground
    found = {}
    for share in shares:
        one = share.source
        if one.kind != "charge" or ground in one.edge:
            continue
        far, near = (
            spectrum(to_control(inquiry, (node, ground)), numbers).at_frequency(Fraction(frequency))
            for node in (one.edge[1], one.edge[0])
        )
        if near:
            found[one.key] = far / near
    return found
