"""The numbers of what stands within a form: 1/gm, parallel combinations, gm R.

Enters: trees, numbers. Leaves: a remark, or nothing. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from derive.derivation.checks import remark
from derive.derivation.records import Step
from derive.expression.tree import Expr
from derive.forms.laurent import Style
from derive.forms.present import Form
from derive.structure.subexpressions import Part, subexpressions
from derive.words import Formula, Inline, Reading

MOST = 6
"""Numbers that are told at most."""


def numbers_of(form: Form | None, style: Style, numbers: Mapping[str, Fraction]) -> tuple[Step, ...]:
    """The remark for a form that can be read; nothing for another, or where nothing within it has a number."""
    if form is None or form.tree is None:
        return ()
    trees = [form.tree, *(c.tree for c in form.coefficients if c.tree is not None)]
    return told(subexpressions(style, [t for t in trees if not _is_named(t, form)], numbers, MOST))


def _is_named(tree: Expr, form: Form) -> bool:
    return form.named and tree == form.tree


def told(parts: Sequence[Part]) -> tuple[Step, ...]:
    """The numbers in one line."""
    words: list[Inline] = []
    for part, value, unit in parts:
        words += [", " if words else "", Formula(part), " = ", Reading(float(value), unit)]
    return (remark(("within it: ", *words)),) if words else ()
