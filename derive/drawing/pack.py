"""A wish as the arrays of the search.

Enters: a wish, places that are given. Leaves: a board, a first state, and what its numbers stand for.
Must not know: moves, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from derive.drawing.flow import Flow, flows, stances
from derive.drawing.ranks import node_ranks
from derive.drawing.records import Point, Wish
from derive.drawing.search.board import BODY, TERMINAL, WORDS, Board, State
from derive.drawing.symbols import SOURCES, TRANSISTORS, Box
from derive.drawing.variants import Variant, terminal_room, variants, words_box

CHANNEL_FREE, INPUT_FREE, PASSIVE_FREE = 3.0, 1.2, 1.0
"""What a wire costs that turns at a pin at once."""
MOST_BOXES = 6


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
    index = {part.name: n for n, part in enumerate(wish.parts)}
    nets = {node: n for n, node in enumerate(wired_nets(wish))}
    rails = {node: n for n, node in enumerate((wish.ground, *(node for node, _, _ in wish.rails)))}
    pin_net, pin_rail = np.full((count, 3), -2), np.full((count, 3), -1)
    pin_at, pin_way = np.zeros((count, most, 3, 2), np.int64), np.zeros((count, most, 3), np.int64)
    free = np.zeros((count, most, 3))
    box, kind = np.zeros((count, most, MOST_BOXES, 4)), np.zeros((count, MOST_BOXES), np.int64)
    boxes, bound = np.zeros(count, np.int64), np.zeros((count, most, 4))
    price, mirrored = np.zeros((count, most)), np.zeros((count, most), np.int64)
    for p, (part, own) in enumerate(zip(wish.parts, ways, strict=True)):
        for k, (_, node) in enumerate(part.pins):
            pin_net[p, k], pin_rail[p, k] = nets.get(node, -1), rails.get(node, -1)
            free[p, :, k] = _free(part.kind, k)
        for v, variant in enumerate(own):
            rooms = _rooms(variant)
            boxes[p] = len(rooms)
            for b, (what, room) in enumerate(rooms):
                kind[p, b], box[p, v, b] = what, room
            pin_at[p, v, : len(variant.pins)], pin_way[p, v, : len(variant.pins)] = variant.pins, variant.ways
            corners = [room for _, room in rooms] + [(x, y, x, y) for x, y in variant.pins]
            left, bottom, right, top = zip(*corners, strict=True)
            bound[p, v] = min(left), min(bottom), max(right), max(top)
            price[p, v] = variant.price + _own_trouble(rooms)
            mirrored[p, v] = variant.pins[0][0] > 0
    members: list[list[tuple[int, int]]] = [[] for _ in nets]
    for p, part in enumerate(wish.parts):
        for k, (_, node) in enumerate(part.pins):
            if node in nets:
                members[nets[node]].append((p, k))
    flat = [pair for net in members for pair in net]
    return Board(
        np.array([len(part.pins) for part in wish.parts]), pin_net, pin_rail, pin_at, pin_way, free, boxes, box, kind,
        bound, np.array([len(own) for own in ways]), price, mirrored,
        np.cumsum([0] + [len(net) for net in members]), np.array([p for p, _ in flat], np.int64),
        np.array([k for _, k in flat], np.int64), np.array([node in wish.named for node in nets], np.bool_),
        *_flows(wish, index), _pairs(wish, index), _couples(wish.rows, index), _couples(wish.columns, index),
        _source(wish, index), nets.get(wish.path[-1], -1) if wish.path else -1, len(rails),
        np.array([part.name in given for part in wish.parts], np.bool_),
    )  # fmt: skip


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


def _flows(wish: Wish, index: Mapping[str, int]) -> tuple[np.ndarray, np.ndarray]:
    pins = {part.name: [pin for pin, _ in part.pins] for part in wish.parts}

    def row(flow: Flow) -> list[int]:
        return [
            index[flow.part], pins[flow.part].index(flow.pin), index[flow.then], pins[flow.then].index(flow.then_pin),
        ]  # fmt: skip

    found = flows(wish)
    return np.array([row(f) for f in found], np.int64).reshape(-1, 4), np.array([f.weight for f in found], float)


def _pairs(wish: Wish, index: Mapping[str, int]) -> np.ndarray:
    """Devices with one control look at each other, those with a common end of the channel look away."""
    rows = []
    for a, b in wish.pairs:
        first, second = wish.parts[index[a]], wish.parts[index[b]]
        look = 2
        if first.kind in TRANSISTORS and second.kind in TRANSISTORS:
            look = int(first.pins[0][1] == second.pins[0][1])
        rows.append([index[a], index[b], look])
    return np.array(rows, np.int64).reshape(-1, 3)


def _couples(groups: Sequence[Sequence[str]], index: Mapping[str, int]) -> np.ndarray:
    rows = [[index[group[0]], index[name]] for group in groups for name in group[1:]]
    return np.array(rows, np.int64).reshape(-1, 2)


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
    ranks, level = node_ranks(wish), dict(wish.level)
    x, y, variant = (np.zeros(count, np.int64) for _ in range(3))
    filled: dict[int, int] = {}
    known = [place for place, _ in given.values()]
    base = (min(a for a, _ in known), max(b for _, b in known)) if known else (0, 0)
    order = sorted(range(count), key=lambda p: -max((level.get(n, 0.0) for _, n in wish.parts[p].pins), default=0.0))
    for p in order:
        part = wish.parts[p]
        variant[p] = int(np.argmin(board.price[p, : board.variants[p]]))
        if part.name in given:
            (x[p], y[p]), variant[p] = given[part.name]
            continue
        own = [ranks[node] for _, node in part.pins if node in ranks]
        column = round(sum(own) / len(own)) if own else 0
        x[p], y[p] = base[0] + 7 * column + (seed % 2), base[1] - 7 * filled.get(column, 0)
        filled[column] = filled.get(column, 0) + 1
    longest = int(max(np.diff(board.net_start), default=0)) + 2
    return State(
        x, y, variant, np.zeros(nets, np.int64), np.zeros(nets, np.int64), np.zeros(nets, np.int64),
        np.zeros((nets, longest, 4), np.int64), np.zeros(nets, np.int64), np.zeros(nets),
    )  # fmt: skip
