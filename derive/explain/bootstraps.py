"""Bootstraps found without being asked: parts whose two ends move together, ranked by what they buy.

Enters: the exact answer of a gain or an impedance, whose excitation decides what moves. Leaves: ranked records.
Must not know: LaTeX, pages.

A part of admittance y from ``near`` to ``far`` draws y (1 - A) v_near with A = v_far/v_near: it appears as 1/(1 - A)
times its impedance. A part counts where |1 - A| is at most TOGETHER at the spot, its near end moves by at least MOVES
of the port, and something else moves the far end: with the part lifted A stays within TOGETHER of itself (so a part in
series with the signal is none). Near is the end at the port, else the control terminal of its device, else the end with
the larger impedance, where a load counts. What it buys is the impedance at its near end over that with the far end held
at signal ground instead; a part that buys nothing is left out. At the port, parts whose far end moves further than the
near one (A above one) count whatever they buy: they are negative impedances.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import inf, isfinite, pi

from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import Unanswerable
from derive.answers.records import Exact, Inquiry
from derive.approximate.axis import ZERO, Square, crossings, frequency_of, place_of, polynomial
from derive.approximate.reduce import Ground
from derive.explain.derived import Bench, Derived
from derive.explain.splits import at_side, deleted
from derive.explain.voltages import Voltages, voltages
from derive.expression.tree import Name, Sym
from derive.network.records import Element
from derive.words import Formula, Node, Words

TOGETHER = Fraction(1, 3)
"""|1 - A| up to which two ends move together, and up to which a bootstrap works along the band."""
MOVES = 0.01
"""How much a part's near end must move, as a part of the port's voltage."""
NEGATIVE = 0.01
"""How much of |y (1 - A)| a negative conductance or susceptance must be to be named."""
WORTH = 1.001
"""What a bootstrap must buy at least: a tenth of a percent of the impedance at its near end."""
MOST = 12
"""Parts that are worked out; more are only counted."""
TWO_ENDED = ("resistance", "capacitance", "inductance")


@dataclass(frozen=True)
class Bootstrap:
    """``left``: 1 - A with its form; ``follows``: A at the spot. ``resistance`` and ``capacitance``: what the part
    appears as at the spot, in parallel (ohms, farads; None for none). ``held``: the impedance at the near end with the
    far end held at signal ground, ``moving``: as it is (ohms at the spot); ``buys``: |moving/held|. ``share`` and
    ``share_held``: of the port's current, where the near end is the port. ``low``, ``high``: the band (Hz) around the
    spot in which |1 - A| stays within TOGETHER; 0 and inf for no end.
    """

    part: str
    symbol: str
    law: str
    value: float
    near: str
    far: str
    left: Derived
    follows: complex
    resistance: float | None
    capacitance: float | None
    moving: complex
    held: complex
    share: complex | None
    share_held: complex | None
    low: float
    high: float

    @property
    def factor(self) -> complex:
        """1/(1 - A): how many times its own impedance the part appears as."""
        return 1 / (1 - self.follows) if self.follows != 1 else complex(inf)

    @property
    def buys(self) -> float:
        if not isfinite(abs(self.held)):
            return 1.0 if not isfinite(abs(self.moving)) else 0.0
        return abs(self.moving) / abs(self.held) if self.held else inf

    @property
    def negative(self) -> tuple[str, ...]:
        """Which of its two effects is negative: "resistance", "capacitance"."""
        found = [("resistance", self.resistance), ("capacitance", self.capacitance)]
        return tuple(what for what, value in found if value is not None and value < 0)


@dataclass(frozen=True)
class Bootstraps:
    """Those of one question's excitation, the one that buys most first; ``more``: how many others there are."""

    question: str
    found: tuple[Bootstrap, ...]
    more: int


def bootstraps(name: str, exact: Exact, bench: Bench) -> Bootstraps:
    """All bootstraps under the excitation of a gain or an impedance."""
    ground = bench.prepared.ground
    frequency = float(ground.spot) or float(ground.band[0])
    seen = voltages(exact.inquiry, ground.numbers, frequency)
    if seen is None:
        return Bootstraps(name, (), 0)
    candidates = _candidates(exact.inquiry, seen, ground)
    chosen = candidates[:MOST]
    lefts: dict[tuple[str, str], Derived] = {}
    found = []
    for element, near, far in chosen:
        try:
            if (near, far) not in lefts:
                lefts[near, far] = _left(element, near, far, exact, bench)
            size = abs(lefts[near, far].spot)
            # Nothing across it, or an inductor at zero frequency: it joins its ends and bootstraps nothing.
            if not size or not isfinite(size) or (element.law == "inductance" and not ground.spot):
                continue
            one = _bootstrap(element, near, far, lefts[near, far], exact, ground)
        except (NoSolution, Unanswerable):
            continue
        if one.buys >= WORTH or (one.negative and near == exact.inquiry.port[0]):
            found.append(one)
    found.sort(key=lambda b: (-b.buys, b.symbol))
    return Bootstraps(name, tuple(found), len(candidates) - len(chosen))


def _candidates(inquiry: Inquiry, seen: Voltages, ground: Ground) -> list[tuple[Element, str, str]]:
    """Parts whose ends move together, with near and far, the smallest |1 - A| first."""
    network = inquiry.network
    port = seen.nodes[inquiry.port[0]] - seen.nodes.get(inquiry.port[1], 0j)
    found = []
    for element in network.elements:
        if element.controlled or element.law not in TWO_ENDED or network.ground in element.current:
            continue
        near, far = _near_first(element, inquiry, seen)
        volt, other = seen.nodes[near], seen.nodes[far]
        if not volt or abs(volt) < MOVES * abs(port) or abs(volt - other) <= 1e-14 * abs(volt):
            continue
        follows = other / volt
        beyond = near == inquiry.port[0] and follows.real > 1
        if (beyond or abs(1 - follows) <= float(TOGETHER)) and _moved_by_others(element, near, far, inquiry, ground):
            found.append((abs(1 - follows), element, near, far))
    found.sort(key=lambda item: item[0])
    return [(element, near, far) for _, element, near, far in found]


