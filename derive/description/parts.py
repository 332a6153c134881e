"""One part's line: which kind it is, how its pins are written, what it states.

Enters: the TOML data under a part's name. Leaves: a WrittenPart, its nodes as written.
Must not know: other parts, nets, equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from derive.circuit.parts import KINDS, Kind, Way
from derive.circuit.records import Path, Quantity
from derive.description import later
from derive.description.complaints import validate
from derive.description.hints import a, join_and, nearest, quote
from derive.description.junction import check_junction
from derive.description.names import check_part_name
from derive.description.schema import Table, part_model
from derive.description.source import Source
from derive.description.values import WrongValue
from derive.errors import DescriptionError


@dataclass(frozen=True)
class WrittenPart:
    """A part as written; ``pins`` holds a node, a pin of another part, or None where none is mentioned."""

    name: str
    kind: Kind
    variety: str
    pins: Mapping[str, str | None]
    values: Mapping[str, Quantity]
    mains: bool
    path: Path


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
    _check_way(name, kind, values, source)
    if kind.name == "jfet":
        check_junction(name, variety, values, source)
    return WrittenPart(name, kind, variety, pins, values, bool(_get(table, "mains")), path)


def _get(table: Table, key: str) -> Any:
    return getattr(table, f"key_{key}")


def _kind_of(name: str, line: dict[str, Any], source: Source) -> Kind:
    given = [key for key in line if key in KINDS]
    for key, words in later.KINDS.items():
        if key in line:
            raise source.error(("parts", name, key), f"{name}: {words}")
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


def _check_way(name: str, kind: Kind, values: Mapping[str, Quantity], source: Source) -> None:
    """Refuse a device that is stated in no way, or in two ways at once."""
    if not kind.ways:
        return
    given = [key for key in values if key not in kind.shared]
    fitting = [way for way in kind.ways if set(given) <= way.keys]
    if not fitting:
        raise _mixed(name, kind, given, source)
    if any(set(way.needs) <= set(given) for way in fitting):
        return
    path: Path = ("parts", name)
    if not given:
        choices = "; or ".join(join_and(way.needs) for way in kind.ways)
        raise source.error(path, f"{name}: the operating point is not solved yet", f"state {choices}")
    missing = [key for key in fitting[0].needs if key not in given]
    choices = " or ".join(join_and([key for key in way.needs if key not in given]) for way in fitting)
    raise source.error(path, f"{name} states {join_and(given)} without {join_and(missing)}", f"add {choices}")


def _mixed(name: str, kind: Kind, given: list[str], source: Source) -> DescriptionError:
    """The error for keys that belong to different ways of stating a device."""
    best: Way = max(kind.ways, key=lambda way: len(way.keys & set(given)))
    stray = next(key for key in given if key not in best.keys)
    with_it = [key for key in given if key in best.keys]
    choices = "; or ".join(join_and(way.needs) for way in kind.ways)
    return source.error(
        ("parts", name, stray),
        f"{name}: {stray} does not go together with {join_and(with_it)}",
        f"{a(kind.name)} states {choices}; leave {stray} out",
    )
