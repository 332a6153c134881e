"""The ways in which a part can be drawn: turn, mirror, side of its words; with what each costs.

Enters: a wish. Leaves: variants of each part. Must not know: places of parts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from derive.drawing.errors import Undrawable
from derive.drawing.flow import Stance
from derive.drawing.records import Label, Point, Terminal, Turn, Wanted, Wish
from derive.drawing.symbols import (
    CHARACTER,
    TRANSISTORS,
    Box,
    Side,
    body,
    label_box,
    labels,
    pins,
    sides,
    terminal_box,
    turned,
)

REVERSED, MIRRORED, OUTPUT_LEFT, UPSIDE_DOWN = 10.0, 7.0, 14.0, 10.0
LYING_TRANSISTOR = 14.0
OTHER_SIDE, CORNER_WORDS = 0.4, 1.0
AGAINST_RAIL, SIDEWAYS_RAIL, SIDEWAYS_INPUT = 14.0, 6.0, 0.5
TURNS: tuple[Turn, ...] = (0, 90, 180, 270)


@dataclass(frozen=True)
class Variant:
    """``ways``: outward direction of each pin (0 east, 1 north, 2 west, 3 south). ``terminals``: local symbols of
    rails at pins, seen from the part's place. ``open_ends``: boxes kept free before pins that nothing else joins."""

    turn: Turn
    mirrored: bool
    side: Side
    pins: tuple[Point, ...]
    ways: tuple[int, ...]
    body: Box
    words: tuple[Label, ...]
    terminals: tuple[Terminal, ...]
    open_ends: tuple[Box, ...]
    price: float


def variants(wish: Wish, part: Wanted, stance: Stance | None, paired: bool) -> tuple[Variant, ...]:
    """All ways to draw a part, or those that a hint leaves. Raises Undrawable."""
    found = []
    asked = dict(wish.turned).get(part.name)
    for turn in TURNS:
        if asked is not None and turn != asked:
            continue
        for mirrored in (False, True):
            price = _attitude(part, turn, mirrored, stance, paired, asked is not None)
            if price is None:
                continue
            for number, side in enumerate(sides(part.kind, turn, mirrored)):
                words = labels((part.name, part.value), side, body(part.kind, turn, mirrored))
                found.append(_variant(wish, part, turn, mirrored, side, words, price + _side_price(number)))
    if not found:
        raise Undrawable(f"{part.name} cannot be turned by {asked}", "an op amp stands at 0 or 180", "turned")
    return tuple(found)


def _side_price(number: int) -> float:
    return (0.0, OTHER_SIDE, CORNER_WORDS, CORNER_WORDS)[number]


def _attitude(
    part: Wanted, turn: Turn, mirrored: bool, stance: Stance | None, paired: bool, asked: bool
) -> float | None:
    """What a turn costs by itself; None where it is not used."""
    if part.kind == "op amp":
        if turn in (90, 270):
            return None
        left = turned((1, 0), turn, mirrored)[0] < 0
        return OUTPUT_LEFT * left
    at = pins(part.kind, turn, mirrored)
    if part.kind in TRANSISTORS:
        if turn in (90, 270):
            return LYING_TRANSISTOR if asked else None
        control = next(iter(at.values()))
        price = MIRRORED * (control[0] > 0 and not paired)
        top = max(list(at)[1:], key=lambda pin: at[pin][1])
        return price + UPSIDE_DOWN * (stance is not None and top != stance.leading)
    if mirrored:
        return None
    if stance is None or asked:
        return 0.0
    standing = turn in (90, 270)
    price = stance.strength * (stance.standing is not None and standing != stance.standing)
    leading = max(at, key=lambda pin: at[pin][1]) if standing else min(at, key=lambda pin: at[pin][0])
    if standing == stance.standing and stance.leading is not None and leading != stance.leading:
        price += REVERSED
    return price


def _variant(
    wish: Wish, part: Wanted, turn: Turn, mirrored: bool, side: Side, words: tuple[Label, ...], price: float
) -> Variant:
    at = tuple(pins(part.kind, turn, mirrored)[pin] for pin, _ in part.pins)
    ways = tuple(_way(place) for place in at)
    rails: dict[str, tuple[str | None, Literal["above", "below"]]] = {
        node: (label, way) for node, label, way in wish.rails
    }
    rails[wish.ground] = (None, "below")
    uses = _uses(wish)
    terminals, ends = [], []
    for (_, node), place, way in zip(part.pins, at, ways, strict=True):
        if node in rails:
            label, natural = rails[node]
            terminal = natural if way in (0, 2) else "above" if way == 1 else "below"
            terminals.append(Terminal(node, place, terminal, label))
            if terminal != natural:
                price += AGAINST_RAIL
            elif way in (0, 2):
                price += SIDEWAYS_RAIL if len(part.pins) == 2 else SIDEWAYS_INPUT
        elif uses[node] == 1:
            ends.append(open_end(place, way, node))
    own = body(part.kind, turn, mirrored)
    return Variant(turn, mirrored, side, at, ways, own, words, tuple(terminals), tuple(ends), price)


def _uses(wish: Wish) -> Mapping[str, int]:
    counts: dict[str, int] = {}
    for part in wish.parts:
        for _, node in part.pins:
            counts[node] = counts.get(node, 0) + 1
    return counts


def _way(place: Point) -> int:
    """Outward from the symbol: along a two-terminal part, sideways at a control, up or down at a channel."""
    x, y = place
    if abs(x) >= abs(y):
        return 0 if x > 0 else 2
    return 1 if y > 0 else 3


def open_end(place: Point, way: int, name: str) -> Box:
    """Room for a stub of wire with the node's name at its end, before a pin that nothing else joins."""
    x, y = place
    length, half = 1.6 + CHARACTER * len(name), max(0.6, CHARACTER * len(name) / 2)
    match way:
        case 0:
            return x + 0.3, y - 0.6, x + length, y + 0.6
        case 1:
            return x - half, y + 0.3, x + half, y + 2.6
        case 2:
            return x - length, y - 0.6, x - 0.3, y + 0.6
        case _:
            return x - half, y - 2.6, x + half, y - 0.3


def words_box(words: tuple[Label, ...]) -> Box | None:
    """The room of all lines of a part's words."""
    boxes = [label_box(label) for label in words]
    if not boxes:
        return None
    left, bottom, right, top = zip(*boxes, strict=True)
    return min(left), min(bottom), max(right), max(top)


def terminal_room(terminal: Terminal) -> Box:
    """A terminal's room at its place."""
    (x, y), (left, bottom, right, top) = terminal.at, terminal_box(terminal.label, terminal.way)
    return left + x, bottom + y, right + x, top + y
