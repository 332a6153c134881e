"""What is asked of the circuit as a whole: connections that are cut, stability over a value.

Enters: the description's questions, the circuit's parts. Leaves: records, or a DescriptionError.
Must not know: how an answer is found.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from derive.circuit.asker import Asker
from derive.circuit.graphs import supplied_nodes
from derive.circuit.records import GROUND, Connection, Part, Question, Sweep
from derive.circuit.symbols import controlled_sources
from derive.description.hints import a, quote, suggest

if TYPE_CHECKING:
    from derive.description.outline import Description
    from derive.description.schema import ConnectionTable, QuestionTable, StabilityTable

SWEPT = {"resistance": "resistor", "capacitance": "capacitor", "inductance": "inductor"}
"""The kind of part whose value each key of a sweep is."""
TWO_ENDS = ("resistor", "capacitor", "inductor", "diode")


def build_connections(
    description: Description, parts: Mapping[str, Part], questions: Sequence[Question]
) -> tuple[Connection, ...]:
    """All connections that are cut, in the order of the description. Raises DescriptionError."""
    found = []
    for index, table in enumerate(description.questions):
        if table.connection is not None:
            asker = _asker(description, parts, table, index)
            _refuse_certify(asker, table)
            found.append(_connection(asker, table, table.connection, questions))
    return tuple(found)


def build_sweeps(description: Description, parts: Mapping[str, Part]) -> tuple[Sweep, ...]:
    """All questions about stability, in the order of the description. Raises DescriptionError."""
    found = []
    for index, table in enumerate(description.questions):
        if table.stability is not None:
            asker = _asker(description, parts, table, index)
            _refuse_certify(asker, table)
            if table.within is not None:
                raise asker.error(("within",), "stability has no short form", "leave within out")
            found.append(_sweep(asker, table.name, table.stability))
    return tuple(found)


def _asker(description: Description, parts: Mapping[str, Part], table: QuestionTable, index: int) -> Asker:
    nodes = tuple(dict.fromkeys(node for part in parts.values() for node in part.pins.values()))
    return Asker(description, parts, nodes, table.name, ("question", index))


def _refuse_certify(asker: Asker, table: QuestionTable) -> None:
    if table.certify:
        raise asker.error(("certify",), "there is no approximate answer to certify", "leave certify out")


def _connection(
    asker: Asker, table: QuestionTable, asked: ConnectionTable, questions: Sequence[Question]
) -> Connection:
    part, pin = _pin(asker, asked)
    node = part.pins.get(pin, "")
    key = ("connection", "pin" if asked.pin else "end")
    if part.kind in ("supply", "signal"):
        what = f"{part.name} is {a(part.kind)}, and holding its end at signal ground takes it away"
        raise asker.error(key, what, "name a pin of a device or an end of a part")
    if part.kind == "opamp" and pin == "out":
        what = f"{part.name}.out drives its node, and cannot be held"
        raise asker.error(key, what, "name the part or the pin that follows it")
    if pin and (node == GROUND or node in supplied_nodes(asker.parts.values())):
        raise asker.error(key, f"{part.name}.{pin} is on {node}: at signal ground already", "name a pin that moves")
    names = [question.name for question in questions]
    for index, name in enumerate(asked.compare):
        if name not in names:
            place = ("connection", "compare", index)
            raise asker.error(place, f"there is no question {name} to compare", suggest(name, names, "question"))
    compare = asked.compare or tuple(names)
    loop = _loop(asker, "connection", asked.loop)
    if not compare and loop is None and not controlled_sources(asker.parts.values()):
        what = "there is nothing to compare with and without the connection"
        raise asker.error(("connection",), what, "ask a gain or an impedance beside it")
    return Connection(table.name, part.name, pin, node, compare, loop, asker.path, table.within)


def _pin(asker: Asker, asked: ConnectionTable) -> tuple[Part, str]:
    """The part and the pin that are named, one way or the other; without an end the whole part, "" for a pin."""
    if (asked.pin is None) == (asked.part is None):
        what = "the connection is named twice" if asked.pin else "the connection is not named"
        remedy = 'write pin = "Q2.emitter", part = "C1" (taken out), or with it end = "out" (held at ground)'
        raise asker.error(("connection",), what, remedy)
    if asked.pin is not None:
        if asked.end is not None:
            raise asker.error(("connection", "end"), "a pin has no end", "leave end out")
        name, dot, pin = asked.pin.partition(".")
        if not dot:
            what = f"{quote(asked.pin)} is no pin"
            raise asker.error(("connection", "pin"), what, 'write the part, a dot and the pin, such as "Q2.emitter"')
        part = asker.part(name, ("connection", "pin"))
        if pin not in part.pins:
            remedy = f"its pins are {', '.join(part.pins)}"
            raise asker.error(("connection", "pin"), f"{name} has no pin {pin}", remedy)
        return part, pin
    assert asked.part is not None
    part = asker.part(asked.part, ("connection", "part"))
    if part.kind not in TWO_ENDS:
        example = next(iter(part.pins))
        what = f"{part.name} is {a(part.kind)}, whose connections are its pins"
        raise asker.error(("connection", "part"), what, f'write pin = "{part.name}.{example}"')
    if asked.end is None:
        return part, ""
    first, second = part.pins.values()
    node = asker.node(asked.end, ("connection", "end"))
    if node not in (first, second):
        what = f"{part.name} does not touch node {node}"
        raise asker.error(("connection", "end"), what, f"end is one of its nodes: {first} or {second}")
    return part, next(pin for pin, joined in part.pins.items() if joined == node)


def _sweep(asker: Asker, name: str, asked: StabilityTable) -> Sweep:
    given = [key for key in SWEPT if getattr(asked, key) is not None]
    if len(given) != 1:
        what = f"both {given[0]} and {given[1]} are swept" if given else "no value is swept"
        raise asker.error(("stability",), what, 'write one, such as capacitance = ["10 pF", "10 nF"]')
    key = given[0]
    low, high = getattr(asked, key)
    if (asked.part is None) == (asked.at is None):
        what = "both part and at are given" if asked.part else f"whose {key} is swept is not said"
        remedy = 'write part = "Rs" to change a part, or at = "out" to add one from a node to ground'
        raise asker.error(("stability",), what, remedy)
    loop = _loop(asker, "stability", asked.loop)
    if asked.part is not None:
        part = asker.part(asked.part, ("stability", "part"))
        if part.kind != SWEPT[key]:
            own = next((k for k, kind in SWEPT.items() if kind == part.kind), None)
            remedy = f"write {own} = [ … ]" if own else "name a resistor, a capacitor or an inductor"
            raise asker.error(("stability", key), f"{part.name} is {a(part.kind)}, which has no {key}", remedy)
        return Sweep(name, SWEPT[key], low, high, part.name, None, loop, asker.path)
    assert asked.at is not None
    node = asker.node(asked.at, ("stability", "at"))
    if node == GROUND or node in supplied_nodes(asker.parts.values()):
        raise asker.error(("stability", "at"), f"{node} is signal ground", "name a node that moves")
    return Sweep(name, SWEPT[key], low, high, None, node, loop, asker.path)


def _loop(asker: Asker, key: str, text: str | None) -> str | None:
    """The controlled source that is named."""
    if text is None:
        return None
    sources = controlled_sources(asker.parts.values())
    if text not in sources:
        if f"gm_{text}" in sources:
            raise asker.error((key, "loop"), f"{text} is a part, and a loop belongs to a source", f"write gm_{text}")
        what = f"{quote(text)} is not a controlled source"
        raise asker.error((key, "loop"), what, suggest(text, sources, "controlled source"))
    return text
