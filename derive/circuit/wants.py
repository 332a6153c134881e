"""Criteria, parts to be solved for and measurements, each held against the questions and parts that are there.

Enters: the description's tables, the parts and the questions. Leaves: Wanted, or a DescriptionError.
Must not know: networks, what the answers are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from derive.circuit.nets import node_of
from derive.circuit.records import Gain, Impedance, Part, Question
from derive.circuit.sweeps import read_sweep
from derive.circuit.wanted import Bench, Chance, Criterion, Meter, Path, Taken, Target, Wanted
from derive.description.hints import a, quote, suggest
from derive.description.values import WrongValue
from derive.description.wanted import read_number, wrong

if TYPE_CHECKING:
    from derive.description.outline import Description

UNITS = {"decibels": "dB", "phase": "°", "resistance": "Ω", "capacitance": "F"}
SOLVABLE = ("resistor", "capacitor", "inductor", "transconductance")


def build_wanted(description: Description, parts: Mapping[str, Part], questions: Sequence[Question]) -> Wanted:
    """Everything that is wanted. Raises DescriptionError."""
    builder = _Builder(description, parts, {question.name: question for question in questions})
    tables = description.wanted
    said = tables.tolerance
    return Wanted(
        tuple(builder.criterion(table, place) for place, table in enumerate(tables.criterion)),
        tuple(builder.target(table, place) for place, table in enumerate(tables.solve)),
        tuple(builder.bench(table, place) for place, table in enumerate(tables.bench)),
        Chance(said.samples, said.seed, said.distribution),  # type: ignore[arg-type]
        tuple(description.variants),
    )


def answer_unit(question: Question) -> str:
    """The unit of a question's answer."""
    match question.ask:
        case Impedance():
            return "Ω"
        case Gain(None, _, _):
            return "Ω"
        case Gain():
            return "V/V"
        case _:
            return "1"


