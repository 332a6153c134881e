"""What every connection of a circuit does, in numbers at the spot: each pin and each end cut in turn.

Enters: a prepared circuit, the loop and the answers that are watched. Leaves: records, the largest effect first.
Must not know: words, LaTeX. Numbers come from a plain nodal solution (``derive.opinion.numeric``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import isfinite, log, pi
from typing import TYPE_CHECKING

from derive.answers.exact import connected
from derive.answers.inquire import Unanswerable, inquire, return_ratio
from derive.answers.records import Inquiry
from derive.circuit.records import Gain, Impedance, Question
from derive.explain.connection import MATTERS, added_sense
from derive.explain.margins import Sense
from derive.explain.rewired import connections, rewired
from derive.network.records import Network
from derive.opinion.numeric import solve_nodal_matrix

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared


@dataclass(frozen=True)
class Watched:
    """A quantity that is watched: its name, its unit, its value with all connections."""

    name: str
    unit: str
    value: complex


@dataclass(frozen=True)
class Effect:
    """One connection: ``values`` of what is watched with it cut, in order (None: without a finite value).

    ``adds``: the sense of the feedback that the connection adds around the watched source. ``size``: the largest
    natural logarithm of the factor by which a watched size changes; infinite where one vanishes or is lost.
    """

    part: str
    pin: str
    node: str
    values: tuple[complex | None, ...]
    adds: Sense
    size: float


@dataclass(frozen=True)
class Effects:
    """``loop``: the source whose T is the first of ``watched``, or None. ``left_out``: connections without effect."""

    loop: str | None
    watched: tuple[Watched, ...]
    effects: tuple[Effect, ...]
    left_out: int


def effects(prepared: Prepared, loop: str | None, questions: Sequence[Question] | None = None) -> Effects:
    """Every connection's effect on T of ``loop``, the first gain and the first impedance (or on ``questions``)."""
    if questions is None:
        questions = [
            found
            for kind in (Gain, Impedance)
            if (found := next((q for q in prepared.circuit.questions if isinstance(q.ask, kind)), None)) is not None
        ]
    asked: list[tuple[str, Callable[[Network], Inquiry]]] = []
    if loop is not None:
        asked = [(loop, lambda network, of=loop: return_ratio(of, network, of))]  # type: ignore[misc]
        loop = None if _value(asked[0][1], prepared.network, prepared) is None else loop
    asked += [(q.name, lambda network, q=q: inquire(q, network)) for q in questions]  # type: ignore[misc]
    whole = [_value(make, prepared.network, prepared) for _, make in asked]
    kept = [(one, value) for one, value in zip(asked, whole, strict=True) if value is not None]
    watched = tuple(Watched(name, make(prepared.network).unit, value) for (name, make), value in kept)
    made = []
    for part, pin in connections(prepared.circuit, prepared.network):
        network = rewired(prepared, part, pin)
        values = tuple(
            0j if name == loop and not _acts(network, name) else _value(make, network, prepared)
            for (name, make), _ in kept
        )
        size = max((_factor(w.value, v) for w, v in zip(watched, values, strict=True)), default=0.0)
        adds = added_sense(watched[0].value, values[0] or 0) if loop is not None and watched else "none"
        node = prepared.circuit.parts[part].pins.get(pin, "")
        made.append(Effect(part, pin, node, values, adds, size))
    # What changes no watched size by more than MATTERS at the spot is not listed.
    shown = sorted((e for e in made if e.size > log(1 + MATTERS)), key=lambda e: -e.size)
    return Effects(loop, watched, tuple(shown), len(made) - len(shown))


def _acts(network: Network, name: str) -> bool:
    """Whether a controlled source still acts on something; one that does not has a return ratio of zero."""
    return any(e.name == name and not e.is_loop for e in network.elements)


def _value(make: Callable[[Network], Inquiry], network: Network, prepared: Prepared) -> complex | None:
    """The value at the spot, None where it has none."""
    frequency = float(prepared.ground.spot) or float(prepared.ground.band[0])
    try:
        inquiry = make(network)
        joined = replace(inquiry, network=connected(inquiry))
        found = solve_nodal_matrix(joined, network.values(), 2j * pi * frequency)
    except (Unanswerable, ArithmeticError):
        return None
    if not isfinite(abs(found.value)):
        return None
    # What lies within its own rounding is zero.
    return found.value if abs(found.value) > found.error else 0j


def _factor(whole: complex, cut: complex | None) -> float:
    if cut is None or not whole or not cut:
        return float("inf") if whole != cut else 0.0
    return abs(log(abs(cut) / abs(whole)))
