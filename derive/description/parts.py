"""One part's line: which kind it is, how its pins are written, what it states.

Enters: the TOML data under a part's name. Leaves: a WrittenPart, its nodes as written.
Must not know: other parts, nets, equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from derive.circuit.kinds import Kind
from derive.circuit.parts import KINDS
from derive.circuit.records import Path, Quantity
from derive.description import later
from derive.description.complaints import validate
from derive.description.hints import a, nearest, quote, suggest
from derive.description.laws import check_law
from derive.description.names import check_part_name
from derive.description.schema import Table, part_model
from derive.description.source import Source
from derive.description.values import WrongValue
from derive.description.ways import check_ways


@dataclass(frozen=True)
class WrittenPart:
    """A part as written; ``pins`` holds a node, a pin of another part, or None where none is mentioned.

    ``tolerances`` and ``together`` as in derive.circuit.records.Part.
    """

    name: str
    kind: Kind
    variety: str
    pins: Mapping[str, str | None]
    values: Mapping[str, Quantity]
    mains: bool
    path: Path
    tolerances: Mapping[str, Quantity]
    together: bool


def read_part(name: str, line: Any, source: Source) -> WrittenPart:
    """The part of one line. Raises DescriptionError."""
    path: Path = ("parts", name)
    try:
        check_part_name(name)
    except WrongValue as wrong:
        raise source.error(path, wrong.what, wrong.remedy) from None
    if not isinstance(line, dict):
        raise source.error(
            path,
            f"{name} = {quote(line)} does not say what the part is",
            f'write it as in {name} = {{ resistor = "1 kΩ", between = ["a", "b"] }}',
        )
    kind = _kind_of(name, line, source)
    word = line[kind.name] if kind.varieties else ""
    variety = word if isinstance(word, str) and word in kind.varieties else ""
    table = validate(part_model(kind, variety), line, source, path, {**later.PART, **dict(kind.later)})
    pins = _pins_of(name, kind, table, source)
    values = _values_of(kind, table)
    check_ways(name, kind, values, source)
    check_law(name, kind.name, variety, values, source)
    tolerances, together = _tolerances_of(name, kind, table, values, source)
    return WrittenPart(
        name, kind, variety, pins, values, bool(_get(table, "mains")), path, tolerances, together
    )  # fmt: skip


def _get(table: Table, key: str) -> Any:
    return getattr(table, f"key_{key}")


def _kind_of(name: str, line: dict[str, Any], source: Source) -> Kind:
    given = [key for key in line if key in KINDS]
    if len(given) == 1:
        return KINDS[given[0]]
    path: Path = ("parts", name, *given[1:2])
    if given:
        raise source.error(path, f"{name} is said to be {a(given[0])} and {a(given[1])}", "a part has one kind")
    for key in line:
        match = nearest(key, KINDS)
        if match is not None:
            raise source.error(
                (*path, key), f"{name}: unknown key {quote(key)}", f"the nearest kind of part is {match}"
            )
    raise source.error(path, f"{name} does not say what kind of part it is", f"add one of {', '.join(KINDS)}")


def _pins_of(name: str, kind: Kind, table: Table, source: Source) -> dict[str, str | None]:
    """The pins in the order of the kind, each as written."""
    path: Path = ("parts", name)
    written = {ends.key: _get(table, ends.key) for ends in (*kind.ends, *kind.alternatives)}
    other = next((ends for ends in kind.alternatives if written[ends.key] is not None), None)
    if other is not None:
        both = next((ends for ends in kind.ends if written[ends.key] is not None), None)
        if both is not None:
            raise source.error((*path, both.key), f"{name} says both {other.key} and {both.key}", "write one of them")
        return {"first": written[other.key], "second": "gnd"}
    pins: dict[str, str | None] = {}
    for ends in kind.ends:
        nodes = written[ends.key]
        if len(ends.pins) == 2 and nodes is None:
            choices = " or ".join([f'{ends.key} = ["a", "b"]', *(f'{one.key} = "a"' for one in kind.alternatives)])
            raise source.error(path, f"{name} does not say what it joins", f"write {choices}")
        pins.update(zip(ends.pins, nodes if len(ends.pins) == 2 else (nodes,), strict=True))
    return pins


def _values_of(kind: Kind, table: Table) -> dict[str, Quantity]:
    values = {kind.head.record_name: _get(table, kind.name)} if kind.head else {}
    values.update({value.record_name: _get(table, value.key) for value in kind.values})
    return {key: value for key, value in values.items() if value is not None}


def _tolerances_of(
    name: str, kind: Kind, table: Table, values: Mapping[str, Quantity], source: Source
) -> tuple[dict[str, Quantity], bool]:
    """The tolerances of a device, each of a value that it states, and whether those of its channel move as one."""
    written = _get(table, "tolerance") if kind.law else None
    if written is None:
        return {}, True
    found = {key: _get(written, key) for key in kind.law if _get(written, key) is not None}
    path: Path = ("parts", name, "tolerance")
    for key in found:
        if key not in values:
            what = f"{name} has a tolerance of {key}, and states no {key}"
            raise source.error((*path, key), what, suggest("", [one for one in kind.law if one in values], "value"))
    if not found:
        first = next((key for key in kind.law if key in values), kind.law[0])
        raise source.error(path, f"{name}: the table of tolerances names no value", f'write {first} = "10 %" in it')
    return found, _get(written, "together") if kind.together else True
