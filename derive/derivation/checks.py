"""The only ways to make a step that claims something.

Enters: lines and the values at random exact points. Leaves: steps, or raises Defect.
Must not know: how the lines came about.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any, Literal

import mpmath

from derive.derivation.records import Step
from derive.errors import Defect
from derive.expression.text import write
from derive.expression.tree import Expr, Infinite, evaluate
from derive.words import Line, Words

EXACT = "equal at three random exact points"
MEASURED = "error measured over the band"
SAID = "no claim"


def equal(
    rule: Words,
    lines: tuple[Line, ...],
    number: Words,
    trials: Sequence[Mapping[Any, Fraction]],
    note: Words = (),
    kind: Literal["law", "equal"] = "equal",
) -> Step:
    """A step of equalities: each line, and each continued line after it, holds exactly at every trial point."""
    for trial in trials:
        left: Any = None
        for line in lines:
            if line.left is not None:
                left = evaluate(line.left, trial)
            right = evaluate(line.right, trial)
            if line.sign != "=" or left != right:
                raise Defect(f"a step does not hold: {_text(line)}")
    return Step(rule, lines, number, EXACT, note, kind)


def to_fifty_digits(
    tree: Expr, formula: Callable[[list[Any]], Any], trials: Sequence[tuple[Mapping[str, Fraction], list[Fraction]]]
) -> None:
    """Raises Defect unless a tree with roots has the formula's value at every trial, to fifty digits.

    Each trial holds the numbers of the tree's symbols and the exact arguments of the formula.
    """
    with mpmath.workdps(60):
        for point, arguments in trials:
            values = {name: _long(value) for name, value in point.items()}
            found = evaluate(tree, {**values, "pi": +mpmath.pi}, {"sqrt": mpmath.sqrt}, _long)
            wanted = formula([_long(argument) for argument in arguments])
            if abs(found - wanted) > abs(wanted) * mpmath.mpf(10) ** -50:
                raise Defect(f"a step does not hold: {write(tree)}")


def _long(value: Fraction) -> Any:
    return mpmath.mpf(value.numerator) / value.denominator


def approximate(rule: Words, lines: tuple[Line, ...], number: Words, error: float, note: Words) -> Step:
    """A step that approximates; ``error`` must have been measured (a number, infinity for an infinite answer)."""
    if not error >= 0:
        raise Defect(f"an approximation without a measured error: {', '.join(_text(line) for line in lines)}")
    return Step(rule, lines, number, MEASURED, note, "approximate")


def remark(rule: Words, number: Words = (), note: Words = ()) -> Step:
    """A line that claims no algebra."""
    return Step(rule, (), number, SAID, note, "remark")


def _text(line: Line) -> str:
    right = "inf" if isinstance(line.right, Infinite) else write(line.right)
    return f"{write(line.left) if line.left is not None else ''} {line.sign} {right}"
