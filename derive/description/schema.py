"""The shape of a description: models of [about], of each kind of part, of questions and statements.

Enters: TOML data of one table. Leaves: a frozen model, its fields read and checked one by one.
Must not know: other tables, nets, lines. How their complaints are worded is told by complaints.py.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, create_model

from derive.circuit.kinds import Kind
from derive.circuit.parts import unit_of
from derive.circuit.records import Quantity
from derive.description.fields import (
    ROOM,
    Temperatures,
    checked,
    read_accuracy,
    read_band,
    read_date,
    read_flag,
    read_mark,
    read_span,
    read_temperatures,
    read_text,
    read_within,
    read_word,
)
from derive.description.names import (
    read_node,
    read_pair,
    read_part_name,
    read_part_names,
    read_question_name,
    read_question_names,
)
from derive.description.stated import read_stated
from derive.description.swings import Swing, read_swing
from derive.description.values import read_quantity

LANGUAGES = ("en",)

Text = Annotated[str, checked(read_text, 200)]
LongText = Annotated[str, checked(read_text, 4000)]
Mark = Annotated[str, checked(read_mark)]
Date = Annotated[str, checked(read_date)]
Node = Annotated[str, checked(read_node)]
Pair = Annotated[tuple[str, str], checked(read_pair)]
PartName = Annotated[str, checked(read_part_name)]
PartNames = Annotated[tuple[str, ...], checked(read_part_names)]
QuestionName = Annotated[str, checked(read_question_name)]
QuestionNames = Annotated[tuple[str, ...], checked(read_question_names)]
Accuracy = Annotated[Fraction, checked(read_accuracy)]
Band = Annotated[tuple[Fraction, Fraction], checked(read_band)]
Temperature = Annotated[Temperatures, checked(read_temperatures)]
Within = Annotated[Fraction, checked(read_within)]
Resistances = Annotated[tuple[Quantity, Quantity], checked(read_span, "Ω")]
Capacitances = Annotated[tuple[Quantity, Quantity], checked(read_span, "F")]
Inductances = Annotated[tuple[Quantity, Quantity], checked(read_span, "H")]
Flag = Annotated[bool, checked(read_flag)]
Spot = Annotated[Fraction, checked(lambda value: read_quantity(value, "Hz", "not negative").value)]


class Table(BaseModel):
    """A table of the description: nothing unknown in it, and nothing changes after reading."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class AboutTable(Table):
    title: Text | None = None
    purpose: LongText | None = None
    author: Text | None = None
    owner: Text | None = None
    approved: Text | None = None
    number: Mark | None = None
    revision: Mark | None = None
    date: Date | None = None
    language: Annotated[str, checked(read_word, LANGUAGES, "language")] = "en"
    temperature: Temperature = (ROOM, None)
    band: Band = (Fraction(20), Fraction(20000))
    spot: Spot = Fraction(1000)
    certify: Flag = False
    accuracy: Accuracy | None = None
    vary: PartNames = ()


class GainTable(Table):
    source: Node = Field(alias="from")
    to: Node
    driven_by: PartName | None = None


class ImpedanceTable(Table):
    at: Node | None = None
    between: Pair | None = None
    without: PartNames = ()


class ReturnRatioTable(Table):
    of: Text


class BootstrapTable(Table):
    part: PartName
    near: Node
    driven_by: PartName | None = None


class ConnectionTable(Table):
    pin: Node | None = None
    part: PartName | None = None
    end: Node | None = None
    compare: QuestionNames = ()
    loop: Text | None = None


class StabilityTable(Table):
    part: PartName | None = None
    at: Node | None = None
    resistance: Resistances | None = None
    capacitance: Capacitances | None = None
    inductance: Inductances | None = None
    loop: Text | None = None


class NoiseTable(Table):
    at: Node
    referred_to: Node | None = None
    source: PartName | None = None
    driven_by: PartName | None = None


class DistortionTable(Table):
    to: Node
    amplitude: Annotated[Swing, checked(read_swing)]
    of: Annotated[str, checked(read_word, ("signal", "output"), "amplitude")] = "signal"
    frequency: Spot | None = None
    driven_by: PartName | None = None


class QuestionTable(Table):
    name: QuestionName
    gain: GainTable | None = None
    impedance: ImpedanceTable | None = None
    return_ratio: ReturnRatioTable | None = None
    bootstrap: BootstrapTable | None = None
    connection: ConnectionTable | None = None
    stability: StabilityTable | None = None
    noise: NoiseTable | None = None
    distortion: DistortionTable | None = None
    within: Within | None = None
    certify: Flag | None = None
    accuracy: Accuracy | None = None
    loop: Text | None = None
    extra: Text | None = None


class AssumeTable(Table):
    that: LongText | None = None
    ideal_bootstrap: PartName | None = None
    short: PartNames = ()
    open: PartNames = ()
    because: LongText | None = None
    name: Text | None = None
    questions: QuestionNames = Field(default=(), alias="for")


class HandTable(Table):
    of: QuestionName
    says: LongText
    name: Text | None = None
    because: LongText | None = None


QUESTIONS = (
    "gain", "impedance", "return_ratio", "bootstrap", "connection", "stability", "noise", "distortion",
)  # fmt: skip
STATEMENTS = ("that", "ideal_bootstrap", "short", "open")


@cache
def part_model(kind: Kind, variety: str) -> type[Table]:
    """The model of one kind of part, drawn from its entry in KINDS. Its fields are ``key_`` and the key."""
    head = kind.head
    read_head = (
        checked(read_quantity, head.unit, head.sign)
        if head
        else checked(read_word, kind.varieties, f"type of {kind.name}")
    )
    shape: dict[str, Any] = {
        f"key_{kind.name}": (Annotated[Any, read_head], Field(alias=kind.name)),
        "key_mains": (Annotated[bool, checked(read_flag)], Field(default=False, alias="mains")),
    }
    for ends in (*kind.ends, *kind.alternatives):
        type_ = Pair if len(ends.pins) == 2 else Node
        shape[f"key_{ends.key}"] = (type_ | None, Field(default=None, alias=ends.key))
    for value in kind.values:
        read_value = checked(read_stated, value, unit_of(kind, value, variety))
        shape[f"key_{value.key}"] = (Annotated[Any, read_value], Field(default=None, alias=value.key))
    if kind.law:
        shape["key_tolerance"] = (_tolerance_model(kind) | None, Field(default=None, alias="tolerance"))
    return create_model(f"{kind.name}_table", __base__=Table, **shape)


def _tolerance_model(kind: Kind) -> type[Table]:
    """The model of a device's tolerances, by the keys of its law."""
    shape: dict[str, Any] = {
        f"key_{key}": (Annotated[Any, checked(read_quantity, "1", "fraction")], Field(default=None, alias=key))
        for key in kind.law
    }
    if kind.together:
        shape["key_together"] = (Annotated[bool, checked(read_flag)], Field(default=True, alias="together"))
    return create_model(f"{kind.name}_tolerance_table", __base__=Table, **shape)
