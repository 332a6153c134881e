"""From a wish to a drawing: the one entrance to this room.

Enters: a wish, and the stored placement of an earlier drawing or none. Leaves: a drawing that was checked.
Must not know: LaTeX, SVG, circuits, files.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from derive.drawing.errors import Undrawable
from derive.drawing.hints import require_hints
from derive.drawing.mesh import dots, polylines
from derive.drawing.naming import names, stub
from derive.drawing.pack import Packed, pack
from derive.drawing.place import Effort, Found, search
from derive.drawing.records import Drawing, Label, Placed, Terminal, Wire, Wish
from derive.drawing.store import given_places
from derive.drawing.trace import check


def draw(wish: Wish, stored: Mapping[str, Any] | None = None, effort: Effort | None = None) -> Drawing:
    """The drawing of a wish. Raises Undrawable where a hint cannot be followed.

    ``stored``: what ``derive.drawing.store.stored`` made of an earlier drawing; parts that have not changed stay.
    """
    require_hints(wish)
    packed = pack(wish, {})
    given = given_places(packed, stored)
    if given:
        packed = pack(wish, given)
    found = search(packed, given, effort or Effort())
    if found.routed.failed and given:
        packed = pack(wish, {})
        found = search(packed, {}, effort or Effort())
    drawing = assemble(packed, found)
    check(wish, drawing)
    return drawing


def assemble(packed: Packed, found: Found) -> Drawing:
    """The records of a drawing."""
    wish = packed.wish
    if found.routed.failed:
        raise Undrawable(f"no way was found for the wire of {found.routed.failed[0]}", "leave out a hint of [drawing]")
    placed, terminals, wires, points = [], [], [], []
    for one in found.plan.standing:
        (x, y), variant = one.at, one.variant
        words = tuple(Label(w.words, (w.at[0] + x, w.at[1] + y), w.anchor) for w in variant.words)
        placed.append(Placed(wish.parts[one.number], one.at, variant.turn, variant.mirrored, words))
        terminals += [Terminal(t.node, (t.at[0] + x, t.at[1] + y), t.way, t.label) for t in variant.terminals]
    for node in packed.nets:
        pins, edges = found.plan.of(node), found.routed.wires[node]
        if len(pins) == 1:
            edges = stub(pins[0])
        wires += [Wire(node, line) for line in polylines(edges, pins)]
        points += dots(edges, pins)
    written = names(wish, found, packed)
    return Drawing(
        tuple(placed), tuple(wires), tuple(points), tuple(terminals), written, found.routed.crossings,
    )  # fmt: skip
