"""Parts of a form that have a number of their own: 1/gm, parallel combinations, sums, gm R.

Enters: trees. Leaves: parts with their numbers. Must not know: how the trees were found, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from derive.expression.tree import ONE, Call, Expr, Name, Parallel, Product, Quotient, Sum, Sym, symbols, walk
from derive.expression.tree import evaluate as value_of
from derive.forms.laurent import Style
from derive.structure.units import unit_of, with_betas

SHORT = 8.0
"""Cost of a part above which its number is not worth the room that it takes to name it."""
Part = tuple[Expr, Fraction, str]
"""A part of a form, its number, its unit."""


def subexpressions(style: Style, trees: Sequence[Expr], numbers: Mapping[str, Fraction], most: int) -> tuple[Part, ...]:
    """At most ``most`` parts worth a number, in the order of reading; whole trees have theirs beside them already."""
    values = with_betas(numbers)
    known = set(trees)
    made: dict[Expr, Part] = {}
    for tree in trees:
        for part in walk(tree):
            if part in known or part in made or not _is_telling(part, style):
                continue
            if not symbols(part) <= values.keys() or any(isinstance(p, Name | Call) for p in walk(part)):
                continue
            unit = unit_of(style, part)
            if unit is not None and style.cost(part) <= SHORT:
                made[part] = (part, Fraction(value_of(part, values)), unit)
    return tuple(list(made.values())[:most])


def _is_telling(part: Expr, style: Style) -> bool:
    """Whether a part's number helps: what a reader would work out first to see what is large and what is small."""
    match part:
        case Sym(name):
            return name.startswith("beta_")
        case Quotient(above, Sym()) if above == ONE:
            return True
        case Parallel():
            return True
        case Sum(terms):
            # One plus something small says itself when the number of the rest is told.
            return ONE not in terms
        case Quotient(above, _) if above == ONE:
            # The number of what is below says it.
            return False
        case Product() | Quotient():
            return bool(symbols(part)) and unit_of(style, part) == "1"
        case _:
            return False
