"""From one line of text to an expression or a relation.

Enters: text of our grammar (grammar.lark). Leaves: trees of derive.expression.tree, or an ExpressionError.
Must not know: which symbols a circuit has, what a relation means.

The tree keeps the brackets that the author wrote; only numbers divided by numbers are folded, and a minus
sign is brought to the front of its product, so that derive.expression.text.write is the exact inverse.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from derive.errors import ExpressionError
from derive.expression.builder import Builder
from derive.expression.limits import DEEPEST_TREE, check_text, check_tree
from derive.expression.tree import (
    Call,
    Expr,
    Infinite,
    Name,
    Parallel,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    Sym,
    children,
    walk,
)

if TYPE_CHECKING:
    from lark import Lark


def parse_expression(text: str, names: Collection[str] = ()) -> Expr:
    """The tree of an expression. Names in ``names`` are read as ``Name``, all others as ``Sym``.

    Raises ExpressionError with column and remedy.

    >>> parse_expression("gm_Q1*R1 || R2")
    Product(factors=(Sym(name='gm_Q1'), Parallel(branches=(Sym(name='R1'), Sym(name='R2')))))
    """
    expr: Expr = _run(text, "expression")
    _refuse_infinite(expr, text)
    check_tree(expr, text)
    return _with_names(expr, frozenset(names)) if names else expr


def parse_statement(text: str) -> Relation:
    """The tree of ``left op right`` with op one of ``>>``, ``<<``, ``->``, ``=``.

    Raises ExpressionError with column and remedy.

    >>> parse_statement("ro_Q2 -> inf")
    Relation(left=Sym(name='ro_Q2'), op='->', right=Infinite())
    """
    relation: Relation = _run(text, "statement")
    _refuse_infinite(relation.left, text)
    if not (relation.op == "->" and isinstance(relation.right, Infinite)):
        _refuse_infinite(relation.right, text)
    check_tree(relation.left, text)
    check_tree(relation.right, text)
    return relation


def _run(text: str, start: str) -> Any:
    from lark.exceptions import UnexpectedInput, VisitError

    check_text(text)
    try:
        return _parser(text).parse(text, start=start)
    except UnexpectedInput as error:
        from derive.expression.faults import explain

        raise explain(text, start, error) from None
    except VisitError as error:
        raise error.orig_exc from None
    except RecursionError:
        # A long row of divisions is a tree as deep as it is long.
        what, remedy = f"the expression is nested more than {DEEPEST_TREE} deep", "write a/(b*c) rather than a/b/c"
        raise ExpressionError(text, None, what, remedy) from None


def _parser(text: str) -> Lark:
    """The one parser, told the text it is about to read (for the columns of its messages)."""
    parser, builder = _build_parser()
    builder.text = text
    return parser


@cache
def _build_parser() -> tuple[Lark, Any]:
    """Build the parser on first use: it costs some 30 ms."""
    from lark import Lark

    builder = Builder()
    grammar = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    parser = Lark(
        grammar,
        parser="lalr",
        start=["expression", "statement"],
        transformer=builder,
        maybe_placeholders=False,
    )
    return parser, builder


def _refuse_infinite(expr: Expr, text: str) -> None:
    if any(isinstance(part, Infinite) for part in walk(expr)):
        found = re.search(r"\binf\b", text)
        raise ExpressionError(
            text,
            found.start() + 1 if found else None,
            "inf stands only by itself to the right of ->",
            "write a limit as ro_Q1 -> inf",
        )


def _with_names(expr: Expr, names: frozenset[str]) -> Expr:
    """The expression with every ``Sym`` of ``names`` read as a ``Name``."""
    if isinstance(expr, Sym):
        return Name(expr.name) if expr.name in names else expr
    if not children(expr):
        return expr
    new = tuple(_with_names(child, names) for child in children(expr))
    match expr:
        case Sum():
            return Sum(new)
        case Product():
            return Product(new)
        case Parallel():
            return Parallel(new)
        case Quotient():
            return Quotient(*new)
        case Power(_, exponent):
            return Power(new[0], exponent)
        case Call(function, _):
            return Call(function, new[0])
    return expr
