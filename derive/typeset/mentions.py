"""Which symbols, nodes and questions a document mentions.

Enters: a ``Document``. Leaves: the ``Spelling`` of its sheet. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from derive.document.records import Document, Picture
from derive.expression.tree import Expr, Name, Relation, Sym, Volt, walk
from derive.typeset.nomenclature import VARIABLES
from derive.typeset.spelling import Spelling
from derive.words import Formula, Line


def spelling_of(
    document: Document, symbols: Iterable[str] = (), devices: Iterable[str] = (), words: Iterable[str] = ()
) -> Spelling:
    """The one spelling of a document's symbols, for whichever medium."""
    found, nodes, names = atoms_of(_expressions(document))
    drawn = {p.part.name for block in document.blocks if isinstance(block, Picture) for p in block.drawing.parts}
    return Spelling.of({*symbols, *found, *drawn}, devices, nodes, names, words)


def _expressions(record: Any) -> Iterator[Expr]:
    """All expressions of a document, wherever they stand."""
    match record:
        case Formula(Relation(left, _, right)):
            yield from (left, right)
        case Formula() if not isinstance(record.expr, Relation):
            yield record.expr
        case Line(left, _, right):
            yield from (left, right) if left is not None else (right,)
        case tuple():
            for part in record:
                yield from _expressions(part)
        case _ if is_dataclass(record):
            for entry in fields(record):
                yield from _expressions(getattr(record, entry.name))


def atoms_of(exprs: Iterable[Expr]) -> tuple[set[str], set[str], set[str]]:
    """The names of symbols, of nodes and of questions in expressions."""
    symbols: set[str] = set()
    nodes: set[str] = set()
    names: set[str] = set()
    for expr in exprs:
        for part in walk(expr):
            match part:
                case Sym(name):
                    if name not in VARIABLES:
                        symbols.add(name)
                case Volt(node):
                    nodes.add(node)
                case Name(name):
                    names.add(name)
    return symbols, nodes, names
