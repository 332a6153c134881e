"""The whole description, every table read by itself.

Enters: TOML data and its Source. Leaves: a Description, in which no table is yet held against another.
Must not know: nets, expressions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from derive.circuit.records import Quantity
from derive.description import later
from derive.description.aliases import read_aliases
from derive.description.bias import read_bias
from derive.description.complaints import unknown_key, validate
from derive.description.drawing import DrawingTable, read_drawing
from derive.description.parts import WrittenPart, read_part
from derive.description.scan import ScanTable, read_scan
from derive.description.schema import QUESTIONS, STATEMENTS, AboutTable, AssumeTable, HandTable, QuestionTable
from derive.description.source import Source
from derive.description.variants import read_variants
from derive.description.wanted import KEYS, WantedTables, read_wanted
from derive.errors import DescriptionError

TABLES = (
    "about", "parts", "bias", "question", "assume", "alias", "hand", "drawing", "scan", "variant", "choice", *KEYS,
)  # fmt: skip


@dataclass(frozen=True)
class Description:
    about: AboutTable
    parts: Mapping[str, WrittenPart]
    questions: tuple[QuestionTable, ...]
    statements: tuple[AssumeTable, ...]
    source: Source
    near: Mapping[str, Quantity]
    aliases: Mapping[str, str] = field(default_factory=dict)
    hands: tuple[HandTable, ...] = ()
    drawing: DrawingTable | None = None
    scan: ScanTable | None = None
    wanted: WantedTables = field(default_factory=WantedTables)
    variants: tuple[str, ...] = ()


def read_outline(data: dict[str, Any], source: Source) -> Description:
    """All tables of a description. Raises DescriptionError for the first that is wrong."""
    _check_top(data, source)
    about = validate(AboutTable, data.get("about", {}), source, ("about",), later.ABOUT)
    parts = {name: read_part(name, line, source) for name, line in _parts(data, source).items()}
    questions = tuple(
        _one_of(
            validate(QuestionTable, table, source, ("question", index), later.QUESTION),
            QUESTIONS,
            source,
            ("question", index),
        )
        for index, table in enumerate(_array(data, "question", source))
    )
    statements = tuple(
        _one_of(
            validate(AssumeTable, table, source, ("assume", index), later.ASSUME),
            STATEMENTS,
            source,
            ("assume", index),
        )
        for index, table in enumerate(_array(data, "assume", source))
    )
    if not questions:
        raise DescriptionError(
            source.name,
            None,
            "the description asks no question",
            'add [[question]] with a name and what is asked, such as gain = { from = "in", to = "out" }',
        )
    variants = tuple(read_variants(data, source).tables)
    near = read_bias(data["bias"], source) if "bias" in data else {}
    aliases = read_aliases(data["alias"], source) if "alias" in data else {}
    hands = tuple(
        validate(HandTable, table, source, ("hand", index)) for index, table in enumerate(_array(data, "hand", source))
    )
    drawing = read_drawing(data["drawing"], source) if "drawing" in data else None
    scan = read_scan(data["scan"], source) if "scan" in data else None
    wanted = read_wanted(data, source)
    return Description(
        about, parts, questions, statements, source, near, aliases, hands, drawing, scan, wanted, variants
    )


def _check_top(data: dict[str, Any], source: Source) -> None:
    for key, value in data.items():
        if key in later.TABLES:
            raise source.error((key,), later.TABLES[key])
        if key not in TABLES:
            raise unknown_key(source, (key,), value, TABLES, "")


def _parts(data: dict[str, Any], source: Source) -> dict[str, Any]:
    parts = data.get("parts", {})
    if not isinstance(parts, dict):
        raise source.error(("parts",), "parts is not a table", "write [parts], then one line a part")
    if not parts:
        raise DescriptionError(
            source.name,
            source.line_of(("parts",)),
            "the description has no parts",
            'add [parts], then lines such as R1 = { resistor = "1 kΩ", between = ["a", "gnd"] }',
        )
    return parts


def _array(data: dict[str, Any], key: str, source: Source) -> list[Any]:
    tables = data.get(key, [])
    if not isinstance(tables, list):
        raise source.error((key,), f"[{key}] has single brackets", f"write [[{key}]]")
    return tables


def _one_of(table: Any, keys: tuple[str, ...], source: Source, path: tuple[str | int, ...]) -> Any:
    """The table, if it has exactly one of the keys."""
    given = [key for key in keys if getattr(table, key)]
    if len(given) != 1:
        what = f"says both {given[0]} and {given[1]}" if given else f"says none of {', '.join(keys)}"
        sort = "the question" if path[0] == "question" else "the statement"
        raise source.error(
            (*path, given[1]) if given else path, f"{sort} {what}", f"write exactly one of {', '.join(keys)}"
        )
    return table
