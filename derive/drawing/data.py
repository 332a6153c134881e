"""A drawing as plain data and back, so that one that was found once can be kept.

Enters: a drawing; or such data, of whatever origin. Leaves: lists, words and numbers; or a drawing.
Must not know: files.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, get_args

from derive.drawing.records import Drawing, Kind, Label, Place, Placed, Point, Terminal, Turn, Wanted, Wire

Item = TypeVar("Item")


def to_data(drawing: Drawing) -> dict[str, Any]:
    """Lists, words and numbers, fit for JSON."""
    return {
        "parts": [
            [p.part.name, p.part.kind, [list(pin) for pin in p.part.pins], p.part.value, list(p.at), p.turn, p.mirrored,
             [_label(label) for label in p.labels]]
            for p in drawing.parts
        ],
        "wires": [[wire.node, [list(point) for point in wire.points]] for wire in drawing.wires],
        "dots": [list(dot) for dot in drawing.dots],
        "terminals": [[t.node, list(t.at), t.way, t.label] for t in drawing.terminals],
        "named": [[node, _label(label)] for node, label in drawing.named],
        "crossings": drawing.crossings,
    }  # fmt: skip


def of_data(data: Any) -> Drawing:
    """The drawing again. Raises ValueError, TypeError or KeyError for data that are none."""
    return Drawing(
        _each(data["parts"], _placed),
        _each(data["wires"], lambda wire: Wire(_word(wire[0]), _each(wire[1], _point))),
        _each(data["dots"], _point),
        _each(data["terminals"], _terminal),
        _each(data["named"], lambda named: (_word(named[0]), _read_label(named[1]))),
        _whole(data["crossings"]),
    )


def _label(label: Label) -> list[Any]:
    return [label.words, list(label.at), label.anchor]


def _each(items: Any, read: Callable[[Any], Item]) -> tuple[Item, ...]:
    if not isinstance(items, list):
        raise TypeError("a list is expected")
    return tuple(read(item) for item in items)


def _placed(item: Any) -> Placed:
    name, kind, pins, value, at, turn, mirrored, labels = item
    if not isinstance(mirrored, bool):
        raise TypeError("true or false is expected")
    wanted = Wanted(
        _word(name),
        _one_of(kind, get_args(Kind)),
        _each(pins, lambda pin: (_word(pin[0]), _word(pin[1]))),
        _word(value),
    )
    return Placed(wanted, _point(at), _one_of(turn, get_args(Turn)), mirrored, _each(labels, _read_label))


def _terminal(item: Any) -> Terminal:
    node, at, way, label = item
    return Terminal(_word(node), _point(at), _one_of(way, ("above", "below")), None if label is None else _word(label))


def _read_label(item: Any) -> Label:
    words, at, anchor = item
    return Label(_word(words), _place(at), _one_of(anchor, ("left", "centre", "right")))


def _one_of(value: Any, known: tuple[Any, ...]) -> Any:
    if value not in known:
        raise ValueError(f"{value!r} is none of {known}")
    return value


def _word(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("a text is expected")
    return value


def _whole(value: Any) -> int:
    if type(value) is not int:
        raise TypeError("a whole number is expected")
    return value


def _point(value: Any) -> Point:
    x, y = value
    return _whole(x), _whole(y)


def _place(value: Any) -> Place:
    x, y = value
    return float(x), float(y)
