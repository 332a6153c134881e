"""What a statement relates: parsed, its form, its symbols and units checked.

Enters: the text of a statement, the circuit's symbols. Leaves: a Relation, or a DescriptionError.
Must not know: other statements, whether it is true.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from derive.circuit.records import Part, Path
from derive.circuit.symbols import QUANTITIES, why_missing
from derive.description.hints import a, quote, suggest
from derive.errors import DescriptionError, ExpressionError
from derive.expression.dimension import VARIABLES, check_relation
from derive.expression.parse import parse_statement
from derive.expression.tree import (
    ZERO,
    Call,
    Expr,
    Infinite,
    Name,
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


@dataclass(frozen=True)
class Stater:
    """One statement's view of the circuit, for messages that name the statement."""

    description: Description
    parts: Mapping[str, Part]
    units: Mapping[str, str]
    number: int
    path: Path

    def error(self, key: str, what: str, remedy: str = "") -> DescriptionError:
        return self.description.source.error((*self.path, key), f"statement A{self.number}: {what}", remedy)


def read_relation(stater: Stater, text: str) -> Relation:
    """The relation that a statement writes. Raises DescriptionError."""
    try:
        relation = parse_statement(text)
    except ExpressionError as error:
        place = f", column {error.column}" if error.column else ""
        raise stater.error("that", f"{quote(text)}{place}: {error.what}", error.remedy) from None
    devices = _devices(stater, relation)
    if devices is not None:
        return devices
    _check_form(stater, relation)
    _check_symbols(stater, relation)
    try:
        check_relation(relation, stater.units)
    except ExpressionError as error:
        raise stater.error("that", f"{quote(text)}: {error.what}", error.remedy) from None
    return relation


def _devices(stater: Stater, relation: Relation) -> Relation | None:
    """The relation between the names of two devices of one kind that are said to be alike; None for any other."""
    if relation.op != "=" or not (isinstance(relation.left, Sym) and isinstance(relation.right, Sym)):
        return None
    names = relation.left.name, relation.right.name
    parts = [stater.parts[name] for name in names if name in stater.parts]
    if len(parts) < 2 or any(part.kind not in QUANTITIES for part in parts):
        return None
    if parts[0].kind != parts[1].kind:
        what = f"{names[0]} is {a(parts[0].kind)} and {names[1]} {a(parts[1].kind)}"
        raise stater.error("that", what, "only devices of one kind are alike; write which symbols are")
    if names[0] == names[1]:
        raise stater.error("that", f"{names[0]} is compared with itself", "name two different devices")
    return Relation(Name(names[0]), "=", Name(names[1]))


def _check_form(stater: Stater, relation: Relation) -> None:
    """Limits have one symbol on the left; ratios and equalities have positive polynomials on both sides."""
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
        _check_positive(stater, part, relation.op)
    if not symbols(relation.left) | symbols(relation.right):
        raise stater.error(
            "that", "no symbol stands in the statement", "compare symbols of the circuit, as in R1 >> R2"
        )


def _check_positive(stater: Stater, part: Expr, op: str) -> None:
    if is_negative(part):
        raise stater.error(
            "that", f"a difference cannot be compared by {op}", "compare sums and products of positive symbols"
        )
    if isinstance(part, Num) and part.value == 0:
        raise stater.error("that", "nothing is large or small beside zero", "for a limit write X -> 0")
    if isinstance(part, Call | Volt):
        name = f"{part.function}(…)" if isinstance(part, Call) else f"v({part.node})"
        raise stater.error("that", f"{name} cannot be compared by {op}", "compare sums and products of symbols")


def _check_symbols(stater: Stater, relation: Relation) -> None:
    found = (part.name for side in (relation.left, relation.right) for part in walk(side) if isinstance(part, Sym))
    for name in found:
        if name in stater.units:
            continue
        if name in VARIABLES:
            _check_variable(stater, name, relation.op)
            continue
        reason = why_missing(name, stater.parts)
        if reason is not None:
            raise stater.error("that", *reason)
        raise stater.error("that", f"there is no symbol {name}", suggest(name, stater.units, "symbol"))


def _check_variable(stater: Stater, name: str, op: str) -> None:
    """Frequency stands in a ratio, as w or f; s does not, being complex."""
    if op in (">>", "<<"):
        if name == "s":
            what = "s is not a symbol of the circuit, and being complex it is neither large nor small"
            raise stater.error("that", what, "write w, the magnitude of s, or f")
        return
    if name == "pi" and op == "=":
        return
    what = f"{name} is not a symbol of the circuit, and a statement holds in the whole band"
    remedy = f"state a ratio, as in {'f' if name == 'f' else 'w'} << 1/(R1*C1)"
    raise stater.error("that", what, remedy if name != "pi" else "compare symbols of the circuit")
