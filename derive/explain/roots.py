"""Poles and zeros with the parts that own them: how much each root moves with each part.

Enters: an exact answer. Leaves: for each root its sensitivities, largest first, and the pairs that nearly cancel.
Must not know: LaTeX, pages.

With a root r of the determinant P(s, x): d ln r/d ln x = -x (∂P/∂x)/(r ∂P/∂s), exact derivatives taken from the diagram
at the root to DIGITS digits. Two sums are checked: all capacitances, inductances and delays together scale every root
by -1 (s stands only beside them); all impedances scaled alike move no root.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Any, Literal

import mpmath

from derive.algebra.spectrum import roots
from derive.answers.exact import connected, diagrams
from derive.answers.records import Exact
from derive.approximate.reduce import Ground
from derive.errors import Defect
from derive.explain.gradient import value_and_slopes
from derive.kernel.diagram import Diagram
from derive.network.records import Element

DIGITS = 60
CHECKED = 1e-20
"""Relative to the largest sensitivity of a root, how far its sums may be off."""
DOUBLET = 0.05
"""A pole and a zero that lie nearer to each other than this, as a part of the pole's size, nearly cancel."""
OWNS = 0.2
"""A part owns a root when its sensitivity is at least this times the largest."""
REAL = 1e-9
_STORING = ("capacitance", "delay", "inductance")


@dataclass(frozen=True)
class Owner:
    """``sensitivity``: d ln(root)/d ln(part); its real part moves the frequency. ``quality``: d ln Q/d ln(part), of a
    complex pair."""

    symbol: str
    sensitivity: complex
    quality: float | None


@dataclass(frozen=True)
class Root:
    """``value`` in rad/s; one of each complex pair (above the real axis). ``owners``: every symbol that moves it,
    largest first; () for a root at zero or one that is multiple, which has no derivative."""

    side: Literal["pole", "zero"]
    value: complex
    owners: tuple[Owner, ...]

    @property
    def frequency(self) -> float:
        return abs(self.value) / (2 * pi)

    @property
    def quality(self) -> float | None:
        """Q of a complex pair (infinite on the imaginary axis); None for a real root."""
        if abs(self.value.imag) <= REAL * abs(self.value):
            return None
        return abs(self.value) / (2 * abs(self.value.real)) if self.value.real else float("inf")

    @property
    def leading(self) -> tuple[Owner, ...]:
        """The parts that own it: those within OWNS of the largest."""
        if not self.owners:
            return ()
        return tuple(o for o in self.owners if abs(o.sensitivity) >= OWNS * abs(self.owners[0].sensitivity))


@dataclass(frozen=True)
class Doublet:
    """A pole and a zero that nearly cancel; ``apart``: their distance over the pole's size."""

    pole: Root
    zero: Root
    apart: float


@dataclass(frozen=True)
class Roots:
    question: str
    poles: tuple[Root, ...]
    zeros: tuple[Root, ...]
    doublets: tuple[Doublet, ...]


def owned_roots(name: str, exact: Exact, ground: Ground) -> Roots:
    """All poles and zeros of an answer, lowest first."""
    above, below = diagrams(exact.inquiry)
    elements = {e.name: e for e in connected(exact.inquiry).elements}
    poles = _roots("pole", exact.spectrum.denominator, below, elements, ground.numbers)
    zeros = _roots("zero", exact.spectrum.numerator, above, elements, ground.numbers)
    return Roots(name, poles, zeros, _doublets(poles, zeros))


def _roots(
    side: Literal["pole", "zero"],
    coefficients: Sequence[Fraction],
    diagram: Diagram,
    elements: Mapping[str, Element],
    numbers: Mapping[str, Fraction],
) -> tuple[Root, ...]:
    found = []
    every = roots(coefficients)
    for value in every:
        if value.imag < 0 and abs(value.imag) > REAL * abs(value):
            continue
        single = sum(abs(other - value) <= 1e-12 * abs(value) for other in every) == 1
        owners = _owners(value, coefficients, diagram, elements, numbers) if value and single else ()
        found.append(Root(side, value, owners))
    return tuple(found)


