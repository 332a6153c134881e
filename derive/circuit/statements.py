"""The stated approximations: their parts, their questions, their numbers.

Enters: the description's statements, the circuit's parts and questions. Leaves: Statement records, or a
DescriptionError. Must not know: whether a statement is true, or what it does to an answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.circuit.graphs import supplied_nodes
from derive.circuit.parts import BOOTSTRAPPED, REMOVABLE
from derive.circuit.records import Part, Question, Statement
from derive.circuit.relations import Stater, read_relation
from derive.circuit.symbols import explain_symbol, symbols_of_all
from derive.description.hints import a, quote, suggest

if TYPE_CHECKING:
    from derive.description.outline import Description
    from derive.description.schema import AssumeTable


def build_statements(
    description: Description, parts: Mapping[str, Part], questions: tuple[Question, ...]
) -> tuple[Statement, ...]:
    """All statements, numbered in the order of the description. Raises DescriptionError."""
    units, names = symbols_of_all(parts.values()), [question.name for question in questions]
    labels: set[str] = set()
    statements: list[Statement] = []
    for index, table in enumerate(description.statements):
        stater = Stater(description, parts, units, index + 1, ("assume", index))
        for name in table.questions:
            if name not in names:
                raise stater.error("for", f"there is no question {name}", suggest(name, names, "question"))
        if table.name is not None:
            if table.name in labels:
                raise stater.error("name", f"another statement is named {quote(table.name)}", "give each its own name")
            labels.add(table.name)
        statement = _statement(stater, table)
        _check_opposites(stater, statement, statements)
        statements.append(statement)
    return tuple(statements)


def _statement(stater: Stater, table: AssumeTable) -> Statement:
    if table.that is not None:
        key, relation, text = "that", read_relation(stater, table.that), table.that
    else:
        relation, (key, text) = None, _check_parts(stater, table)
    return Statement(
        number=stater.number,
        text=text,
        path=(*stater.path, key),
        relation=relation,
        short=table.short,
        open=table.open,
        ideal_bootstrap=table.ideal_bootstrap,
        because=table.because,
        name=table.name,
        questions=table.questions,
    )


def _check_opposites(stater: Stater, later: Statement, earlier: list[Statement]) -> None:
    """Refuse a part that is shorted and opened in one and the same question."""
    for other in earlier:
        shares = not later.questions or not other.questions or set(later.questions) & set(other.questions)
        for key, here, there in (("short", later.short, other.open), ("open", later.open, other.short)):
            both = [name for name in here if name in there]
            if both and shares:
                does, did = ("shorts", "opens") if key == "short" else ("opens", "shorts")
                what = f"it {does} {both[0]}, and statement A{other.number} {did} it"
                remedy = "leave one of them out, or give them different questions under for"
                raise stater.error(key, what, remedy)


def _check_parts(stater: Stater, table: AssumeTable) -> tuple[str, str]:
    """Refuse parts that cannot be shorted, opened or bootstrapped; the key and the words of the statement."""
    bootstrapped = (table.ideal_bootstrap,) if table.ideal_bootstrap is not None else ()
    given = {"ideal_bootstrap": bootstrapped, "short": table.short, "open": table.open}
    key = next(key for key, names in given.items() if names)
    kinds = BOOTSTRAPPED if bootstrapped else REMOVABLE
    for name in given[key]:
        part = stater.parts.get(name)
        if part is None:
            symbol = explain_symbol(name, stater.parts, key)
            if symbol is not None:
                raise stater.error(key, *symbol)
            raise stater.error(key, f"there is no part {name}", suggest(name, stater.parts, "part"))
        if part.kind not in kinds:
            raise stater.error(
                key, f"{name} is {a(part.kind)}", f"name {', '.join(map(a, kinds[:-1]))} or {a(kinds[-1])}"
            )
    for name in bootstrapped:
        _check_moves(stater, name)
    return key, f"{key.replace('_', ' ')} {', '.join(given[key])}"


def _check_moves(stater: Stater, name: str) -> None:
    """Refuse a bootstrap of a part with an end that no signal moves."""
    still = supplied_nodes(stater.parts.values())
    for node in stater.parts[name].pins.values():
        if node in still:
            holder = f"held by the supply {still[node]}" if still[node] else "ground"
            what = f"one end of {name} is at {node}, which is {holder}: nothing moves there"
            raise stater.error("ideal_bootstrap", what, "name a part of which both ends can follow the signal")
