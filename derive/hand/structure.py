"""The parts of which the right answer is made, as it is printed.

Enters: the matter. Leaves: trees. Must not know: formulas by hand, LaTeX.
"""

from __future__ import annotations

from derive.expression.tree import Expr, Name, Num, walk
from derive.forms.present import present
from derive.hand.matter import Matter

MOST_PARTS = 40
LONGEST = 400


def structure(matter: Matter) -> list[Expr]:
    """The parts of the answer's printed form, without those that hold named coefficients."""
    ratio = matter.exact.ratio
    if ratio is None or sum(ratio.counts) > LONGEST:
        return []
    form = present(matter.style, ratio)
    trees = [tree for tree in (form.tree, *(c.tree for c in form.coefficients)) if tree is not None]
    found: dict[Expr, None] = {}
    for tree in trees:
        for part in walk(tree):
            if not isinstance(part, Num) and not any(isinstance(inner, Name) for inner in walk(part)):
                found[part] = None
    return list(found)[:MOST_PARTS]
