"""Words as plain text: for the record, for bookmarks, for terminals.

Enters: words. Leaves: text. Must not know: LaTeX, HTML.
"""

from __future__ import annotations

from derive.expression.text import write, write_relation
from derive.expression.tree import Expr, Infinite, Relation
from derive.numbers import engineering, plain, trimmed
from derive.words import Code, Formula, Inline, Node, Reading, Strong, Words


def spoken(words: Words) -> str:
    """Words as plain text, symbols by their names.

    >>> spoken(("about ", Reading(4700, "Ω", 3, "stated")))
    'about 4.7 kΩ'
    """
    return "".join(_piece(piece) for piece in words)


def spoken_formula(expr: Expr | Relation) -> str:
    """Algebra in the expression grammar; infinity as ``inf``."""
    if isinstance(expr, Relation):
        return write_relation(expr)
    return "inf" if isinstance(expr, Infinite) else write(expr)


def _piece(piece: Inline) -> str:
    match piece:
        case str():
            return piece
        case Formula(expr):
            return spoken_formula(expr)
        case Reading(value, unit, digits, "stated"):
            return str(trimmed(engineering(complex(value).real, unit, digits)))
        case Reading(value, unit, digits):
            return plain(value, unit, digits)
        case Node(text) | Code(text) | Strong(text):
            return text
