"""Membership and coupling of the elements of a determinant, from one numeric inverse at each sampled frequency.

Enters: an inquiry, the numbers of the symbols, frequencies. Leaves: arrays. Must not know: diagrams, words, LaTeX.

With an element stamped as w b aᵀ (b its current edge, a its voltage edge) into a matrix M and P = det M,

    p_x = w_x ∂ln P/∂w_x = w_x aᵀ M⁻¹ b,    c_xy = w_x w_y ∂²ln P/∂w_x∂w_y = -w_x w_y (a_xᵀ M⁻¹ b_y)(a_yᵀ M⁻¹ b_x):

the share of P's value in terms that hold x, and whether x and y care for each other. Where all terms have one sign
these are the probability that a random spanning tree holds x, and a covariance (transfer-current theorem: R. Burton and
R. Pemantle, Annals of Probability 21 (1993) 1329; from memory). Forced elements border the matrix.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import flint
import numpy as np
from numpy.typing import NDArray

from derive.answers.exact import independent
from derive.answers.records import Inquiry
from derive.network.records import Edge, Element

Values = NDArray[np.complex128]
PRIME = (1 << 61) - 1
"""The field in which whether two elements share a factor is decided exactly, but for a chance of about 1e-15."""


@dataclass(frozen=True)
class Shares:
    """Of one determinant: ``membership`` by frequency and element, ``coupling`` by frequency, element and element.

    ``scaled``: the admittance of each element times the transfer from each other.
    """

    membership: Values
    scaled: Values

    @cached_property
    def coupling(self) -> Values:
        return -self.scaled * np.swapaxes(self.scaled, 1, 2)


@dataclass(frozen=True)
class Bordered:
    """The shape of a determinant: the places of its nodes, the elements' edges, and the edges that border it."""

    places: Mapping[str, int]
    elements: tuple[Element, ...]
    borders: tuple[tuple[Edge, Edge], ...]

    def incidence(self, edges: Sequence[Edge]) -> NDArray[np.int64]:
        """One row an edge, over the nodes."""
        found = np.zeros((len(edges), len(self.places)), dtype=np.int64)
        for row, edge in enumerate(edges):
            for node, sign in zip(edge, (1, -1), strict=True):
                if node in self.places:
                    found[row, self.places[node]] += sign
        return found


def both_sides(inquiry: Inquiry) -> tuple[Bordered, Bordered]:
    """The determinants whose ratio is the answer, numerator first (as ``derive.answers.exact.diagrams``)."""
    network = inquiry.network
    asked = [inquiry.port, inquiry.above, *([inquiry.below] if inquiry.below else [])]
    edges = [*asked, *(edge for e in (*network.elements, *network.forced) for edge in (e.current, e.voltage))]
    nodes = dict.fromkeys(node for edge in edges for node in edge if node != network.ground)
    places = {node: place for place, node in enumerate(nodes)}
    base = tuple((e.current, e.voltage) for e in independent(network.forced))
    below: tuple[tuple[Edge, Edge], ...] = ()
    if inquiry.below is not None:
        below = ((inquiry.port, inquiry.below),)
    elif inquiry.excitation == "voltage":
        below = ((inquiry.port, inquiry.port),)
    above = ((inquiry.port, inquiry.above),)
    return Bordered(places, network.elements, base + above), Bordered(places, network.elements, base + below)


def admittances(elements: Sequence[Element], numbers: Mapping[str, Fraction], frequencies: Sequence[float]) -> Values:
    """The admittance of each element, by frequency (Hz) and element."""
    s = 2j * np.pi * np.array(frequencies, dtype=float)
    found = np.zeros((len(s), len(elements)), dtype=complex)
    for place, element in enumerate(elements):
        number = 1.0 if element.symbol is None else float(numbers[element.symbol])
        match element.law:
            case "resistance" | "ratio":
                found[:, place] = 1 / number
            case "capacitance" | "delay":
                found[:, place] = s * number
            case "inductance":
                found[:, place] = 1 / (s * number)
            case _:
                found[:, place] = number
    return found


def shares(side: Bordered, weights: Values) -> Shares | None:
    """Memberships and couplings; None where the determinant vanishes at one of the frequencies."""
    currents = side.incidence([e.current for e in side.elements]).astype(float)
    voltages = side.incidence([e.voltage for e in side.elements]).astype(float)
    size, count = len(side.places), len(side.borders)
    sizes = np.abs(weights[weights != 0])
    scale = float(np.exp(np.mean(np.log(sizes)))) if sizes.size else 1.0
    matrix = np.zeros((len(weights), size + count, size + count), dtype=complex)
    matrix[:, :size, :size] = np.einsum("xi,fx,xj->fij", currents, weights / scale, voltages, optimize=True)
    matrix[:, :size, size:] = side.incidence([b[0] for b in side.borders]).T
    matrix[:, size:, :size] = side.incidence([b[1] for b in side.borders])
    try:
        inverse = np.linalg.inv(matrix)
    except np.linalg.LinAlgError:
        return None
    if not np.all(np.isfinite(inverse)):
        return None
    transfer = np.einsum("xi,fij,yj->fxy", voltages, inverse[:, :size, :size], currents, optimize=True)
    membership = np.einsum("fxx->fx", transfer) * weights / scale
    scaled = transfer * (weights / scale)[:, :, None]
    return Shares(membership, scaled)


def exactly_coupled(side: Bordered, weights: Sequence[int]) -> list[list[bool]] | None:
    """Which elements stand in one irreducible factor: whether P(1,1)P(0,0) ≠ P(1,0)P(0,1), in a prime field.

    ``weights``: random numbers of the field for the elements. P is linear in each of them, so that two of them stand
    in different factors exactly when their coupling vanishes. None where the determinant vanishes.
    """
    currents = side.incidence([e.current for e in side.elements])
    voltages = side.incidence([e.voltage for e in side.elements])
    size, count = len(side.places), len(side.borders)
    whole = size + count
    table = [[0] * whole for _ in range(whole)]
    for current, voltage, weight in zip(currents.tolist(), voltages.tolist(), weights, strict=True):
        for i, left in enumerate(current):
            for j, right in enumerate(voltage):
                if left and right:
                    table[i][j] = (table[i][j] + left * right * weight) % PRIME
    for k, (current_edge, voltage_edge) in enumerate(side.borders):
        for i, left in enumerate(side.incidence([current_edge])[0].tolist()):
            table[i][size + k] = left % PRIME
        for j, right in enumerate(side.incidence([voltage_edge])[0].tolist()):
            table[size + k][j] = right % PRIME
    matrix = flint.nmod_mat(whole, whole, [x for row in table for x in row], PRIME)
    try:
        inverse = matrix.inv()
    except ZeroDivisionError:
        return None
    left = flint.nmod_mat(len(weights), whole, _padded(voltages, count), PRIME)
    right = flint.nmod_mat(whole, len(weights), _padded(currents, count, turned=True), PRIME)
    transfer = left * inverse * right
    product = [[int(transfer[i, j]) != 0 for j in range(len(weights))] for i in range(len(weights))]
    return [[product[i][j] and product[j][i] for j in range(len(weights))] for i in range(len(weights))]


def _padded(rows: NDArray[np.int64], count: int, *, turned: bool = False) -> list[int]:
    wide = np.hstack([rows, np.zeros((len(rows), count), dtype=np.int64)])
    return [int(x) % PRIME for x in (wide.T if turned else wide).ravel()]
