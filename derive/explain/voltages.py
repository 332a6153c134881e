"""The voltage of every node under an excitation, and its impedance, at one frequency in double precision.

Enters: an inquiry, numbers, a frequency. Leaves: numbers, for a choice among parts; what is printed is worked out
exactly by others. Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from derive.answers.records import Inquiry
from derive.structure.shares import admittances, both_sides


@dataclass(frozen=True)
class Voltages:
    """``nodes``: volts per volt or per ampere of the excitation; ``impedances``: ohms, the excitation zeroed."""

    nodes: Mapping[str, complex]
    impedances: Mapping[str, complex]


def voltages(inquiry: Inquiry, numbers: Mapping[str, Fraction], frequency: float) -> Voltages | None:
    """At a frequency in Hz; None where the equations are singular there."""
    inquiry = replace(inquiry, below=None)
    _, side = both_sides(inquiry)
    weights = admittances(side.elements, numbers, (frequency,))[0]
    sizes = np.abs(weights[weights != 0])
    scale = float(np.exp(np.mean(np.log(sizes)))) if sizes.size else 1.0
    currents = side.incidence([e.current for e in side.elements])
    senses = side.incidence([e.voltage for e in side.elements])
    size, count = len(side.places), len(side.borders)
    matrix = np.zeros((size + count, size + count), dtype=complex)
    matrix[:size, :size] = currents.T @ (senses * (weights / scale)[:, None])
    matrix[:size, size:] = side.incidence([b[0] for b in side.borders]).T
    matrix[size:, :size] = side.incidence([b[1] for b in side.borders])
    right = np.zeros(size + count, dtype=complex)
    if inquiry.excitation == "voltage":
        right[-1] = 1
    else:
        right[:size] = side.incidence([inquiry.port])[0] / scale
    try:
        inverse = np.linalg.inv(matrix)
    except np.linalg.LinAlgError:
        return None
    if not np.all(np.isfinite(inverse)):
        return None
    solved = inverse @ right
    nodes = {node: complex(solved[place]) for node, place in side.places.items()}
    return Voltages(nodes, {node: complex(inverse[p, p]) / scale for node, p in side.places.items()})
