"""A wish as the arrays of the search.

Enters: a wish, places that are given. Leaves: a board, a first state, and what its numbers stand for.
Must not know: moves, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from derive.drawing.flow import flows, stances
from derive.drawing.ranks import node_ranks
from derive.drawing.records import Point, Wanted, Wish
from derive.drawing.search.board import (
    BESIDE,
    BODY,
    BOUND,
    BOXES,
    COLUMN,
    FIXED,
    FLOW,
    FREE,
    FREE_TO_GO,
    HELD,
    KIND,
    MOST_BOXES,
    MOST_PINS,
    NET,
    PAIR,
    PINS,
    PRICE,
    RAIL,
    ROOM,
    ROW,
    STILL,
    TERMINAL,
    VARIANTS,
    WORDS,
    Board,
    State,
)  # fmt: skip
from derive.drawing.symbols import SOURCES, TRANSISTORS, Box
from derive.drawing.variants import Variant, terminal_room, variants, words_box

CHANNEL_FREE, INPUT_FREE, PASSIVE_FREE = 3.0, 1.2, 1.0
"""What a wire costs that turns at a pin at once."""


@dataclass(frozen=True)
class Packed:
    """``variants`` by part in the wish's order; ``nets``: names in the board's order."""

    wish: Wish
    variants: tuple[tuple[Variant, ...], ...]
    nets: tuple[str, ...]
    board: Board


def pack(wish: Wish, given: Mapping[str, tuple[Point, int]]) -> Packed:
    """``given``: place and variant of the parts that stay."""
    attitudes = stances(wish)
    paired = {name for pair in wish.pairs for name in pair}
    ways = tuple(variants(wish, part, attitudes.get(part.name), part.name in paired) for part in wish.parts)
    return Packed(wish, ways, wired_nets(wish), _board(wish, ways, given))


def wired_nets(wish: Wish) -> tuple[str, ...]:
    """Nodes that are drawn as wire, in the order in which parts name them."""
    held = {node for node, _, _ in wish.rails} | {wish.ground}
    return tuple(dict.fromkeys(node for part in wish.parts for _, node in part.pins if node not in held))


def _board(wish: Wish, ways: Sequence[Sequence[Variant]], given: Mapping[str, tuple[Point, int]]) -> Board:
    count, most = len(ways), max(len(own) for own in ways)
    index, held_at = {part.name: n for n, part in enumerate(wish.parts)}, dict(wish.at)
    nets = {node: n for n, node in enumerate(wired_nets(wish))}
    rails = {node: n for n, node in enumerate((wish.ground, *(node for node, _, _ in wish.rails)))}
    parts = np.full((count, KIND + MOST_BOXES), -1)
    parts[:, NET : NET + MOST_PINS] = -2
    shapes, pins = np.zeros((count, most, ROOM + 4 * MOST_BOXES)), np.zeros((count, most, MOST_PINS, 3), np.int64)
    for p, (part, own) in enumerate(zip(wish.parts, ways, strict=True)):
        parts[p, PINS], parts[p, VARIANTS] = len(part.pins), len(own)
        parts[p, STILL] = FIXED if part.name in given else HELD if part.name in held_at else FREE_TO_GO
        for k, (_, node) in enumerate(part.pins):
            parts[p, NET + k], parts[p, RAIL + k] = nets.get(node, -1), rails.get(node, -1)
            shapes[p, :, FREE + k] = _free(part.kind, k)
        for v, variant in enumerate(own):
            rooms = _rooms(variant)
            parts[p, BOXES] = len(rooms)
            for b, (what, room) in enumerate(rooms):
                parts[p, KIND + b], shapes[p, v, ROOM + 4 * b : ROOM + 4 * b + 4] = what, room
            for k, ((x, y), way) in enumerate(zip(variant.pins, variant.ways, strict=True)):
                pins[p, v, k] = x, y, way
            corners = [room for _, room in rooms] + [(x, y, x, y) for x, y in variant.pins]
            left, bottom, right, top = zip(*corners, strict=True)
            shapes[p, v, BOUND : BOUND + 4] = min(left), min(bottom), max(right), max(top)
            shapes[p, v, PRICE] = variant.price + _own_trouble(rooms)
    members: list[list[tuple[int, int]]] = [[] for _ in nets]
    for p, part in enumerate(wish.parts):
        for k, (_, node) in enumerate(part.pins):
            if node in nets:
                members[nets[node]].append((p, k))
    starts = np.cumsum([0] + [len(net) for net in members])
    table = np.array([(start, node in wish.named) for start, node in zip(starts, [*nets, ""], strict=True)], np.int64)
    flat = np.array([pair for net in members for pair in net], np.int64).reshape(-1, 2)
    ends = (_source(wish, index), nets.get(wish.path[-1], -1) if wish.path else -1, len(rails))
    return Board(parts, shapes, pins, table, flat, _wants(wish, index), np.array(ends, np.int64))


def _rooms(variant: Variant) -> list[tuple[int, Box]]:
    rooms: list[tuple[int, Box]] = [(BODY, variant.body)]
    words = words_box(variant.words)
    if words is not None:
        rooms.append((WORDS, words))
    rooms += [(TERMINAL, terminal_room(terminal)) for terminal in variant.terminals]
    return rooms + [(TERMINAL, room) for room in variant.open_ends]


def _own_trouble(rooms: Sequence[tuple[int, Box]]) -> float:
    """A part's own words must not lie on its terminals."""
    hits = 0
    for n, (what, a) in enumerate(rooms):
        for other, b in rooms[:n]:
            both = {what, other}
            if both != {BODY, WORDS} and min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1]):
                hits += 1
    return 40.0 * hits


