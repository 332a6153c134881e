"""Corner frequencies, f_0 and Q as formulas, for answers of first and second order in s.

Enters: a ratio, its style, the numbers. Leaves: steps, checked to fifty digits. Must not know: LaTeX.

1 + a_1 s has its corner at f = 1/(2 pi a_1); 1 + a_1 s + a_2 s^2 has f_0 = 1/(2 pi sqrt(a_2)) and
Q = sqrt(a_2)/a_1 (M. E. Van Valkenburg, "Analog Filter Design", 1982, chapter 5; from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import inf, log, pi
from typing import Any, TypeAlias

import mpmath

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import evaluate
from derive.algebra.spectrum import Spectrum
from derive.derivation.checks import approximate, to_fifty_digits
from derive.derivation.records import Step
from derive.derivation.wording import percent
from derive.expression.tree import ONE, Call, Expr, Name, Num, Quotient, Sym, product, quotient
from derive.forms.laurent import Style
from derive.forms.present import write
from derive.forms.trial import points
from derive.words import Line, Reading, Words

Roots: TypeAlias = tuple[complex, ...] | None
NEAR = 0.3
"""Error above which an approximate corner is left out: it is no picture of any exact one."""
SHORT = 14.0
"""Cost above which a coefficient makes no readable corner."""
TWO_PI = (Num(Fraction(2)), Sym("pi"))


def corner_steps(
    style: Style, ratio: Ratio, numbers: Mapping[str, Fraction], exact: Spectrum | None = None
) -> tuple[Step, ...]:
    """The corners of the denominator, then of the numerator; nothing for what is too long to read.

    ``exact``: the exact answer where the ratio is an approximate one; each corner is then told with its error
    against the exact root nearest to it, and left out where no root is near.
    """
    made: list[Step] = []
    for side, polynomial, letter in (("pole", ratio.below, ""), ("zero", ratio.above, "z")):
        coefficients = style.ring.by_powers_of_s(polynomial)
        while coefficients and coefficients[0].is_zero():
            coefficients.pop(0)
        # A coefficient that cancels to nothing at these numbers leaves no corner: an ideal balance, an A of one.
        if len(coefficients) in (2, 3) and evaluate(coefficients[0], style.ring.values(numbers, Fraction(0))):
            parts = [lowest_terms(style.ring, c, coefficients[0]) for c in coefficients[1:]]
            if len(parts) == 1 and parts[0].value(numbers) < 0:
                parts = [lowest_terms(style.ring, -coefficients[1], coefficients[0])]
                side += ", in the right half plane"
            roots = None if exact is None else exact.zeros if letter else exact.poles
            made += _steps(style, side, letter, parts, numbers, roots)
    return tuple(made)


def _steps(
    style: Style, side: str, letter: str, parts: list[Ratio], numbers: Mapping[str, Fraction], roots: Roots
) -> list[Step]:
    trees = [write(style, part, SHORT) for part in parts]
    values = [part.value(numbers) for part in parts]
    if any(tree is None for tree in trees) or values[-1] <= 0:
        return []
    first, last = trees[0], trees[-1]
    assert first is not None
    assert last is not None
    if len(parts) == 1:
        tree = _inverse(product(*TWO_PI), first)
        return _step((f"its {side}",), Name(f"f_{letter or 'p'}"), tree, _corner, parts, numbers, "Hz", roots)
    root = Call("sqrt", last)
    centre = Quotient(ONE, product(*TWO_PI, root))
    made = _step((f"frequency of the {side}s",), Name(f"f_0{letter}"), centre, _centre, parts, numbers, "Hz", roots)
    if values[0] > 0 and made:
        quality, name = _over(root, first), Name(f"Q_{letter}" if letter else "Q")
        made += _step(("their quality factor",), name, quality, _quality, parts, numbers, "1", roots)
    return made


def _inverse(outside: Expr, tree: Expr) -> Expr:
    if isinstance(tree, Quotient):
        return Quotient(tree.below, product(outside, tree.above))
    return Quotient(ONE, product(outside, tree))


def _over(above: Expr, below: Expr) -> Expr:
    if isinstance(below, Quotient):
        return quotient(product(above, below.below), below.above)
    return Quotient(above, below)


def _corner(values: list[Any]) -> Any:
    return 1 / (2 * mpmath.pi * values[0])


def _centre(values: list[Any]) -> Any:
    return 1 / (2 * mpmath.pi * mpmath.sqrt(values[1]))


def _quality(values: list[Any]) -> Any:
    return mpmath.sqrt(values[1]) / values[0]


def _step(
    rule: Words,
    name: Name,
    tree: Expr,
    formula: Any,
    parts: list[Ratio],
    numbers: Mapping[str, Fraction],
    unit: str,
    roots: Roots,
) -> list[Step]:
    """The step, checked: the tree has the value of the formula at random points and at the circuit's own numbers."""
    ring = parts[0].ring
    trials = [(point, [part.value(point) for part in parts]) for point in points(ring.names)]
    to_fifty_digits(tree, formula, trials)
    with mpmath.workdps(50):
        arguments = [mpmath.mpf(v.numerator) / v.denominator for v in (p.value(numbers) for p in parts)]
        value = float(formula(arguments))
        centre = value if unit == "Hz" else float(_centre(arguments))
    reading = Reading(value, unit)
    if roots is None:
        return [Step(rule, (Line(name, "=", tree),), (reading,), "equal to fifty digits at three random points")]
    wanted = _exact_value(centre, unit, roots)
    error = abs(value / wanted - 1) if wanted else inf
    if not error <= NEAR:
        return []
    note: Words = ("exact answer ", Reading(wanted, unit), "; error ", *percent(error))
    return [approximate(rule, (Line(name, "≈", tree),), (reading,), error, note)]


def _exact_value(frequency: float, unit: str, roots: tuple[complex, ...]) -> float:
    """Frequency or Q of the exact root nearest to a frequency (in ratio); 0 without any."""
    finite = [root for root in roots if root]
    if not finite:
        return 0.0
    nearest = min(finite, key=lambda root: abs(log(abs(root) / (2 * pi * frequency))))
    if unit == "Hz":
        return abs(nearest) / (2 * pi)
    return abs(nearest) / (2 * abs(nearest.real)) if nearest.real else inf
