"""What a description says of its author's own picture of the circuit.

Enters: the TOML data of [scan]. Leaves: a checked table, or a DescriptionError.
Must not know: which parts and nodes there are, what the picture shows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Annotated, Any

from derive.description.complaints import validate
from derive.description.fields import checked
from derive.description.hints import quote
from derive.description.names import check_part_name, read_node
from derive.description.schema import Table
from derive.description.source import Path_, Source
from derive.description.values import WrongValue

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _.\-]{0,99}\.(png|jpg|jpeg)", re.IGNORECASE)

Fraction_ = tuple[float, float]


def _read_image(value: object) -> str:
    """The name of a file, without folders."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not the name of a picture", 'write image = "sheet.png"')
    if "/" in value or "\\" in value or value.startswith("."):
        raise WrongValue(
            f"{quote(value)} leads out of the description's folder", "put the picture beside the description"
        )
    if not NAME.fullmatch(value):
        raise WrongValue(f"{quote(value)} is not the name of a PNG or JPEG picture", 'write image = "sheet.png"')
    return value


def _read_places(value: object) -> Mapping[str, Any]:
    if not isinstance(value, dict) or not value:
        raise WrongValue(f"{quote(value)} is not a table of places", "write nodes = { out = [0.7, 0.4] }")
    return value


class ScanTable(Table):
    image: Annotated[str, checked(_read_image)]
    nodes: Annotated[Mapping[str, Any], checked(_read_places)] = {}
    parts: Annotated[Mapping[str, Any], checked(_read_places)] = {}


def read_scan(data: Any, source: Source) -> ScanTable:
    """The table [scan], each place a pair of fractions. Raises DescriptionError."""
    table = validate(ScanTable, data, source, ("scan",))
    nodes = _places(table.nodes, "nodes", read_node, source)
    parts = _places(table.parts, "parts", _part, source)
    return table.model_copy(update={"nodes": nodes, "parts": parts})


def _part(name: object) -> str:
    check_part_name(str(name))
    return str(name)


def _places(
    written: Mapping[str, Any], key: str, read: Callable[[object], str], source: Source
) -> dict[str, Fraction_]:
    found = {}
    for name, value in written.items():
        path: Path_ = ("scan", key, name)
        if isinstance(value, dict):
            # TOML reads Q1.drain = [0.1, 0.2] without quotes as a table Q1.
            pin = quote(f"{name}.{next(iter(value), 'drain')}")[1:-1]
            what = f"scan: {key}.{quote(name)[1:-1]} is not a place"
            raise source.error(path, what, f'put a pin in quotes, as in "{pin}" = [0.1, 0.2]')
        try:
            found[read(name)] = _place(value)
        except WrongValue as wrong:
            raise source.error(path, f"scan: {key}.{quote(name)[1:-1]}: {wrong.what}", wrong.remedy) from None
    return found


def _place(value: object) -> Fraction_:
    numbers = isinstance(value, list) and len(value) == 2 and all(type(one) in (int, Decimal) for one in value)
    if not numbers or not isinstance(value, list) or not all(0 <= one <= 1 for one in value):
        raise WrongValue(
            f"{quote(value)} is not a place on the picture",
            "write two numbers from 0 to 1: how far from the left and how far from the top, such as [0.35, 0.6]",
        )
    return float(value[0]), float(value[1])