class _Builder:
    def __init__(self, description: Description, parts: Mapping[str, Part], questions: Mapping[str, Question]) -> None:
        self.description, self.parts, self.questions = description, parts, questions
        self.source, self.spot = description.source, description.about.spot

    def question(self, name: str, path: Path, about: str) -> Question:
        if name not in self.questions:
            what = f"{about}: there is no question {name}"
            raise self.source.error(path, what, suggest(name, self.questions, "question"))
        return self.questions[name]

    def quantity(self, name: str, question: Question, frequency: Fraction, path: Path, about: str) -> str:
        """The unit of a quantity of an answer, if it has it."""
        if name in ("resistance", "capacitance") and not isinstance(question.ask, Impedance):
            what = f"{about}: {question.name} is no impedance, and has no {name}"
            raise self.source.error(path, what, "write its magnitude, in decibels if you like, or its phase")
        if name == "capacitance" and not frequency:
            raise self.source.error(path, f"{about}: at 0 Hz no capacitance can be told", "write a frequency")
        return UNITS.get(name, answer_unit(question))

    def number(self, value: Any, quantity: str, unit: str, path: Path, about: str) -> tuple[Fraction, str, str]:
        """A value with its quantity and unit: a magnitude may be written in decibels."""
        if quantity == "magnitude" and unit != "Ω" and isinstance(value, str) and value.strip().endswith("dB"):
            quantity, unit = "decibels", "dB"
        try:
            return read_number(value, unit), quantity, unit
        except WrongValue as fault:
            raise wrong(self.source, path, about, fault) from None

    def criterion(self, table: Any, place: int) -> Criterion:
        path, about = ("criterion", place), f"criterion {place + 1}"
        question = self.question(table.of, (*path, "of"), about)
        frequency = self.spot if table.frequency is None else table.frequency
        if table.at_least is None and table.at_most is None:
            what = f"{about}: it sets no limit"
            raise self.source.error(path, what, "write at_least = … or at_most = …")
        unit = self.quantity(table.quantity, question, frequency, (*path, "quantity"), about)
        limits: dict[str, Fraction] = {}
        units = set()
        for key in ("at_least", "at_most"):
            value = getattr(table, key)
            if value is not None:
                limits[key], quantity, found = self.number(value, table.quantity, unit, (*path, key), about)
                units.add((quantity, found))
        if len(units) > 1:
            raise self.source.error(path, f"{about}: one limit is in decibels and the other is not", "write both alike")
        if len(limits) == 2 and limits["at_least"] > limits["at_most"]:
            raise self.source.error((*path, "at_most"), f"{about}: at_least is above at_most", "exchange them")
        ((quantity, unit),) = units
        name = table.name or f"criterion {place + 1}"
        least, most = limits.get("at_least"), limits.get("at_most")
        return Criterion(name, table.of, quantity, unit, frequency, least, most, path)

    def target(self, table: Any, place: int) -> Target:
        path, about = ("solve", place), f"solve {place + 1}"
        question = self.question(table.so_that, (*path, "so_that"), about)
        part = self.parts.get(table.part)
        if part is None:
            what = f"{about}: there is no part {table.part}"
            raise self.source.error((*path, "part"), what, suggest(table.part, self.parts, "part"))
        if part.kind not in SOLVABLE:
            what = f"{about}: {part.name} is {a(part.kind)}, which has no single value to solve for"
            raise self.source.error((*path, "part"), what, f"name a part of these kinds: {', '.join(SOLVABLE)}")
        frequency = self.spot if table.frequency is None else table.frequency
        unit = self.quantity(table.quantity, question, frequency, (*path, "quantity"), about)
        value, quantity, unit = self.number(table.equals, table.quantity, unit, (*path, "equals"), about)
        if not value and quantity == "magnitude":
            what = f"{about}: a magnitude of zero is met nowhere but at a zero of the answer"
            raise self.source.error((*path, "equals"), what, "write the value that is wanted")
        return Target(table.part, table.so_that, quantity, unit, frequency, value, table.series, path)

    def bench(self, table: Any, place: int) -> Bench:
        path, about = ("bench", place), f"bench {place + 1}"
        question = self.question(table.of, (*path, "of"), about)
        meter = self._meter(table.meter, question, path, about)
        if (table.sweep is None) == (not table.columns):
            taken = read_sweep(self, table, question, path, about) if table.sweep else self._single(
                table, question, path, about
            )  # fmt: skip
        else:
            key = "sweep" if table.sweep else "columns"
            other = "columns" if table.sweep else "sweep"
            raise self.source.error((*path, key), f"{about}: {key} without {other}", f"write {other} = … as well")
        return Bench(table.of, taken, table.k, meter, path, table.name, table.because, table.sweep)

    def _single(self, table: Any, question: Question, path: Path, about: str) -> tuple[Taken, ...]:
        frequency = self.spot if table.frequency is None else table.frequency
        written = {key: getattr(table, key) for key in ("value", "resistance", "capacitance", "phase")}
        written = {key: value for key, value in written.items() if value is not None}
        if not written:
            what = f"{about}: it holds no measurement"
            raise self.source.error(path, what, 'write value = "…", or sweep = "file.csv" with its columns')
        if table.uncertainty is None:
            what = f"{about}: without an uncertainty nothing can be said of a difference"
            raise self.source.error(path, what, 'write uncertainty = "5 %" (expanded, k = 2)')
        found = []
        for key, value in written.items():
            name = "magnitude" if key == "value" else key
            unit = self.quantity(name, question, frequency, (*path, key), about)
            number, quantity, unit = self.number(value, name, unit, (*path, key), about)
            if quantity == "magnitude" and number < 0:
                what = f"{about}: {quote(value)} is negative, and a magnitude is not"
                raise self.source.error((*path, key), what, 'write it without its sign, and phase = "180°" beside it')
            spread = self.uncertainty(table.uncertainty, number, unit, (*path, "uncertainty"), about)
            found.append(Taken(quantity, unit, frequency, number, spread))
        return tuple(found)

    def uncertainty(self, value: Any, of: Fraction, unit: str, path: Path, about: str) -> Fraction:
        """An uncertainty in the unit of the value: as written, or a percentage of it."""
        percentage = isinstance(value, str) and value.strip().endswith("%")
        if percentage and unit in ("°", "dB"):
            what = f"{about}: {quote(value)} of {'an angle' if unit == '°' else 'decibels'} is no uncertainty"
            raise self.source.error(path, what, f'write it in the unit of the value, such as "1 {unit}"')
        try:
            number = read_number(value, "1" if percentage else unit)
        except WrongValue as fault:
            raise wrong(self.source, path, about, fault) from None
        if number <= 0:
            what = f"{about}: {quote(value)} is not greater than zero"
            raise self.source.error(path, what, "no measurement is without uncertainty")
        return number * abs(of) if percentage else number

    def _meter(self, table: Any, question: Question, path: Path, about: str) -> Meter | None:
        if table is None:
            return None
        inner: Path = (*path, "meter")
        if table.resistance is None and table.capacitance is None:
            what = f"{about}: the meter has neither resistance nor capacitance"
            raise self.source.error(inner, what, 'write meter = { resistance = "10 MΩ", capacitance = "15 pF" }')
        ends = self._ends(table.at, question, (*inner, "at"), about)
        values = (None if q is None else q.value for q in (table.resistance, table.capacitance))
        return Meter(*ends, *values)

    def _ends(self, at: str | None, question: Question, path: Path, about: str) -> tuple[str, str]:
        """Where the meter is put: at a stated node, else where the answer is read."""
        ask = question.ask
        if at is not None:
            node = node_of(at, self.description.parts, self.source, path)
            nodes = sorted({node for part in self.parts.values() for node in part.pins.values()})
            if node not in nodes:
                raise self.source.error(path, f"{about}: there is no node {at}", suggest(at, nodes, "node"))
            return node, "gnd"
        if isinstance(ask, Gain):
            return ask.to, "gnd"
        if isinstance(ask, Impedance):
            return ask.plus, ask.minus
        what = f"{about}: where the meter is put is not known for {question.name}"
        raise self.source.error(path[:-1], what, 'write at = "…" in the meter')
