"""Hints for the drawing, held against the circuit: every part and node that they name is there.

Enters: the description's [drawing], the circuit's parts and nodes. Leaves: Hints, or a DescriptionError.
Must not know: how parts are placed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from derive.circuit.hints import Hints
from derive.circuit.nets import node_of
from derive.circuit.records import GROUND, Part
from derive.description.hints import suggest

if TYPE_CHECKING:
    from derive.description.outline import Description

DEVICES = ("bjt", "jfet", "mosfet")


def build_hints(description: Description, parts: Mapping[str, Part], nodes: tuple[str, ...]) -> Hints:
    """The hints, by the circuit's own names. Raises DescriptionError for a name that is not there."""
    table, source = description.drawing, description.source
    if table is None:
        return Hints()
    drawn = [name for name, part in parts.items() if not _is_rail(part)]

    def check(key: str, names: Iterable[str]) -> None:
        for name in names:
            path = ("drawing", key, name) if key in ("at", "turned") else ("drawing", key)
            if name not in parts:
                raise source.error(path, f"drawing: there is no part {name}", suggest(name, drawn, "part"))
            if name not in drawn:
                what = f"drawing: {name} is a rail, which is drawn at each pin that it feeds"
                raise source.error(path, what, "name another part")

    for key, groups in (("pairs", table.pairs), ("rows", table.rows), ("columns", table.columns)):
        for group in groups:
            check(key, group)
    check("at", table.at)
    check("turned", table.turned)
    for a, b in table.pairs:
        one, other = parts[a], parts[b]
        if one.kind not in DEVICES or one.kind != other.kind:
            what = f"drawing: {a} and {b} are not two transistors of one kind"
            raise source.error(("drawing", "pairs"), what, "pairs are of transistors; others stand in rows")
    path = []
    for text in table.path:
        node = node_of(text, description.parts, source, ("drawing", "path"))
        if node not in nodes or node == GROUND:
            others = [name for name in nodes if name != GROUND]
            raise source.error(
                ("drawing", "path"), f"drawing: there is no signal node {text}", suggest(text, others, "node")
            )
        path.append(node)
    return Hints(
        tuple(path), tuple((a, b) for a, b in table.pairs), table.rows, table.columns,
        tuple(table.at.items()), tuple(table.turned.items()), table.show,
    )  # fmt: skip


def _is_rail(part: Part) -> bool:
    return part.kind == "supply" and GROUND in part.pins.values()
