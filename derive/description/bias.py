"""What a description says of its bias point: near which voltages it is to be sought.

Enters: the TOML data of [bias]. Leaves: voltages by node as written, or a DescriptionError.
Must not know: which nodes there are.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from derive.circuit.records import Quantity
from derive.description.complaints import validate
from derive.description.fields import checked
from derive.description.hints import quote
from derive.description.names import read_node
from derive.description.schema import Table
from derive.description.source import Path_, Source
from derive.description.values import WrongValue, read_quantity

_EXAMPLE = 'write it as in near = { out = "5 V" }'


def _read_near(value: object) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise WrongValue(f"{quote(value)} is not a table of voltages", _EXAMPLE)
    if not value:
        raise WrongValue("the table is empty", f"{_EXAMPLE}, or leave it out")
    return value


class BiasTable(Table):
    near: Annotated[dict[str, Any], checked(_read_near)]


def read_bias(data: Any, source: Source) -> Mapping[str, Quantity]:
    """The voltages near which nodes are sought, in volts. Raises DescriptionError."""
    table = validate(BiasTable, data, source, ("bias",))
    return {node: _voltage(node, value, source) for node, value in table.near.items()}


def _voltage(node: str, value: Any, source: Source) -> Quantity:
    path: Path_ = ("bias", "near", node)
    if isinstance(value, dict):
        # TOML reads Q1.drain = "5 V" without quotes as a table Q1.
        inner = next(iter(value), "drain")
        what = f"bias: near.{quote(node)[1:-1]} is not a voltage"
        raise source.error(path, what, f'put a pin in quotes, as in "{quote(f"{node}.{inner}")[1:-1]}" = "5 V"')
    try:
        read_node(node)
        return read_quantity(value, "V", "any")
    except WrongValue as wrong:
        raise source.error(path, f"bias: near.{quote(node)[1:-1]}: {wrong.what}", wrong.remedy) from None
