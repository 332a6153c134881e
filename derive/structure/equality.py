"""Whether a written form has the value that it should have: exactly, or to fifty digits where it has roots in it.

Enters: a form, points. Leaves: nothing, or raises Defect. Must not know: where forms come from, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import mpmath

from derive.algebra.ring import Ring, evaluate
from derive.errors import Defect
from derive.expression.text import write as write_text
from derive.expression.tree import (
    Call,
    walk,
)
from derive.expression.tree import evaluate as value_of
from derive.forms.trial import points
from derive.structure.factored import Factored
from derive.structure.records import Written


def require_value(ring: Ring, found: Written, factored: Factored) -> None:
    """Raises Defect unless the form has the product's value at random points, to fifty digits."""
    for point in points(ring.names):
        wanted = factored.scale
        for factor, power in factored.factors:
            wanted *= evaluate(factor, ring.values(point, point["s"])) ** power
        if not near(found, point, wanted):
            raise Defect(f"a short form is not equal to its product: {write_text(found.tree)}")


def near(found: Written, point: Mapping[str, Fraction], wanted: Fraction) -> bool:
    """Whether a form has a value at a point: exactly, or to fifty digits where it has roots in it."""
    if not any(isinstance(part, Call) for piece in found.pieces for part in walk(piece.tree)):
        exact: dict[Any, Any] = dict(point)
        for piece in found.pieces:
            exact[piece.name] = value_of(piece.tree, exact)
        return bool(value_of(found.tree, exact) == wanted)
    with mpmath.workdps(70):
        values: dict[Any, Any] = {name: _long(value) for name, value in point.items()}
        for piece in found.pieces:
            values[piece.name] = value_of(piece.tree, values, {"sqrt": mpmath.sqrt}, _long)
        made = value_of(found.tree, values, {"sqrt": mpmath.sqrt}, _long)
        return bool(abs(made - _long(wanted)) <= abs(_long(wanted)) * mpmath.mpf(10) ** -50)


def _long(value: Fraction) -> Any:
    return mpmath.mpf(value.numerator) / value.denominator
