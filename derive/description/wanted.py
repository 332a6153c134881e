"""The tables of criteria, of parts to be solved for, of measurements and of chance, each read by itself.

Enters: TOML data of these tables. Leaves: models with values as written, or a DescriptionError.
Must not know: questions, nodes, files.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any

from pydantic import Field

from derive.description.complaints import validate
from derive.description.fields import checked, read_word
from derive.description.hints import quote
from derive.description.schema import LongText, Node, PartName, QuestionName, Table, Text
from derive.description.source import Source
from derive.description.values import WrongValue, read_quantity
from derive.errors import DescriptionError

QUANTITIES = ("magnitude", "decibels", "phase", "resistance", "capacitance")
SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")
MOST_SAMPLES = 1_000_000


def read_count(value: object, least: int, most: int) -> int:
    """A whole number within bounds."""
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise WrongValue(f"{quote(value)} is not a whole number from {least} to {most}", f"write one such as {least}")
    return value


def read_frequency(value: object) -> Fraction:
    """A frequency in Hz; zero is allowed."""
    return read_quantity(value, "Hz", "not negative").value


def read_cover(value: object) -> Fraction:
    """A coverage factor, from 1 to 4."""
    found = read_quantity(value, "1", "count").value
    if not 1 <= found <= 4:
        raise WrongValue(f"{quote(value)} is no coverage factor", "write k = 2, or k = 1 for a standard uncertainty")
    return found


def read_series(value: object) -> str:
    """A series of preferred values."""
    if not isinstance(value, str) or value not in SERIES:
        raise WrongValue(f"{quote(value)} is no series of IEC 60063", f"the series are {', '.join(SERIES)}")
    return value


def read_raw(value: object) -> Any:
    """A value whose unit is known once it is known what it is about."""
    if isinstance(value, bool | dict | list):
        raise WrongValue(f"{quote(value)} is not a value", 'write a number with its unit, such as "1.2 MΩ"')
    return value


def read_columns(value: object) -> tuple[str, ...]:
    """What the columns of a sweep hold, in their order."""
    example = 'write columns = ["frequency Hz", "magnitude dB", "phase °"], "-" for a column that is to be left out'
    if not isinstance(value, list) or not value or not all(isinstance(part, str) for part in value):
        raise WrongValue(f"{quote(value)} does not say what the columns hold", example)
    if len(value) > 40:
        raise WrongValue(f"{len(value)} columns are more than a sweep has", example)
    return tuple(value)


Raw = Annotated[Any, checked(read_raw)]
Quantity_ = Annotated[str, checked(read_word, QUANTITIES, "quantity")]
Frequency = Annotated[Fraction, checked(read_frequency)]


class ToleranceTable(Table):
    samples: Annotated[int, checked(read_count, 1000, MOST_SAMPLES)] = 100_000
    seed: Annotated[int, checked(read_count, 0, 2**31)] = 1
    distribution: Annotated[str, checked(read_word, ("uniform", "normal"), "distribution")] = "uniform"


class CriterionTable(Table):
    of: QuestionName
    name: Text | None = None
    quantity: Quantity_ = "magnitude"
    frequency: Frequency | None = None
    at_least: Raw = None
    at_most: Raw = None


class SolveTable(Table):
    part: PartName
    so_that: QuestionName
    equals: Raw
    quantity: Quantity_ = "magnitude"
    frequency: Frequency | None = None
    series: Annotated[str, checked(read_series)] = "E24"


class MeterTable(Table):
    resistance: Annotated[Any, checked(read_quantity, "Ω")] = None
    capacitance: Annotated[Any, checked(read_quantity, "F")] = None
    at: Node | None = None


class BenchTable(Table):
    of: QuestionName
    name: Text | None = None
    because: LongText | None = None
    frequency: Frequency | None = None
    value: Raw = None
    resistance: Raw = None
    capacitance: Raw = None
    phase: Raw = None
    uncertainty: Raw = None
    k: Annotated[Fraction, checked(read_cover)] = Fraction(2)
    meter: MeterTable | None = None
    sweep: Text | None = None
    columns: Annotated[tuple[str, ...], checked(read_columns)] = Field(default=())


class WantedTables(Table):
    tolerance: ToleranceTable = ToleranceTable()
    criterion: tuple[CriterionTable, ...] = ()
    solve: tuple[SolveTable, ...] = ()
    bench: tuple[BenchTable, ...] = ()


ARRAYS: dict[str, type[Table]] = {"criterion": CriterionTable, "solve": SolveTable, "bench": BenchTable}
KEYS = ("tolerance", *ARRAYS)


def read_wanted(data: dict[str, Any], source: Source) -> WantedTables:
    """All of these tables. ``solve = { … }`` alone is read as one. Raises DescriptionError."""
    found: dict[str, Any] = {}
    if "tolerance" in data:
        found["tolerance"] = validate(ToleranceTable, data["tolerance"], source, ("tolerance",))
    for key, model in ARRAYS.items():
        tables = data.get(key, [])
        single = isinstance(tables, dict)
        if single and key != "solve":
            raise source.error((key,), f"[{key}] has single brackets", f"write [[{key}]]")
        if not single and not isinstance(tables, list):
            raise source.error((key,), f"{key} is not a table", f"write [[{key}]]")
        found[key] = tuple(
            validate(model, table, source, (key,) if single else (key, place))
            for place, table in enumerate([tables] if single else tables)
        )
    return WantedTables.model_construct(**found)


def read_number(value: object, unit: str) -> Fraction:
    """A number in a unit, of any sign: degrees and decibels as well as the units of a description.

    Raises WrongValue.

    >>> read_number("-45°", "°"), read_number("20 dB", "dB"), read_number("1k2", "Ω")
    (Fraction(-45, 1), Fraction(20, 1), Fraction(1200, 1))
    """
    if unit in ("°", "dB"):
        endings = ("°", "deg") if unit == "°" else ("dB",)
        if isinstance(value, str):
            text = value.strip()
            ending = next((e for e in endings if text.endswith(e)), None)
            if ending is None and not text.lstrip("+-").replace(".", "", 1).isdigit():
                raise WrongValue(f"{quote(value)} is not in {_spoken(unit)}", f'write it as "12 {unit}"')
            value = text.removesuffix(ending or "").strip()
        return read_quantity(value, "1", "any").value
    if isinstance(value, str) and unit in ("V/V", "1"):
        value = value.replace("V/V", "").strip()
    return read_quantity(value, "1" if unit == "V/V" else unit, "any").value


def _spoken(unit: str) -> str:
    return "degrees" if unit == "°" else "decibels"


def wrong(source: Source, path: tuple[str | int, ...], about: str, fault: WrongValue) -> DescriptionError:
    """The error for a value that turned out wrong once its unit was known."""
    return source.error(path, f"{about}: {fault.what}", fault.remedy)
