"""Variants of a description, each a circuit of its own, and the choice among them.

Enters: TOML data and its Source. Leaves: tables of variants and of the choice; data and sources of whole variants.
Must not know: nets, answers.

A variant writes parts anew (another value, another device, a part more), removes some and shorts others; everything
else is as described. A shorted part is a source of zero volts between its ends.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any

from pydantic import Field

from derive.description.complaints import validate
from derive.description.fields import checked
from derive.description.hints import quote, suggest
from derive.description.schema import LongText, PartNames, Table, Text
from derive.description.source import Path_, Source
from derive.description.values import WrongValue
from derive.errors import DescriptionError

BASE = "as described"
NAME = re.compile(r"[A-Za-z][A-Za-z0-9_\-]{0,23}")
MOST = 12


def _read_parts(value: object) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise WrongValue(f"{quote(value)} is not a table of parts", 'write parts.R1 = { resistor = "1 kΩ", … }')
    return value


def _read_reasons(value: object) -> dict[str, str]:
    if not isinstance(value, dict) or not all(isinstance(words, str) and words.strip() for words in value.values()):
        raise WrongValue(f"{quote(value)} is not a table of words", 'write options = { name = "what speaks for it" }')
    return dict(value)


class VariantTable(Table):
    says: Text | None = None
    parts: Annotated[dict[str, Any], checked(_read_parts)] = Field(default_factory=dict)
    remove: PartNames = ()
    short: PartNames = ()


class ChoiceTable(Table):
    question: LongText
    decision: Text
    because: LongText
    options: Annotated[dict[str, str], checked(_read_reasons)] = Field(default_factory=dict)


@dataclass(frozen=True)
class VariantSource(Source):
    """The source of a variant: parts that it writes anew are found in its own table."""

    variant: str = ""
    written: frozenset[str] = field(default_factory=frozenset)

    def line_of(self, path: Path_) -> int | None:
        if len(path) > 1 and path[0] == "parts" and path[1] in self.written:
            path = ("variant", self.variant, *path)
        return super().line_of(path)

    def error(self, path: Path_, what: str, remedy: str = "") -> DescriptionError:
        return super().error(path, f"variant {self.variant}: {what}", remedy)


@dataclass(frozen=True)
class Variants:
    """``tables`` by the name of the variant; ``choice`` None where none is stated."""

    tables: Mapping[str, VariantTable]
    choice: ChoiceTable | None


def read_variants(data: dict[str, Any], source: Source) -> Variants:
    """The tables of variants and choice. Raises DescriptionError."""
    written = data.get("variant", {})
    if not isinstance(written, dict):
        raise source.error(("variant",), "variant is not a table", "write [variant.NAME]")
    if len(written) > MOST:
        raise source.error(("variant",), f"there are more than {MOST} variants", "write a second description")
    tables = {}
    for name, table in written.items():
        path: Path_ = ("variant", name)
        if not NAME.fullmatch(name):
            what = f"{quote(name)} is no name for a variant"
            raise source.error(path, what, "a letter, then letters, digits, - and _, at most 24")
        found = validate(VariantTable, table, source, path)
        _check(name, found, data, source)
        tables[name] = found
    choice = validate(ChoiceTable, data["choice"], source, ("choice",)) if "choice" in data else None
    if choice is not None:
        known = (BASE, *tables)
        for key, one in (("decision", choice.decision), *((("options"), one) for one in choice.options)):
            if one not in known:
                where: Path_ = ("choice", key) if key == "decision" else ("choice", key, one)
                raise source.error(where, f"choice: there is no variant {quote(one)}", suggest(one, known, "option"))
    return Variants(tables, choice)


def _check(name: str, table: VariantTable, data: dict[str, Any], source: Source) -> None:
    parts = data.get("parts", {})
    path: Path_ = ("variant", name)
    if not table.parts and not table.remove and not table.short:
        raise source.error(
            path, f"variant {name} changes nothing", "write parts.R1 = { … }, remove = […] or short = […]"
        )
    for key in ("remove", "short"):
        for part in getattr(table, key):
            if part not in parts:
                what = f"variant {name}: there is no part {part}"
                raise source.error((*path, key), what, suggest(part, parts, "part"))
            if part in table.parts:
                raise source.error((*path, key), f"variant {name}: {part} is both written anew and gone", "do one")
    for part in table.short:
        if not isinstance(parts[part], dict) or "between" not in parts[part]:
            what = f"variant {name}: {part} has not two ends to short"
            raise source.error((*path, "short"), what, "name a part that is written between two nodes")


def data_of(data: dict[str, Any], table: VariantTable) -> dict[str, Any]:
    """The data of a whole description with a variant's changes."""
    found = copy.deepcopy({key: value for key, value in data.items() if key not in ("variant", "choice")})
    parts = found["parts"]
    for name in table.remove:
        del parts[name]
    for name in table.short:
        parts[name] = {"supply": 0, "between": parts[name]["between"]}
    parts.update(copy.deepcopy(table.parts))
    return found


def source_of(source: Source, name: str, table: VariantTable) -> VariantSource:
    """The source of a variant, whose messages name it."""
    return VariantSource(
        source.name, source.text, source.sha256, source.folder, source.raw, source.attached, name,
        frozenset(table.parts),
    )  # fmt: skip