def _free(kind: str, pin: int) -> float:
    if kind in TRANSISTORS:
        return INPUT_FREE if pin == 0 else CHANNEL_FREE
    return PASSIVE_FREE


def _wants(wish: Wish, index: Mapping[str, int]) -> np.ndarray:
    pins = {part.name: [pin for pin, _ in part.pins] for part in wish.parts}
    rows = [
        (FLOW, index[f.part], pins[f.part].index(f.pin), index[f.then], pins[f.then].index(f.then_pin),
         round(1000 * f.weight))
        for f in flows(wish)
    ]  # fmt: skip
    rows += [(PAIR, index[a], index[b], _look(wish.parts[index[a]], wish.parts[index[b]]), 0, 0) for a, b in wish.pairs]
    rows += [(BESIDE, index[a], index[b], 0, 0, 0) for a, b in _parallel(wish)]
    for kind, groups in ((ROW, wish.rows), (COLUMN, wish.columns)):
        rows += [(kind, index[group[0]], index[name], 0, 0, 0) for group in groups for name in group[1:]]
    return np.array(rows, np.int64).reshape(-1, 6)


def _parallel(wish: Wish) -> list[tuple[str, str]]:
    """Two-terminal parts between the same nodes, each with the first of them."""
    first: dict[frozenset[str], str] = {}
    found = []
    for part in wish.parts:
        between = frozenset(node for _, node in part.pins)
        if len(part.pins) == 2 and part.kind not in ("voltage source", "current source", "battery"):
            if between in first:
                found.append((first[between], part.name))
            first.setdefault(between, part.name)
    return found


def _look(first: Wanted, second: Wanted) -> int:
    """Devices with one control look at each other, those with a common end of the channel look away."""
    if first.kind not in TRANSISTORS or second.kind not in TRANSISTORS:
        return 2
    return int(first.pins[0][1] == second.pins[0][1])


def _source(wish: Wish, index: Mapping[str, int]) -> int:
    """The source at the head of the path, or else any part there that hangs on ground."""
    if not wish.path:
        return -1
    heads = [part for part in wish.parts if wish.path[0] in {node for _, node in part.pins} and part.kind in SOURCES]
    return index[heads[0].name] if heads else -1


def first_state(packed: Packed, given: Mapping[str, tuple[Point, int]], seed: int) -> State:
    """Columns by rank from the source, parts of one rank below each other; parts that are given at their places."""
    wish, board = packed.wish, packed.board
    count, nets = len(wish.parts), len(packed.nets)
    ranks, level, held_at = node_ranks(wish), dict(wish.level), dict(wish.at)
    place = np.zeros((count, 3), np.int64)
    filled: dict[int, int] = {}
    known = [*held_at.values(), *(at for at, _ in given.values())]
    base = (min(a for a, _ in known), max(b for _, b in known)) if known else (0, 0)
    order = sorted(range(count), key=lambda p: -max((level.get(n, 0.0) for _, n in wish.parts[p].pins), default=0.0))
    for p in order:
        part = wish.parts[p]
        place[p, 2] = int(np.argmin(board.shapes[p, : board.parts[p, VARIANTS], PRICE]))
        if part.name in given:
            place[p] = *given[part.name][0], given[part.name][1]
            continue
        if part.name in held_at:
            place[p, :2] = held_at[part.name]
            continue
        own = [ranks[node] for _, node in part.pins if node in ranks]
        column = round(sum(own) / len(own)) if own else 0
        place[p, :2] = base[0] + 7 * column + (seed % 2), base[1] - 7 * filled.get(column, 0)
        filled[column] = filled.get(column, 0) + 1
    longest = int(max(np.diff(board.nets[:, 0]), default=0)) + 2
    return State(place, np.zeros((nets, 3), np.int64), np.zeros((nets, longest, 4), np.int64), np.zeros((nets, 2)))
