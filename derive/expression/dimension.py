"""Dimensions of expressions, as exponents of volt, ampere and second.

Enters: an expression and the unit of each symbol. Leaves: its dimension, or an ExpressionError that names
the two terms whose units differ.
Must not know: circuits, values.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from derive.errors import ExpressionError
from derive.expression.text import write, write_relation
from derive.expression.tree import (
    Call,
    Expr,
    Infinite,
    Name,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    Sym,
    Volt,
    is_negative,
    negate,
)

Dimension = tuple[Fraction, Fraction, Fraction]
Units = Mapping[str, str | Dimension]
"""What each name is measured in: a unit of ``UNITS``, or a dimension that has no unit of its own."""


def _dimension(volts: int, amperes: int, seconds: int) -> Dimension:
    return Fraction(volts), Fraction(amperes), Fraction(seconds)


PURE = _dimension(0, 0, 0)
UNITS: Mapping[str, Dimension] = {
    "1": PURE,
    "Ω": _dimension(1, -1, 0),
    "S": _dimension(-1, 1, 0),
    "F": _dimension(-1, 1, 1),
    "H": _dimension(1, -1, 1),
    "V": _dimension(1, 0, 0),
    "A": _dimension(0, 1, 0),
    "1/V": _dimension(-1, 0, 0),
    "A/V²": _dimension(-2, 1, 0),
    "s": _dimension(0, 0, 1),
    "Hz": _dimension(0, 0, -1),
    "rad/s": _dimension(0, 0, -1),
    "1/s": _dimension(0, 0, -1),
    "W": _dimension(1, 1, 0),
}
VARIABLES: Mapping[str, str] = {"s": "rad/s", "w": "rad/s", "f": "Hz", "pi": "1"}
_WORDS = {
    PURE: "a pure number",
    UNITS["Ω"]: "in ohms",
    UNITS["S"]: "in siemens",
    UNITS["F"]: "in farads",
    UNITS["H"]: "in henries",
    UNITS["V"]: "in volts",
    UNITS["A"]: "in amperes",
    UNITS["s"]: "in seconds",
    UNITS["Hz"]: "a frequency",
    UNITS["1/V"]: "in 1/V",
    UNITS["W"]: "in watts",
}


def dimension(expr: Expr, units: Units) -> Dimension:
    """The exponents of (V, A, s). ``units`` maps symbols and names to units; s, w, f and pi are known.

    Raises ExpressionError where terms of a sum, branches in parallel or the argument of a function do not
    fit.

    >>> tuple(map(str, dimension(Product((Sym("gm_Q1"), Sym("R1"))), {"gm_Q1": "S", "R1": "Ω"})))
    ('0', '0', '0')
    """
    match expr:
        case Num():
            return PURE
        case Sym(name) | Name(name):
            return _of_symbol(name, units)
        case Volt():
            return UNITS["V"]
        case Sum(terms):
            return _common(terms, units, expr)
        case Parallel(branches):
            return _common(branches, units, expr)
        case Product(factors):
            result = PURE
            for factor in factors:
                result = _add(result, dimension(factor, units))
            return result
        case Quotient(above, below):
            return _add(dimension(above, units), dimension(below, units), -1)
        case Power(base, exponent):
            return _add(PURE, dimension(base, units), exponent)
        case Call(function, argument):
            return _of_call(function, argument, units)
        case Infinite():
            raise ExpressionError("inf", None, "inf has no unit", "it stands only to the right of ->")
    raise AssertionError(expr)


def check_relation(relation: Relation, units: Mapping[str, str]) -> None:
    """Refuse a relation whose sides have different units; a limit (``->``) has only its left side checked."""
    left = dimension(relation.left, units)
    if relation.op == "->":
        return
    right = dimension(relation.right, units)
    if left != right:
        raise ExpressionError(
            write_relation(relation),
            None,
            _differ(relation.left, left, relation.right, right),
            "both sides need the same unit",
        )


def in_words(dim: Dimension) -> str:
    """A dimension as a sentence has it.

    >>> [in_words(_dimension(*each)) for each in ((1, -1, 0), (0, 0, 0), (-2, 2, 0), (2, -1, 0), (2, -2, 1))]
    ['in ohms', 'a pure number', 'in S²', 'in V²·A⁻¹', 'in Ω²·s']
    """
    if dim in _WORDS:
        return _WORDS[dim]
    volts, amperes, seconds = dim
    powers = [("V", volts), ("A", amperes)]
    if volts == -amperes and volts:
        powers = [("Ω", volts)] if volts > 0 else [("S", -volts)]
    return "in " + "·".join(f"{unit}{_raised(power)}" for unit, power in (*powers, ("s", seconds)) if power)


def _raised(power: Fraction) -> str:
    if power == 1:
        return ""
    return str(power).translate(_RAISED) if power.denominator == 1 else f"^{power}"


_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def _of_symbol(name: str, units: Units) -> Dimension:
    unit = units.get(name) or VARIABLES.get(name)
    if unit is None:
        raise ExpressionError(name, None, f"{name} is not a symbol of this circuit")
    return UNITS[unit] if isinstance(unit, str) else unit


def _of_call(function: str, argument: Expr, units: Units) -> Dimension:
    inner = dimension(argument, units)
    if function == "sqrt":
        return _add(PURE, inner, Fraction(1, 2))
    if function == "log10" and inner != PURE:
        text = write(argument)
        raise ExpressionError(
            f"log10({text})",
            None,
            f"{_short(argument)} is {in_words(inner)}, and log10 needs a pure number",
            "divide it by a quantity of the same unit",
        )
    return inner


def _common(terms: tuple[Expr, ...], units: Units, whole: Expr) -> Dimension:
    """The dimension that all terms share."""
    first = dimension(terms[0], units)
    for term in terms[1:]:
        other = dimension(term, units)
        if other != first:
            raise ExpressionError(
                write(whole),
                None,
                _differ(terms[0], first, term, other),
                "only quantities of one unit can be added or put in parallel",
            )
    return first


def _differ(left: Expr, left_dimension: Dimension, right: Expr, right_dimension: Dimension) -> str:
    return f"{_short(left)} is {in_words(left_dimension)}, {_short(right)} is {in_words(right_dimension)}"


def _short(expr: Expr) -> str:
    text = write(negate(expr) if is_negative(expr) else expr)
    return text if len(text) <= 40 else text[:37] + "…"


def _add(left: Dimension, right: Dimension, times: int | Fraction = 1) -> Dimension:
    return left[0] + times * right[0], left[1] + times * right[1], left[2] + times * right[2]