def _owners(
    value: complex,
    coefficients: Sequence[Fraction],
    diagram: Diagram,
    elements: Mapping[str, Element],
    numbers: Mapping[str, Fraction],
) -> tuple[Owner, ...]:
    with mpmath.workdps(DIGITS):
        s = polished(value, coefficients)
        weights, exponents, rates = [], [], []
        for name in diagram.elements:
            weight, exponent = _admittance(elements[name], numbers, s)
            weights.append(weight)
            exponents.append(exponent)
            rates.append({"capacitance": 1, "delay": 1, "inductance": -1}.get(elements[name].law, 0))
        _, slopes = value_and_slopes(diagram, weights)
        moved = [w * d for w, d in zip(weights, slopes, strict=True)]
        by_s = sum((rate * m for rate, m in zip(rates, moved, strict=True)), mpmath.mpc(0))
        # A root that N and D shared was cancelled; one that the determinant has twice has no derivative here.
        if abs(by_s) <= mpmath.mpf(10) ** -30 * sum(abs(m) for m in moved):
            return ()
        found = {
            name: -exponent * m / by_s
            for name, exponent, m in zip(diagram.elements, exponents, moved, strict=True)
            if elements[name].symbol is not None
        }
        _require_sums(found, elements)
    owners = [Owner(name, complex(x), _quality(value, complex(x))) for name, x in found.items() if x]
    return tuple(sorted(owners, key=lambda o: -abs(o.sensitivity)))


def polished(value: complex, coefficients: Sequence[Fraction]) -> Any:
    """A simple root to the working precision, by Newton's steps from its double-precision value."""
    exact = [mpmath.mpf(c.numerator) / c.denominator for c in coefficients]
    slope = [power * c for power, c in enumerate(exact)][1:]
    s = mpmath.mpc(value)
    for _ in range(8):
        step = mpmath.polyval(exact[::-1], s) / mpmath.polyval(slope[::-1], s)
        s -= step
        if abs(step) <= abs(s) * mpmath.mpf(10) ** (5 - DIGITS):
            break
    return s


def _admittance(element: Element, numbers: Mapping[str, Fraction], s: Any) -> tuple[Any, int]:
    """The admittance at s, and its power of the symbol's number."""
    number = numbers[element.name] if element.symbol is not None else Fraction(1)
    exact = mpmath.mpf(number.numerator) / number.denominator
    match element.law:
        case "resistance" | "ratio":
            return 1 / exact, -1
        case "capacitance" | "delay":
            return s * exact, 1
        case "inductance":
            return 1 / (s * exact), -1
        case _:
            return exact, 1


def _require_sums(found: Mapping[str, Any], elements: Mapping[str, Element]) -> None:
    largest = max((abs(x) for x in found.values()), default=0)
    storing = sum((x for name, x in found.items() if elements[name].law in _STORING), mpmath.mpc(0))
    level = mpmath.mpc(0)
    for name, x in found.items():
        law = elements[name].law
        level += x if law in ("resistance", "inductance") else -x if law in ("conductance", "capacitance") else 0
    if abs(storing + 1) > CHECKED * max(largest, 1) or abs(level) > CHECKED * max(largest, 1):
        raise Defect("the sensitivities of a root do not add up")


def _quality(root: complex, sensitivity: complex) -> float | None:
    """d ln Q = d ln|r| - d ln|Re r|."""
    if abs(root.imag) <= REAL * abs(root) or not root.real:
        return None
    return sensitivity.real - (root * sensitivity).real / root.real


def _doublets(poles: Sequence[Root], zeros: Sequence[Root]) -> tuple[Doublet, ...]:
    """Each zero with the nearest pole that is still free, the closest pairs first."""
    pairs = sorted(
        (abs(p.value - z.value) / abs(p.value), i, j)
        for i, p in enumerate(poles)
        for j, z in enumerate(zeros)
        if p.value
    )
    taken: set[tuple[str, int]] = set()
    found = []
    for apart, i, j in pairs:
        if apart <= DOUBLET and not {("p", i), ("z", j)} & taken:
            taken |= {("p", i), ("z", j)}
            found.append(Doublet(poles[i], zeros[j], apart))
    return tuple(found)
