"""What may move: each stated tolerance as a cause between -1 and +1, and the circuit with it moved.

Enters: a circuit. Leaves: causes. Must not know: bias points, answers.

Idss and Vp of a junction FET are one cause as in derive.bias.causes, whose law of the channel is used here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from derive.bias.causes import causes_of
from derive.circuit.changes import Place, scaled
from derive.circuit.parts import KINDS
from derive.circuit.records import Circuit, Part

TOGETHER = ("idss", "vp", "yfs")


@dataclass(frozen=True)
class Cause:
    """``factors(d)``: by what stated values are multiplied where the cause stands at d, from -1 to 1.

    ``coordinate(d)``: a number, or array, in which slopes that go as a power of the value are straight: its
    logarithm. ``tolerance``: the relative change at d = 1. ``place``: the one value that moves, None for several.
    """

    name: str
    part: str
    tolerance: float
    factors: Callable[[float], dict[Place, float]]
    coordinate: Callable[[Any], Any]
    place: Place | None = None
    together: bool = False


def causes(circuit: Circuit) -> tuple[Cause, ...]:
    """Every stated tolerance, in the order of the parts."""
    found: list[Cause] = []
    for part in circuit.parts.values():
        own = part.values.get("tolerance")
        head = KINDS[part.kind].head
        if own is not None and own.value and head is not None:
            found.append(_single(part.name, part.name, head.record_name, float(own.value)))
        stated = {key: float(q.value) for key, q in part.tolerances.items() if q.value}
        if part.kind == "jfet" and part.together and stated.keys() & set(TOGETHER):
            found.append(_channel(part))
            stated = {key: t for key, t in stated.items() if key not in TOGETHER}
        found += [_single(f"{key} of {part.name}", part.name, key, t) for key, t in stated.items()]
    return tuple(found)


def moved(circuit: Circuit, found: Sequence[Cause], at: Sequence[float]) -> Circuit:
    """The circuit with each cause where it stands."""
    factors: dict[Place, float] = {}
    for cause, d in zip(found, at, strict=True):
        for place, factor in cause.factors(float(d)).items():
            factors[place] = factors.get(place, 1.0) * factor
    return scaled(circuit, factors)


def _single(name: str, part: str, key: str, tolerance: float) -> Cause:
    def factors(d: float) -> dict[Place, float]:
        return {(part, key): 1 + d * tolerance}

    return Cause(name, part, tolerance, factors, lambda d: np.log1p(tolerance * d), (part, key))


def _channel(part: Part) -> Cause:
    """Idss and Vp by one cause; a stated yfs, from which Vp is converted, moves as Idss and Vp say."""
    (cause,) = (c for c in causes_of((part,), {}) if c.together)
    idss, vp = f"Idss_{part.name}", f"Vp_{part.name}"

    def factors(d: float) -> dict[Place, float]:
        laws = cause.factors(d)
        changes = {(part.name, "idss"): laws[idss]}
        if "vp" in part.values:
            changes[(part.name, "vp")] = laws[vp]
        else:
            # yfs = 2 Idss/|Vp|, or 2 sqrt(Idss Id)/|Vp| at a stated current.
            power = 1.0 if part.values["yfs"].at is None else 0.5
            changes[(part.name, "yfs")] = laws[idss] ** power / laws[vp]
        return changes

    def coordinate(d: Any) -> Any:
        return np.log(np.vectorize(lambda one: cause.factors(float(one))[idss])(d))

    width = cause.factors(1.0)[idss] - 1
    return Cause(cause.name, part.name, width, factors, coordinate, None, True)
