"""What touches a port: its parts in groups by their far end, each with its share of the port's current.

Enters: an impedance's inquiry. Leaves: groups. Must not know: how a form is made of them, words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, answer
from derive.answers.records import Inquiry
from derive.errors import TooLarge
from derive.network.records import Edge, Element
from derive.structure.aim import Aim


@dataclass(frozen=True)
class Group:
    """Elements that share their far end and the voltage across them; ``sign`` -1 where the current enters the port."""

    elements: tuple[Element, ...]
    far: str
    edge: Edge
    sign: int
    ratio: Spectrum
    shares: np.ndarray
    """By element and frequency."""

    @property
    def share(self) -> float:
        return float(np.max(np.abs(np.sum(self.shares, axis=0))))


def groups_of(inquiry: Inquiry, aim: Aim) -> list[Group]:
    network, numbers = inquiry.network, aim.ground.numbers
    if inquiry.excitation != "current" or inquiry.unit != "Ω" or inquiry.port[0] == network.ground:
        return []
    joined = _joined(inquiry)
    port = tuple(joined.get(n, n) for n in inquiry.port)
    if any(joined.get(n, n) == port[0] for e in network.forced if e.controlled for n in e.current):
        return []
    table: dict[tuple[Edge, int], list[Element]] = {}
    for element in network.elements:
        ends = [joined.get(n, n) for n in element.current]
        if port[0] not in ends or ends[0] == ends[1]:
            continue
        leaving = ends[0] == port[0]
        far = element.current[1 if leaving else 0]
        if element.controlled:
            key = (element.voltage, 1 if leaving else -1)
        else:
            key = ((inquiry.port[0], joined.get(far, far)), 1)
        table.setdefault(key, []).append(element)
    found = []
    for (edge, sign), elements in table.items():
        if all(joined.get(n, n) in port for n in edge):
            ratio = Spectrum((Fraction(1),), (Fraction(1),))
        else:
            asked = replace(inquiry, above=edge, below=inquiry.port, factor=None, unit="V/V")
            try:
                ratio = answer(asked, numbers, aim.ground.ring).spectrum
            except (NoSolution, TooLarge):
                return []
        whole = aim.exact.sample(np.array(aim.frequencies)) * ratio.sample(np.array(aim.frequencies)) * sign
        shares = np.array([_admittance(e, numbers[e.name], aim.frequencies) * whole for e in elements])
        found.append(Group(tuple(elements), edge[1], edge, sign, ratio, shares))
    total = sum(np.sum(group.shares, axis=0) for group in found)
    return found if found and np.allclose(total, 1, rtol=0, atol=1e-6) else []


def _joined(inquiry: Inquiry) -> dict[str, str]:
    """The node that stands for each node that a short joins to another; ground stands for its own."""
    alias: dict[str, str] = {}

    def find(node: str) -> str:
        while node in alias:
            node = alias[node]
        return node

    for element in inquiry.network.forced:
        if not element.controlled:
            first, second = find(element.current[0]), find(element.current[1])
            if first in (inquiry.network.ground, inquiry.port[0]):
                first, second = second, first
            if first != second:
                alias[first] = second
    return {node: find(node) for node in alias}


def _admittance(element: Element, number: Fraction, frequencies: Sequence[float]) -> np.ndarray:
    s = 2j * np.pi * np.array(frequencies)
    match element.law:
        case "resistance":
            return np.full(len(s), 1 / float(number), dtype=complex)
        case "capacitance":
            return np.asarray(s * float(number))
        case "inductance":
            return np.asarray(1 / (s * float(number)))
        case _:
            return np.full(len(s), float(number), dtype=complex)


def most_important(groups: list[Group], most: float) -> tuple[list[Group], tuple[tuple[str, float], ...]]:
    """The groups without the elements whose shares add up to no more than ``most`` anywhere in the band."""
    sizes = sorted(
        (float(np.max(np.abs(group.shares[i]))), element.name, np.abs(group.shares[i]))
        for group in groups
        for i, element in enumerate(group.elements)
    )
    gone: dict[str, float] = {}
    spent = np.zeros_like(sizes[0][2])
    for size, name, share in sizes[:-1]:
        if np.max(spent + share) > most:
            break
        spent = spent + share
        gone[name] = size
    kept = []
    for group in groups:
        places = [i for i, e in enumerate(group.elements) if e.name not in gone]
        if places:
            kept.append(replace(group, elements=tuple(group.elements[i] for i in places), shares=group.shares[places]))
    return sorted(kept, key=lambda g: -g.share), tuple(sorted(gone.items(), key=lambda item: -item[1]))
