"""What a description says of its drawing: hints for whoever places the parts.

Enters: the TOML data of [drawing]. Leaves: a checked table, or a DescriptionError.
Must not know: which parts and nodes there are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any, TypeVar

from derive.description.complaints import validate
from derive.description.fields import checked
from derive.description.hints import quote
from derive.description.names import check_part_name, read_node, read_part_names
from derive.description.schema import Flag, Table
from derive.description.source import Source
from derive.description.values import WrongValue

FARTHEST = 500
TURNS = (0, 90, 180, 270)

Value = TypeVar("Value")


def _read_path(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or len(value) < 2:
        raise WrongValue("a signal path has two nodes or more", 'write path = ["in", "Q1.drain", "out"]')
    nodes = tuple(read_node(one) for one in value)
    twice = next((node for index, node in enumerate(nodes) if node in nodes[:index]), None)
    if twice is not None:
        raise WrongValue(f"the path passes {twice} twice", "name each node once")
    return nodes


def _read_groups(value: object, example: str, exactly: int | None = None) -> tuple[tuple[str, ...], ...]:
    """Lists of parts; one list alone will do."""
    if not isinstance(value, list) or not value:
        raise WrongValue(f"{quote(value)} is not a list of parts", f"write {example}")
    groups = value if all(isinstance(one, list) for one in value) else [value]
    found = tuple(read_part_names(group) for group in groups)
    for group in found:
        if len(group) < 2 or (exactly is not None and len(group) != exactly):
            wanted = "two parts" if exactly else "two parts or more"
            raise WrongValue(f"{quote(list(group))} does not name {wanted}", f"write {example}")
    return found


def _read_pairs(value: object) -> tuple[tuple[str, ...], ...]:
    return _read_groups(value, 'pairs = [["Q1", "Q2"]]', 2)


def _read_rows(value: object) -> tuple[tuple[str, ...], ...]:
    return _read_groups(value, 'rows = [["R1", "R2"]]')


def _read_columns(value: object) -> tuple[tuple[str, ...], ...]:
    return _read_groups(value, 'columns = [["R1", "R2"]]')


def _read_by_part(value: object, example: str, read: Callable[[object], Value]) -> dict[str, Value]:
    if not isinstance(value, dict) or not value:
        raise WrongValue(f"{quote(value)} is not a table of parts", f"write {example}")
    for name in value:
        check_part_name(name)
    return {name: read(one) for name, one in value.items()}


def _read_place(value: object) -> tuple[int, int]:
    whole = isinstance(value, list) and len(value) == 2 and all(type(one) is int for one in value)
    if not whole or not isinstance(value, list) or max(abs(one) for one in value) > FARTHEST:
        raise WrongValue(f"{quote(value)} is not a place", "write two whole numbers of grid units, such as [12, -4]")
    return value[0], value[1]


def _read_turn(value: object) -> int:
    if type(value) is not int or value not in TURNS:
        raise WrongValue(f"{quote(value)} is not a turn", f"write one of {', '.join(map(str, TURNS))}")
    return value


def _read_at(value: object) -> dict[str, tuple[int, int]]:
    return _read_by_part(value, "at = { R1 = [12, -4] }", _read_place)


def _read_turned(value: object) -> dict[str, int]:
    return _read_by_part(value, "turned = { R1 = 90 }", _read_turn)


class DrawingTable(Table):
    path: Annotated[tuple[str, ...], checked(_read_path)] = ()
    pairs: Annotated[tuple[tuple[str, ...], ...], checked(_read_pairs)] = ()
    rows: Annotated[tuple[tuple[str, ...], ...], checked(_read_rows)] = ()
    columns: Annotated[tuple[tuple[str, ...], ...], checked(_read_columns)] = ()
    at: Annotated[Mapping[str, tuple[int, int]], checked(_read_at)] = {}
    turned: Annotated[Mapping[str, int], checked(_read_turned)] = {}
    show: Flag = True


def read_drawing(data: Any, source: Source) -> DrawingTable:
    """The table [drawing]. Raises DescriptionError."""
    return validate(DrawingTable, data, source, ("drawing",))
