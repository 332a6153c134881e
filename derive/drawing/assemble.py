"""The records of a drawing, from places and wires.

Enters: a packed wish, what the search found. Leaves: a drawing. Must not know: how it was found.
"""

from __future__ import annotations

import numpy as np

from derive.drawing.mesh import dots, ends, polylines
from derive.drawing.naming import names, stub
from derive.drawing.pack import Packed
from derive.drawing.place import Found, moved
from derive.drawing.records import Drawing, Label, Placed, Terminal, Wire

TRIES = 6


def assemble(packed: Packed, found: Found) -> Drawing:
    """Symbols, wires, dots, terminals and names of nodes."""
    placed, terminals, wires, points = [], [], [], []
    for one in found.plan.standing:
        (x, y), variant = one.at, one.variant
        words = tuple(Label(w.words, (round(w.at[0] + x, 3), round(w.at[1] + y, 3)), w.anchor) for w in variant.words)
        placed.append(Placed(packed.wish.parts[one.number], one.at, variant.turn, variant.mirrored, words))
        terminals += [Terminal(t.node, (t.at[0] + x, t.at[1] + y), t.way, t.label) for t in variant.terminals]
    for node in packed.nets:
        pins, edges = found.plan.of(node), found.routed.wires[node]
        if len(pins) == 1:
            edges = stub(pins[0])
        wires += [Wire(node, line) for line in polylines(edges, pins)]
        points += dots(edges, pins)
    written = tuple(names(packed.wish, found, packed))
    return Drawing(tuple(placed), tuple(wires), tuple(points), tuple(terminals), written, found.routed.crossings)


def with_names(packed: Packed, found: Found) -> Found:
    """The same arrangement with rows or columns put in where a node's name finds no room; its corner at the origin."""
    for _ in range(TRIES):
        missing = [
            node
            for node in packed.nets
            if node in packed.wish.named and node not in dict(names(packed.wish, found, packed))
        ]
        if not missing:
            break
        better = [f for f in _roomier(packed, found, missing[0]) if not f.faults]
        written = {id(f): len(names(packed.wish, f, packed)) for f in better}
        found = max(better, key=lambda f: (written[id(f)], -f.price), default=found)
        if not better:
            break
    corner = np.array([int(min(b[axis] for b in found.plan.boxes)) for axis in (0, 1)])
    home = moved(packed, found, found.state.place[:, :2] - corner)
    return found if home.faults or home.price > found.price + 1e-6 else home


def _roomier(packed: Packed, found: Found, node: str) -> list[Found]:
    """With one or two rows or columns more at each place where the node's wire or pins are."""
    spots = {pin.at for pin in found.plan.of(node)} | {p for edge in found.routed.wires[node] for p in ends(edge)}
    tried = []
    for axis in (0, 1):
        for line in sorted({spot[axis] for spot in spots}):
            for edge in (line, line + 1):
                places = found.state.place[:, :2].copy()
                places[:, axis] += 2 * (places[:, axis] >= edge)
                tried.append(moved(packed, found, places))
    return tried
