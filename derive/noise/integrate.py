"""Noise over a band and over all frequencies.

Enters: a spectrum, a white density with its flicker corner. Leaves: V². Must not know: circuits.

Over a band by Gauss's rule between points set by the poles: every corner is an end of an interval, and a resonance has
intervals of its own width around it, so none is stepped over. Over all frequencies exactly: with H = N(s)/D(s) there
is one polynomial A of lower degree than D with N(s)·N(-s) = A(s)·D(-s) + A(-s)·D(s), and the integral of |H(j 2 pi f)|²
over all f, negative too, is the ratio of the leading coefficients of A and D (G. C. Newton, L. A. Gould, J. F. Kaiser,
"Analytical Design of Linear Feedback Controls", appendix E; from memory).
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import pi

import flint
import numpy as np
from numpy.typing import NDArray

from derive.algebra.ring import fraction, rational
from derive.algebra.spectrum import Spectrum
from derive.errors import Defect
from derive.noise.records import NoiseSource

ORDER = 12
"""Points of Gauss's rule in an interval."""
OCTAVES = 1.0
"""Longest interval."""
NEAREST, STEEPEST = 0.5, 60
"""Intervals around a resonance end at this part of its half width and at twice, four times… that, up to its frequency;
at most so many of them."""
AGREES = 1e-6
"""Largest relative change when every interval is halved."""


def over_band(source: NoiseSource, spectrum: Spectrum, low: float, high: float) -> float:
    """The integral of density times |H|² from ``low`` to ``high`` (Hz): V². Raises Defect where it does not settle."""
    ends = _ends(spectrum, low, high)
    found = _gauss(source, spectrum, ends)
    for _ in range(4):
        finer = np.sort(np.concatenate([ends, np.sqrt(ends[1:] * ends[:-1])]))
        again = _gauss(source, spectrum, finer)
        if abs(again - found) <= AGREES * abs(again):
            return again
        ends, found = finer, again
    raise Defect("the integral of a noise density does not settle")


def everywhere(source: NoiseSource, spectrum: Spectrum) -> float | None:
    """The integral over all frequencies, exact for these numbers; None where it has no bound, or the circuit is
    unstable."""
    above, below = list(spectrum.numerator), list(spectrum.denominator)
    if source.density == 0 or not any(above):
        return 0.0
    if source.corner is not None or len(above) >= len(below) or any(p.real >= 0 for p in spectrum.poles):
        return None
    return source.density / 2 * float(_squared(above, below))


def _squared(above: list[Fraction], below: list[Fraction]) -> Fraction:
    """The integral of |N/D|² over all f, positive and negative."""
    n = len(below) - 1
    square = [Fraction(0)] * n
    for i, a in enumerate(above):
        for j, b in enumerate(above):
            if (i + j) % 2 == 0:
                square[(i + j) // 2] += a * b * (-1) ** j
    rows = [[Fraction(0)] * n for _ in range(n)]
    for j in range(n):
        for i, d in enumerate(below):
            # The even part of A(s) D(-s), twice: the odd parts cancel.
            if (i + j) % 2 == 0:
                rows[(i + j) // 2][j] += 2 * d * (-1) ** i
    matrix = flint.fmpq_mat(n, n, [rational(x) for row in rows for x in row])
    right = flint.fmpq_mat(n, 1, [rational(x) for x in square])
    return fraction(matrix.solve(right)[n - 1, 0]) / below[n]


def _ends(spectrum: Spectrum, low: float, high: float) -> NDArray[np.float64]:
    """Ends of the intervals: corners, resonances, and no interval longer than an octave."""
    marks = [low, high]
    for root in spectrum.poles:
        centre, width = abs(root) / (2 * pi), abs(root.real) / (2 * pi)
        marks.append(centre)
        away, count = NEAREST * width, 0
        while 0 < away < centre and count < STEEPEST:
            marks += [abs(root.imag) / (2 * pi) + away, abs(root.imag) / (2 * pi) - away]
            away, count = 2 * away, count + 1
    marks = sorted({m for m in marks if low <= m <= high})
    ends: list[float] = [marks[0]]
    for start, stop in pairwise(marks):
        count = max(1, int(np.ceil(np.log2(stop / start) / OCTAVES)))
        ends += [start * (stop / start) ** (k / count) for k in range(1, count + 1)]
    return np.unique(np.array(ends))


def _gauss(source: NoiseSource, spectrum: Spectrum, ends: NDArray[np.float64]) -> float:
    nodes, weights = np.polynomial.legendre.leggauss(ORDER)
    start, stop = ends[:-1, None], ends[1:, None]
    frequencies = (start + stop) / 2 + (stop - start) / 2 * nodes[None, :]
    flat = frequencies.ravel()
    values = np.abs(spectrum.sample(flat)) ** 2
    if source.corner is not None:
        values = values * (1 + source.corner / flat)
    return float(source.density * np.sum(values.reshape(frequencies.shape) * weights[None, :] * (stop - start) / 2))
