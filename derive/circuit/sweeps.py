"""A sweep that was measured: a file of comma-separated values beside the description.

Enters: the name of the file and what its columns hold. Leaves: measurements, or a DescriptionError.
Must not know: what the circuit's answers are.

Only a file inside the description's own folder is read, and only numbers in it.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from derive.circuit.records import Question
from derive.circuit.wanted import Path, Taken
from derive.description.hints import quote
from derive.description.values import WrongValue
from derive.description.wanted import read_number

if TYPE_CHECKING:
    from derive.circuit.wants import _Builder

LARGEST = 1_000_000
MOST_ROWS = 5000
QUANTITIES = ("magnitude", "phase", "resistance", "capacitance")
WORDS = ("frequency", *QUANTITIES, "uncertainty")
UNITS: dict[str, dict[str, Any]] = {
    "frequency": {"Hz": 1, "kHz": 1000, "MHz": 10**6, "GHz": 10**9},
    "phase": {"°": 1, "deg": 1},
    "resistance": {"Ω": 1, "ohm": 1, "kΩ": 1000, "MΩ": 10**6, "GΩ": 10**9},
    "capacitance": {"F": 1, "µF": Fraction(1, 10**6), "uF": Fraction(1, 10**6), "nF": Fraction(1, 10**9),
                    "pF": Fraction(1, 10**12)},
}  # fmt: skip
RATIO: dict[str, Any] = {"dB": 1, "V/V": 1, "1": 1, "": 1}


@dataclass(frozen=True)
class _Column:
    """``word``: what it holds; ``unit`` as written; ``scale`` to SI (1 for decibels and per cent)."""

    word: str
    unit: str
    scale: Fraction


def read_sweep(builder: _Builder, table: Any, question: Question, path: Path, about: str) -> tuple[Taken, ...]:
    """All measurements of a sweep, a row a frequency. Raises DescriptionError."""
    columns = _columns(builder, table.columns, question, (*path, "columns"), about)
    held = {column.word for column in columns if column is not None}
    error = builder.source.error
    if "frequency" not in held or not held & set(QUANTITIES):
        what = f"{about}: the columns hold no {'frequency' if 'frequency' not in held else 'measured quantity'}"
        raise error((*path, "columns"), what, 'write columns such as ["frequency Hz", "magnitude dB"]')
    single = [key for key in ("frequency", "value", "resistance", "capacitance", "phase") if getattr(table, key)]
    if single:
        raise error((*path, single[0]), f"{about}: both a sweep and {single[0]}", "write another [[bench]] for it")
    if "uncertainty" not in held and table.uncertainty is None:
        what = f"{about}: without an uncertainty nothing can be said of a difference"
        raise error(path, what, 'write uncertainty = "5 %", or add a column of it')
    taken: list[Taken] = []
    for line, row in _rows(builder, table.sweep, (*path, "sweep"), about):
        where = f"{about}: {table.sweep}, line {line}"
        taken += _row(builder, table, question, columns, row, where, path)
    if not taken:
        raise error((*path, "sweep"), f"{about}: {table.sweep} holds no measurement", "a row is frequency, value, …")
    return tuple(taken)


def _columns(
    builder: _Builder, written: tuple[str, ...], question: Question, path: Path, about: str
) -> list[_Column | None]:
    found: list[_Column | None] = []
    for place, text in enumerate(written):
        word, _, unit = text.strip().partition(" ")
        unit = unit.strip()
        if word in ("-", ""):
            found.append(None)
            continue
        known = _units(word, builder, question, path, about)
        if known is None or unit not in known:
            choices = ", ".join(WORDS) if known is None else ", ".join(u for u in known if u)
            what = f"{about}: column {place + 1} is {quote(text)}"
            raise builder.source.error(
                (*path, place), what, f"the {'words' if known is None else f'units of {word}'} are {choices}"
            )
        if any(other is not None and other.word == word for other in found):
            raise builder.source.error((*path, place), f"{about}: two columns hold the {word}", 'write "-" for one')
        found.append(_Column(word, unit, Fraction(known[unit])))
    return found


def _units(word: str, builder: _Builder, question: Question, path: Path, about: str) -> dict[str, Any] | None:
    """The units of a column and what they are worth."""
    if word not in WORDS:
        return None
    if word == "magnitude":
        unit = builder.quantity("magnitude", question, Fraction(1), path, about)
        return UNITS["resistance"] if unit == "Ω" else dict(RATIO)
    if word == "uncertainty":
        merged: dict[str, Any] = {"%": 1, **RATIO}
        for units in UNITS.values():
            merged |= units
        return merged
    builder.quantity(word, question, Fraction(1), path, about)
    return UNITS[word]


def _rows(builder: _Builder, name: str, path: Path, about: str) -> list[tuple[int, list[str]]]:
    """The rows with numbers, with their lines; a first row of words is passed over."""
    text = _text(builder, name, path, about)
    delimiter = ";" if ";" in text and "," not in text.partition("\n")[0] else "," if "," in text else None
    lines = text.splitlines()
    if len(lines) > MOST_ROWS:
        raise builder.source.error(path, f"{about}: {name} has more than {MOST_ROWS} lines", "thin it out")
    found = []
    rows = csv.reader(lines, delimiter=delimiter) if delimiter else (line.split() for line in lines)
    for place, row in enumerate(rows, start=1):
        cells = [cell.strip() for cell in row]
        if not any(cells) or cells[0].startswith("#"):
            continue
        if place == 1 and not any(cell[:1].isdigit() or (cell[:1] in "+-." and cell) for cell in cells if cell):
            continue
        found.append((place, cells))
    return found


def _text(builder: _Builder, name: str, path: Path, about: str) -> str:
    """The text of the file. Nothing outside the description's folder is opened."""
    error = builder.source.error
    description = FilePath(builder.source.name)
    given = FilePath(name)
    inside = "write the name of a file beside the description, or in a folder within its own"
    if name in builder.source.attached:
        return builder.source.attached[name].decode("utf-8-sig", "replace")
    if given.is_absolute() or ".." in given.parts or "\x00" in name:
        raise error(path, f"{about}: {quote(name)} leads out of the description's folder", inside)
    if not description.is_file():
        raise error(path, f"{about}: a description without a file has no folder to read {quote(name)} from", inside)
    folder = description.resolve().parent
    try:
        place = (folder / given).resolve()
        if not place.is_relative_to(folder):
            raise error(path, f"{about}: {quote(name)} leads out of the description's folder", inside)
        if not place.is_file():
            raise error(path, f"{about}: there is no file {quote(name)} beside the description", inside)
        with place.open("rb") as stream:
            raw = stream.read(LARGEST + 1)
    except OSError as fault:
        raise error(path, f"{about}: {quote(name)} cannot be read: {fault.strerror}", inside) from None
    if len(raw) > LARGEST:
        raise error(path, f"{about}: {quote(name)} is larger than 1 MB", "thin it out")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise error(path, f"{about}: {quote(name)} is not text in UTF-8", "save it as such") from None


