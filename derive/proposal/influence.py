"""What deleting or contracting each element does to an answer, for all elements at once, by one matrix inverse.

Enters: an inquiry, the numbers of its symbols, sampled frequencies. Leaves: responses.
Must not know: statements, diagrams, errors.

An element of admittance y is y·b·aᵀ in the nodal matrix M (b: its current edge, a: its voltage edge), so by Sherman and
Morrison the solution x = M⁻¹·q becomes x + y·M⁻¹b·(aᵀx)/(1 - y·aᵀM⁻¹b) without it, and x - M⁻¹b·(aᵀx)/(aᵀM⁻¹b) where
its admittance is infinite (J. Sherman and W. J. Morrison, Ann. Math. Stat. 21, 1950; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from derive.answers.exact import connected, independent
from derive.answers.records import Inquiry
from derive.network.records import Edge, Element


@dataclass(frozen=True)
class Influence:
    """Responses at the sampled points with one element deleted, or contracted: a row an element.

    Not finite where an element lies between nodes that are held, so that its voltage or its current is undetermined.
    """

    names: tuple[str, ...]
    deleted: np.ndarray
    contracted: np.ndarray


def influence(inquiry: Inquiry, numbers: Mapping[str, Fraction], s: np.ndarray) -> Influence:
    """Raises numpy's LinAlgError where the equations are singular."""
    network = connected(inquiry)
    places = {node: k for k, node in enumerate(n for n in network.nodes if n != network.ground)}
    forced = independent(network.forced)
    driven = inquiry.excitation == "voltage"
    width = len(places) + len(forced) + driven

    def edge(ends: Edge) -> np.ndarray:
        row = np.zeros(width)
        for node, sign in zip(ends, (1.0, -1.0), strict=True):
            if node in places:
                row[places[node]] += sign
        return row

    matrix = np.zeros((len(s), width, width), dtype=complex)
    for element in network.elements:
        stamp = np.outer(edge(element.current), edge(element.voltage))
        matrix += _admittance(element, numbers, s)[:, None, None] * stamp
    # A forced element carries an unknown current; the voltage of its voltage edge is zero.
    rows = [(edge(element.current), edge(element.voltage)) for element in forced]
    source = np.zeros(width)
    if driven:
        rows.append((edge(inquiry.port), edge(inquiry.port)))
        source[-1] = 1.0
    else:
        source = edge(inquiry.port)
    for k, (carries, holds) in enumerate(rows, start=len(places)):
        matrix[:, :, k] += carries
        matrix[:, k, :] += holds
    chosen = [e for e in network.elements if e.symbol is not None]
    return _changed(inquiry, numbers, s, np.linalg.inv(matrix), source, chosen, edge)


def _changed(
    inquiry: Inquiry,
    numbers: Mapping[str, Fraction],
    s: np.ndarray,
    inverse: np.ndarray,
    source: np.ndarray,
    chosen: Sequence[Element],
    edge: Callable[[Edge], np.ndarray],
) -> Influence:
    reading = [edge(inquiry.above)] + ([edge(inquiry.below)] if inquiry.below is not None else [])
    solution = inverse @ source
    deleted: list[np.ndarray] = []
    contracted: list[np.ndarray] = []
    factor = _factor(inquiry, numbers)
    for element in chosen:
        y = _admittance(element, numbers, s)
        moved = inverse @ edge(element.current)
        own, across = moved @ edge(element.voltage), solution @ edge(element.voltage)
        with np.errstate(all="ignore"):
            for kept, step in ((deleted, y * across / (1 - y * own)), (contracted, -across / own)):
                values = [(solution @ read) + (moved @ read) * step for read in reading]
                kept.append(factor * (values[0] / values[1] if len(values) > 1 else values[0]))
    return Influence(tuple(e.name for e in chosen), np.array(deleted), np.array(contracted))


def _factor(inquiry: Inquiry, numbers: Mapping[str, Fraction]) -> float:
    return float(numbers[inquiry.factor]) if inquiry.factor else 1.0


def _admittance(element: Element, numbers: Mapping[str, Fraction], s: np.ndarray) -> np.ndarray:
    number = float(numbers[element.name]) if element.symbol is not None else 1.0
    with np.errstate(all="ignore"):
        match element.law:
            case "resistance" | "ratio":
                return np.full(len(s), 1 / number, dtype=complex)
            case "capacitance" | "delay":
                return s * number
            case "inductance":
                return 1 / (s * number)
            case _:
                return np.full(len(s), number, dtype=complex)
