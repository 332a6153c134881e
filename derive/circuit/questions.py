"""What is asked, with nodes resolved and the excitation found.

Enters: the description's questions and the circuit's parts. Leaves: Question records, or a DescriptionError.
Must not know: how an answer is found.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.circuit.asker import Asker, find_excitation
from derive.circuit.gains import read_gain
from derive.circuit.parts import BOOTSTRAPPED
from derive.circuit.records import GROUND, Ask, Bootstrap, Impedance, Part, Question, ReturnRatio
from derive.circuit.roads import named_source, read_extra, read_loop
from derive.circuit.symbols import symbols_of_all
from derive.description.hints import a

if TYPE_CHECKING:
    from derive.description.outline import Description
    from derive.description.schema import (
        BootstrapTable,
        ImpedanceTable,
        QuestionTable,
        ReturnRatioTable,
    )


def build_questions(description: Description, parts: Mapping[str, Part]) -> tuple[Question, ...]:
    """All questions, in the order of the description. Raises DescriptionError."""
    nodes = tuple(dict.fromkeys(node for part in parts.values() for node in part.pins.values()))
    taken = {**dict.fromkeys(symbols_of_all(parts.values()), "a symbol"), **dict.fromkeys(parts, "a part")}
    questions = []
    for index, table in enumerate(description.questions):
        asker = Asker(description, parts, nodes, table.name, ("question", index))
        if table.name in taken:
            what = f"the name is already that of {taken[table.name]}"
            raise asker.error(("name",), what, "give each question, part and symbol its own name")
        taken[table.name] = "another question"
        if table.connection is not None or table.stability is not None:
            continue  # comparisons are no ratios: derive.circuit.comparisons
        if table.noise is not None or table.distortion is not None:
            continue  # studies are no ratios: derive.circuit.studies
        certify = description.about.certify if table.certify is None else table.certify
        accuracy = table.accuracy if table.accuracy is not None else description.about.accuracy
        ask, loop, extra = _ask(asker, table), read_loop(asker, table), read_extra(asker, table)
        questions.append(Question(table.name, ask, asker.path, table.within, certify, accuracy, loop, extra))
    return tuple(questions)


def _ask(asker: Asker, table: QuestionTable) -> Ask:
    if table.gain is not None:
        return read_gain(asker, table.gain)
    if table.impedance is not None:
        return _impedance(asker, table.impedance)
    if table.return_ratio is not None:
        return _return_ratio(asker, table.return_ratio)
    assert table.bootstrap is not None
    return _bootstrap(asker, table.bootstrap)


def _impedance(asker: Asker, table: ImpedanceTable) -> Impedance:
    if (table.at is None) == (table.between is None):
        what = "the port is given twice" if table.at else "the port is missing"
        raise asker.error(("impedance",), what, 'write at = "node", or between = ["a", "b"]')
    if table.at is not None:
        plus, minus = asker.node(table.at, ("impedance", "at")), GROUND
    else:
        assert table.between is not None
        plus, minus = (asker.node(text, ("impedance", "between", index)) for index, text in enumerate(table.between))
    if plus == minus:
        what = f"both ends of the port are {plus}"
        raise asker.error(("impedance",), what, "name two different nodes (at looks from a node to ground)")
    for index, name in enumerate(table.without):
        part = asker.part(name, ("impedance", "without", index))
        if part.kind == "supply":
            what = f"{name} is a supply, which cannot be lifted"
            raise asker.error(("impedance", "without", index), what, "leave it out of without")
    return Impedance(plus, minus, table.without)


def _return_ratio(asker: Asker, table: ReturnRatioTable) -> ReturnRatio:
    return ReturnRatio(table.of, named_source(asker, table.of, ("return_ratio", "of")))


def _bootstrap(asker: Asker, table: BootstrapTable) -> Bootstrap:
    part = asker.part(table.part, ("bootstrap", "part"))
    if part.kind not in BOOTSTRAPPED:
        what = f"{part.name} is {a(part.kind)}"
        raise asker.error(("bootstrap", "part"), what, "a bootstrap acts on a resistor, a capacitor or an inductor")
    near = asker.node(table.near, ("bootstrap", "near"))
    first, second = part.pins.values()
    if near not in (first, second):
        what = f"{part.name} does not touch node {near}"
        raise asker.error(("bootstrap", "near"), what, f"near is one of its nodes: {first} or {second}")
    if near == GROUND:
        raise asker.error(("bootstrap", "near"), "the near end is ground", "near is the end that is looked into")
    signal = find_excitation(asker, "bootstrap", table.driven_by, asker.signals(), near)
    return Bootstrap(part.name, near, second if near == first else first, signal.name)
