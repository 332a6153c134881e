"""Which way each part wants to lie, and which pin wants to stand left of which.

Enters: a wish. Leaves: stances and flows. Must not know: coordinates.

The signal goes from left to right, potential from top to bottom. A part that hangs on a rail, or that carries the
current of a channel from one potential to another, stands; one that only passes the signal on, or feeds it back,
lies.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from derive.drawing.ranks import held, inputs, node_ranks
from derive.drawing.records import Wanted, Wish
from derive.drawing.symbols import SOURCES, TRANSISTORS

STAGES, PAIR, HANGING, LOAD = 1.2, 2.0, 0.4, 0.8
EVEN = 1e-4
"""Share of the whole span of potential under which two nodes count as level."""
AHEAD = 0.01
"""Difference of rank from which one node counts as further along than another."""


@dataclass(frozen=True)
class Stance:
    """``leading``: the pin that wants to be on top of a standing part, on the left of a lying one; None: either."""

    standing: bool | None
    leading: str | None
    strength: float = 4.0


@dataclass(frozen=True)
class Flow:
    """A pin of one part that must not lie right of a pin of another, and what a unit of it costs."""

    part: str
    pin: str
    then: str
    then_pin: str
    weight: float


def stances(wish: Wish) -> dict[str, Stance]:
    """How each two-terminal part and each transistor wants to be turned."""
    ranks = node_ranks(wish)
    return {part.name: _stance(wish, part, ranks) for part in wish.parts if part.kind != "op amp"}


def _stance(wish: Wish, part: Wanted, ranks: Mapping[str, float]) -> Stance:
    nodes = dict(part.pins)
    if part.kind in TRANSISTORS:
        upper, lower = (pin for pin, _ in part.pins[1:])
        drop = _drop(wish, nodes[upper], nodes[lower])
        return Stance(True, lower if drop < 0 else upper, 10.0)
    (first, a), (second, b) = part.pins
    drop, still = _drop(wish, a, b), held(wish)
    top = first if drop > 0 else second if drop < 0 else None
    if a in still or b in still:
        if top is None:
            above = {node for node, _, way in wish.rails if way == "above"}
            below = {node for node, _, way in wish.rails if way == "below"} | {wish.ground}
            top = first if a in above or b in below else second
        return Stance(True, top, 6.0)
    left = _left(wish, part, ranks)
    if top is not None and (_carries(wish, part) or _beside_source(wish, a, b)):
        return Stance(True, top)
    if part.kind in SOURCES and left is None:
        return Stance(True, top)
    linked = {frozenset(pair) for pair in pairwise(wish.path)}
    return Stance(False, left, 4.0 if frozenset((a, b)) in linked else 9.0)


def _left(wish: Wish, part: Wanted, ranks: Mapping[str, float]) -> str | None:
    """The pin of a two-terminal part that lies earlier on the signal's way."""
    (first, a), (second, b) = part.pins
    begin = {name: begin for name, begin, _ in wish.towards}.get(part.name)
    if begin in (a, b):
        return first if begin == a else second
    ahead = ranks.get(b, 0.0) - ranks.get(a, 0.0)
    return first if ahead > AHEAD else second if ahead < -AHEAD else None


def _carries(wish: Wish, part: Wanted) -> bool:
    """Whether a part is in series with a channel: at one end direct current has no other way."""
    if part.kind == "capacitor":
        return False
    for _, node in part.pins:
        meeting = [
            (other, pin) for other in wish.parts for pin, own in other.pins
            if own == node and other.kind != "capacitor" and pin not in inputs(other) and other.name != part.name
        ]  # fmt: skip
        if len(meeting) == 1 and (meeting[0][0].kind in TRANSISTORS or meeting[0][0].kind.endswith("current source")):
            return True
    return False


def _beside_source(wish: Wish, a: str, b: str) -> bool:
    """Whether a controlled source joins these two nodes: the model of a channel, which stands."""
    return any(part.kind.startswith("controlled") and {node for _, node in part.pins} == {a, b} for part in wish.parts)


def _drop(wish: Wish, upper: str, lower: str) -> float:
    """How far the first node lies above the second; 0 where they are level or that is not known."""
    level = dict(wish.level) | ({wish.ground: 0.0} if wish.level else {})
    if upper not in level or lower not in level:
        return 0.0
    span = max(level.values()) - min(level.values())
    drop = level[upper] - level[lower]
    return drop if abs(drop) > EVEN * span else 0.0


def flows(wish: Wish) -> tuple[Flow, ...]:
    """From each pin that passes the signal on to those that take it up, and weakly to what loads it; and from the
    earlier of a pair to the later."""
    ranks, still = node_ranks(wish), held(wish)
    lying = {name: stance for name, stance in stances(wish).items() if stance.standing is False}
    giving: list[tuple[str, str, str]] = []
    taking: list[tuple[str, str, str]] = []
    for part in wish.parts:
        heard = inputs(part)
        if heard:
            into = [(pin, node) for pin, node in part.pins if pin in heard and node not in still]
            out = [(pin, node) for pin, node in part.pins if pin not in heard and node not in still]
            begin = min((ranks[node] for _, node in into), default=0.0)
            taking += [(part.name, pin, node) for pin, node in into if ranks[node] <= begin + 1]
            giving += [(part.name, pin, node) for pin, node in out if ranks[node] > begin + AHEAD]
        elif part.name in lying and lying[part.name].leading is not None and part.name not in wish.backwards:
            leading = lying[part.name].leading
            for pin, node in part.pins:
                (taking if pin == leading else giving).append((part.name, pin, node))
    hanging = [
        (part.name, pin, node) for part in wish.parts for pin, node in part.pins
        if part.kind not in SOURCES and not inputs(part) and part.name not in lying and node not in still
        and still & {own for _, own in part.pins}
    ]  # fmt: skip
    found: dict[tuple[str, str, str, str], float] = {}
    upright = [
        (part.name, pin, node) for part in wish.parts for pin, node in part.pins
        if not inputs(part) and part.name not in lying and not still & {own for _, own in part.pins}
    ]  # fmt: skip
    for givers, takers, weight in ((giving, taking, STAGES), (giving + upright, hanging, HANGING)):
        for name, pin, node in givers:
            for other, taken, start in takers:
                if other != name and start == node:
                    load = weight == HANGING and node in wish.path[-1:]
                    found[name, pin, other, taken] = LOAD if load else weight
    for a, b in wish.pairs:
        first, second = (next(part for part in wish.parts if part.name == name) for name in (a, b))
        ahead = ranks.get(second.pins[0][1], 0.0) - ranks.get(first.pins[0][1], 0.0)
        if abs(ahead) > AHEAD:
            one, next_one = (first, second) if ahead > 0 else (second, first)
            found[one.name, one.pins[0][0], next_one.name, next_one.pins[0][0]] = PAIR
    return tuple(Flow(*key, weight) for key, weight in found.items())
