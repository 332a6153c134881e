"""The stated approximations: parsed, their symbols and units checked.

Enters: the description's statements, the circuit's parts and questions. Leaves: Statement records, or a
DescriptionError. Must not know: whether a statement is true, or what it does to an answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from derive.circuit.parts import BOOTSTRAPPED, REMOVABLE
from derive.circuit.records import Part, Path, Question, Statement
from derive.circuit.symbols import symbols_of_all, why_missing
from derive.description.hints import a, quote, suggest
from derive.errors import DescriptionError, ExpressionError
from derive.expression.dimension import VARIABLES, check_relation
from derive.expression.parse import parse_statement
from derive.expression.tree import (
    ZERO,
    Call,
    Expr,
    Infinite,
    Num,
    Relation,
    Sym,
    Volt,
    is_negative,
    symbols,
    walk,
)

if TYPE_CHECKING:
    from derive.description.outline import Description
    from derive.description.schema import AssumeTable


@dataclass(frozen=True)
class _Stater:
    description: Description
    parts: Mapping[str, Part]
    units: Mapping[str, str]
    number: int
    path: Path

    def error(self, key: str, what: str, remedy: str = "") -> DescriptionError:
        return self.description.source.error((*self.path, key), f"statement A{self.number}: {what}", remedy)


def build_statements(
    description: Description, parts: Mapping[str, Part], questions: tuple[Question, ...]
) -> tuple[Statement, ...]:
    """All statements, numbered in the order of the description. Raises DescriptionError."""
    units, names = symbols_of_all(parts.values()), [question.name for question in questions]
    labels: set[str] = set()
    statements = []
    for index, table in enumerate(description.statements):
        stater = _Stater(description, parts, units, index + 1, ("assume", index))
        for name in table.questions:
            if name not in names:
                raise stater.error("for", f"there is no question {name}", suggest(name, names, "question"))
        if table.name is not None:
            if table.name in labels:
                raise stater.error("name", f"another statement is named {quote(table.name)}", "give each its own name")
            labels.add(table.name)
        statements.append(_statement(stater, table))
    return tuple(statements)


def _statement(stater: _Stater, table: AssumeTable) -> Statement:
    if table.that is not None:
        relation, text = _relation(stater, table.that), table.that
    else:
        relation, text = None, _check_parts(stater, table)
    return Statement(
        number=stater.number,
        text=text,
        path=stater.path,
        relation=relation,
        short=table.short,
        open=table.open,
        ideal_bootstrap=table.ideal_bootstrap,
        because=table.because,
        name=table.name,
        questions=table.questions,
    )


def _check_parts(stater: _Stater, table: AssumeTable) -> str:
    """Refuse parts that cannot be shorted, opened or bootstrapped; the words of the statement."""
    bootstrapped = (table.ideal_bootstrap,) if table.ideal_bootstrap is not None else ()
    given = {"ideal_bootstrap": bootstrapped, "short": table.short, "open": table.open}
    key = next(key for key, names in given.items() if names)
    kinds = BOOTSTRAPPED if bootstrapped else REMOVABLE
    for name in given[key]:
        part = stater.parts.get(name)
        if part is None:
            raise stater.error(key, f"there is no part {name}", suggest(name, stater.parts, "part"))
        if part.kind not in kinds:
            raise stater.error(
                key, f"{name} is {a(part.kind)}", f"name {', '.join(map(a, kinds[:-1]))} or {a(kinds[-1])}"
            )
    return f"{key.replace('_', ' ')} {', '.join(given[key])}"


def _relation(stater: _Stater, text: str) -> Relation:
    try:
        relation = parse_statement(text)
    except ExpressionError as error:
        place = f", column {error.column}" if error.column else ""
        raise stater.error("that", f"{quote(text)}{place}: {error.what}", error.remedy) from None
    _check_form(stater, relation)
    _check_symbols(stater, relation)
    try:
        check_relation(relation, stater.units)
    except ExpressionError as error:
        raise stater.error("that", f"{quote(text)}: {error.what}", error.remedy) from None
    return relation


def _check_form(stater: _Stater, relation: Relation) -> None:
    """Limits have one symbol on the left; ratios have positive polynomials on both sides."""
    if relation.op == "=":
        raise stater.error("that", "an equation is not an approximation", "write X >> Y, X << Y, X -> 0 or X -> inf")
    if relation.op == "->":
        if not isinstance(relation.right, Infinite) and relation.right != ZERO:
            raise stater.error("that", "a limit goes to 0 or to inf", "write X -> 0 or X -> inf")
        if not isinstance(relation.left, Sym):
            raise stater.error(
                "that",
                "a limit is on one symbol alone",
                "write it of one symbol, as in ro_Q1 -> inf, or state a ratio with >>",
            )
        return
    for part in (*walk(relation.left), *walk(relation.right)):
        _check_positive(stater, part)
    if not symbols(relation.left) | symbols(relation.right):
        raise stater.error(
            "that", "no symbol stands in the statement", "compare symbols of the circuit, as in R1 >> R2"
        )


def _check_positive(stater: _Stater, part: Expr) -> None:
    if is_negative(part):
        raise stater.error(
            "that", "a difference cannot be compared by >>", "compare sums and products of positive symbols"
        )
    if isinstance(part, Num) and part.value == 0:
        raise stater.error("that", "nothing is large or small beside zero", "for a limit write X -> 0")
    if isinstance(part, Call | Volt):
        name = f"{part.function}(…)" if isinstance(part, Call) else f"v({part.node})"
        raise stater.error("that", f"{name} cannot be compared by >>", "compare sums and products of symbols")


def _check_symbols(stater: _Stater, relation: Relation) -> None:
    found = (part.name for side in (relation.left, relation.right) for part in walk(side) if isinstance(part, Sym))
    for name in found:
        if name in stater.units:
            continue
        if name in VARIABLES:
            what = f"{name} is not a symbol of the circuit, and a statement holds in the whole band"
            raise stater.error("that", what, "compare symbols, or short or open the part")
        reason = why_missing(name, stater.parts)
        if reason is not None:
            raise stater.error("that", *reason)
        raise stater.error("that", f"there is no symbol {name}", suggest(name, stater.units, "symbol"))
