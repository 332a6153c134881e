"""From an expression to one line of text: the inverse of derive.expression.parse.

Enters: trees. Leaves: text of our grammar. Must not know: LaTeX, circuits.

Brackets are set where the grammar needs them, and around a parallel inside a product or a power, where a
reader who does not know the order of precedence could go wrong.
"""

from __future__ import annotations

from fractions import Fraction

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

_SUM, _PRODUCT, _PARALLEL, _POWER, _ATOM = range(5)
_LONGEST_DECIMAL = 40


def write(expr: Expr) -> str:
    """The text of an expression: ``parse_expression(write(e)) == e`` for every tree that the parser builds.

    Other trees come back with the same value (a product of minus one and a quotient as a negative quotient).

    >>> write(Product((Sym("gm_Q1"), Parallel((Sym("R1"), Sym("R2"))))))
    'gm_Q1*(R1 || R2)'
    """
    return _plain(expr)[0]


def write_relation(relation: Relation) -> str:
    """The text of a relation, such as ``gm_Q2*Re >> 1``."""
    return f"{write(relation.left)} {relation.op} {write(relation.right)}"


def write_number(value: Fraction) -> str:
    """The exact text of a number: a decimal where it is finite and short, else p/q.

    >>> [write_number(Fraction(text)) for text in ("4700", "0.0000033", "1/3", "1000000")]
    ['4700', '3.3e-6', '1/3', '1e6']
    """
    denominator, twos, fives = value.denominator, 0, 0
    while denominator % 2 == 0:
        denominator, twos = denominator // 2, twos + 1
    while denominator % 5 == 0:
        denominator, fives = denominator // 5, fives + 1
    places = max(twos, fives)
    if denominator != 1 or places > _LONGEST_DECIMAL:
        return f"{value.numerator}/{value.denominator}"
    digits, sign = str(abs(value.numerator) * 10**places // value.denominator), "-" if value < 0 else ""
    significant = digits.rstrip("0") or "0"
    exponent = len(digits) - 1 - places
    if value == 0 or -4 < exponent < 6 or len(significant) >= exponent + 1 > 0:
        return sign + _decimal(digits, places)
    mantissa = significant[0] + ("." + significant[1:] if len(significant) > 1 else "")
    return f"{sign}{mantissa}e{exponent}"


def _decimal(digits: str, places: int) -> str:
    if places == 0:
        return digits
    digits = digits.rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}"


def _plain(expr: Expr) -> tuple[str, int]:
    """The text without outer brackets, and how tightly it holds together."""
    if is_negative(expr):
        positive = negate(expr)
        if not is_negative(positive):
            return "-" + _at(positive, _PRODUCT), _SUM
    match expr:
        case Num(value):
            text = write_number(value)
            return text, _PRODUCT if "/" in text else _ATOM
        case Sym(name) | Name(name):
            return name, _ATOM
        case Volt(node):
            return f"v({node})", _ATOM
        case Infinite():
            return "inf", _ATOM
        case Call(function, argument):
            return f"{function}({_plain(argument)[0]})", _ATOM
        case Power(base, exponent):
            return f"{_at(base, _ATOM)}**{exponent}", _POWER
        case Parallel(branches):
            return " || ".join(_at(branch, _POWER) for branch in branches), _PARALLEL
        case Quotient(above, below):
            return f"{_factor(above, first=True)}/{_factor(below)}", _PRODUCT
        case Product(factors) if factors:
            first = f"({_plain(factors[0])[0]})" if isinstance(factors[0], Product) else _factor(factors[0], first=True)
            return "*".join([first, *map(_factor, factors[1:])]), _PRODUCT
        case Sum(terms) if terms:
            return _first_term(terms[0]) + "".join(map(_later_term, terms[1:])), _SUM
    return ("1" if isinstance(expr, Product) else "0"), _ATOM


def _at(expr: Expr, level: int) -> str:
    """The text, in brackets where it holds together less tightly than ``level``."""
    text, own = _plain(expr)
    return f"({text})" if own < level else text


def _factor(expr: Expr, first: bool = False) -> str:
    """A factor of a product: a quotient may stand first without brackets."""
    text, own = _plain(expr)
    if own == _PARALLEL or own < (_PRODUCT if first else _POWER):
        return f"({text})"
    return text


def _first_term(expr: Expr) -> str:
    return f"({_plain(expr)[0]})" if isinstance(expr, Sum) else _plain(expr)[0]


def _later_term(expr: Expr) -> str:
    if is_negative(expr) and not is_negative(negate(expr)):
        return " - " + _at(negate(expr), _PRODUCT)
    return " + " + _at(expr, _PRODUCT)