def _near_first(element: Element, inquiry: Inquiry, seen: Voltages) -> tuple[str, str]:
    first, second = element.current
    turned = (second, first)
    if inquiry.port[0] in element.current:
        return (first, second) if first == inquiry.port[0] else turned
    controls = [e.voltage[0] for e in inquiry.network.elements if e.controlled and e.owner == element.owner]
    if any(node in element.current for node in controls):
        return (first, second) if first in controls else turned
    return (first, second) if abs(seen.impedances[first]) >= abs(seen.impedances[second]) else turned


def _moved_by_others(element: Element, near: str, far: str, inquiry: Inquiry, ground: Ground) -> bool:
    """Whether A hardly changes when the part is lifted; the port is driven by a voltage, so that it always moves."""
    driven = replace(inquiry, excitation="voltage", below=None)
    frequency = float(ground.spot) or float(ground.band[0])
    with_it = voltages(driven, ground.numbers, frequency)
    lifted = voltages(deleted(driven, element), ground.numbers, frequency)
    if with_it is None or lifted is None or not with_it.nodes[near]:
        return False
    volt, other = lifted.nodes.get(near, 0j), lifted.nodes.get(far, 0j)
    follows = with_it.nodes[far] / with_it.nodes[near]
    return bool(volt) and abs(other / volt - follows) <= float(TOGETHER) * abs(follows)


def _left(element: Element, near: str, far: str, exact: Exact, bench: Bench) -> Derived:
    inquiry = exact.inquiry
    below = (near, inquiry.network.ground)
    same = inquiry.excitation == "voltage" and below == inquiry.port
    asked = replace(inquiry, above=(near, far), below=None if same else below, factor=None, unit="V/V")
    rule: Words = ("across ", Formula(Sym(element.name)), " for each volt at ", Node(near))
    return bench.piece(Name(f"u_{element.name}"), rule, asked, f"_{element.name}")


def _bootstrap(element: Element, near: str, far: str, left: Derived, exact: Exact, ground: Ground) -> Bootstrap:
    inquiry = exact.inquiry
    number = float(ground.numbers[element.name])
    omega = 2 * pi * float(ground.spot)
    own = _admittance(element.law, number, omega)
    appears = own * left.spot
    floor = NEGATIVE * abs(appears)
    resistance = 1 / appears.real if abs(appears.real) > floor else None
    capacitance = appears.imag / omega if omega and abs(appears.imag) > floor else None
    moving = _impedance_at(near, inquiry, ground)
    grounded = _with_far_held(inquiry, element, near)
    held = _impedance_at(near, grounded, ground)
    # An infinite impedance (at zero frequency) has no shares.
    at_port = near == inquiry.port[0] and inquiry.port[1] == inquiry.network.ground
    at_port = at_port and isfinite(abs(moving)) and isfinite(abs(held))
    low, high = works_in(left.exact, ground)
    return Bootstrap(
        element.owner, element.name, element.law, number, near, far, left, 1 - left.spot, resistance, capacitance,
        moving, held, appears * moving if at_port else None, own * held if at_port else None, low, high,
    )  # fmt: skip


def _admittance(law: str, number: float, omega: float) -> complex:
    if law == "resistance":
        return complex(1 / number)
    if law == "capacitance":
        return 1j * omega * number
    return 1 / (1j * omega * number) if omega else complex(inf)


def _with_far_held(inquiry: Inquiry, element: Element, near: str) -> Inquiry:
    edge = (near, inquiry.network.ground)
    moved = replace(element, current=edge, voltage=edge)
    network = inquiry.network
    elements = tuple(moved if e.name == element.name else e for e in network.elements)
    return replace(inquiry, network=replace(network, elements=elements))


def _impedance_at(near: str, inquiry: Inquiry, ground: Ground) -> complex:
    """The impedance of a node at the spot: the excitation zeroed, lifted where it drives the very node."""
    network = inquiry.network if near == inquiry.port[0] else at_side(replace(inquiry, below=None), "zeroed")
    edge = (near, network.ground)
    return spectrum(Inquiry("Z", network, "current", edge, edge, None, None, "Ω"), ground.numbers).at_frequency(
        ground.spot
    )


def works_in(left: Exact, ground: Ground) -> tuple[float, float]:
    """The band in Hz around the spot in which |1 - A| stays within TOGETHER, by the roots of a polynomial in ω²."""
    square = Square.of(polynomial(left.spectrum.numerator), polynomial(left.spectrum.denominator))
    level = polynomial([TOGETHER**2])
    side = square.above - level * square.below
    spot = place_of(ground.spot)
    under, over = crossings(side, ZERO, spot) if ground.spot else [], crossings(side, spot, None)
    return (frequency_of(under[-1]) if under else 0.0), (frequency_of(over[0]) if over else inf)


def ranked(found: Sequence[Bootstraps]) -> tuple[tuple[str, Bootstrap], ...]:
    """All bootstraps of a sheet with their question, each part once, by what it buys."""
    best: dict[str, tuple[str, Bootstrap]] = {}
    for group in found:
        for one in group.found:
            if one.symbol not in best or one.buys > best[one.symbol][1].buys:
                best[one.symbol] = (group.question, one)
    return tuple(sorted(best.values(), key=lambda pair: (-pair[1].buys, pair[1].symbol)))
