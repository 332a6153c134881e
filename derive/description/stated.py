"""A stated value of a part, with the condition under which it holds where it has one.

Enters: one value of the TOML data and its row in the table of kinds. Leaves: a Quantity, or WrongValue.
Must not know: other values, lines.
"""

from __future__ import annotations

import re
from dataclasses import replace

from derive.circuit.kinds import Condition, Value
from derive.circuit.records import Quantity
from derive.description.hints import quote
from derive.description.values import WrongValue, read_quantity

_AT = re.compile(r"\s+at\s+|\s*@\s*")


def read_stated(value: object, row: Value, unit: str) -> Quantity:
    """The quantity in SI base units; ``Quantity.at`` holds what stands behind "at". Raises WrongValue."""
    before, after = _split(value)
    if after is None or not isinstance(value, str):
        quantity = _read(value, unit, row)
        if row.at is not None and row.at.needed:
            raise WrongValue(f"{quote(value)} does not say at which current", _example(row.at))
        return quantity
    if row.at is None:
        raise WrongValue(f"{quote(value)} has a condition, and this value takes none", f"write {quote(before)}")
    if "@" in value:
        raise WrongValue(f"{quote(value)} holds @", _example(row.at))
    quantity = _read(before, unit, row)
    try:
        condition = read_quantity(after, row.at.unit)
    except WrongValue as wrong:
        raise WrongValue(wrong.what, _example(row.at)) from None
    return replace(quantity, text=value.strip(), at=condition)


def _split(value: object) -> tuple[str, str | None]:
    """What stands before and behind the first "at"."""
    if not isinstance(value, str):
        return "", None
    before, *after = _AT.split(value.strip(), maxsplit=1)
    return before, after[0] if after else None


def _read(value: object, unit: str, row: Value) -> Quantity:
    """The value itself; where it takes a condition, an example in a message shows it."""
    try:
        return read_quantity(value, unit, row.sign)
    except WrongValue as wrong:
        shows = row.at is not None and "such as" in wrong.remedy
        raise WrongValue(wrong.what, _example(row.at) if shows and row.at is not None else wrong.remedy) from None


def _example(condition: Condition) -> str:
    return f'write it as in "{condition.example}"'