def _row(
    builder: _Builder, table: Any, question: Question, columns: list[_Column | None], row: list[str], where: str,
    path: Path,
) -> list[Taken]:  # fmt: skip
    error, at = builder.source.error, (*path, "sweep")
    if len(row) < len(columns):
        raise error(at, f"{where}: {len(row)} columns, and {len(columns)} are stated", "state what the file holds")
    numbers: dict[str, Fraction] = {}
    for place, (column, cell) in enumerate(zip(columns, row, strict=False), start=1):
        if column is None:
            continue
        try:
            numbers[column.word] = read_number(float_text(cell), "1") * column.scale
        except WrongValue:
            raise error(at, f"{where}, column {place}: {quote(cell)} is not a number", "write plain numbers") from None
    frequency = numbers["frequency"]
    if frequency < 0:
        raise error(at, f"{where}: the frequency is below zero", "write frequencies in ascending order")
    kept = {column.word: column for column in columns if column is not None}
    taken = []
    for word in QUANTITIES:
        if word not in numbers:
            continue
        quantity = "decibels" if word == "magnitude" and kept[word].unit == "dB" else word
        unit = builder.quantity(quantity, question, frequency, at, where)
        value = numbers[word]
        spread = table.uncertainty
        if "uncertainty" in numbers and (spread is None or _fits(kept["uncertainty"].unit, quantity)):
            size = numbers["uncertainty"]
            relative = kept["uncertainty"].unit == "%"
            spread = f"{float(size)!r} %" if relative else _plain(size, unit)
        taken.append(Taken(quantity, unit, frequency, value, builder.uncertainty(spread, value, unit, at, where)))
    return taken


def _fits(unit: str, quantity: str) -> bool:
    """Whether an uncertainty in this unit can be that of the quantity."""
    if quantity in ("decibels", "phase"):
        return unit in (("dB",) if quantity == "decibels" else ("°", "deg"))
    return unit not in ("dB", "°", "deg")


def _plain(size: Fraction, unit: str) -> str:
    return f"{float(size)!r} {unit}" if unit in ("°", "dB") else repr(float(size))


def float_text(cell: str) -> str:
    """A cell without the plus sign and the blanks that instruments write."""
    return cell.replace(" ", "").lstrip("+") or "nothing"
