"""Between expression trees and polynomials.

Enters: a tree over symbols (``beta_X`` stands for gm_X·rpi_X, ``||`` for parallel), or a polynomial.
Leaves: the other. Must not know: numbers of the symbols, how a form is chosen, LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.errors import ExpressionError
from derive.expression.tree import (
    Call,
    Expr,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    product,
    total,
)

MOST_TERMS = 500
MOST_POWER = 4
"""Limits on what is multiplied out, so that no statement takes longer than a blink."""


def ratio_of(expr: Expr, ring: Ring) -> Ratio:
    """The expression as a ratio in lowest terms. Raises ExpressionError for what is not rational."""
    above, below = _pair(expr, ring)
    try:
        return lowest_terms(ring, above, below)
    except ZeroDivisionError:
        raise ExpressionError("", None, "the expression divides by zero") from None


def _pair(expr: Expr, ring: Ring) -> tuple[Polynomial, Polynomial]:
    above, below = _multiplied_out(expr, ring)
    if max(len(above.to_dict()), len(below.to_dict())) > MOST_TERMS:
        what = f"multiplied out it has more than {MOST_TERMS} terms"
        raise ExpressionError("", None, what, "write it with fewer sums")
    return above, below


def _multiplied_out(expr: Expr, ring: Ring) -> tuple[Polynomial, Polynomial]:
    match expr:
        case Num(value):
            return ring.one * value.numerator, ring.one * value.denominator
        case Sym(name):
            return _symbol(name, ring), ring.one
        case Sum(parts):
            above, below = ring.zero, ring.one
            for part in parts:
                a, b = _pair(part, ring)
                above, below = above * b + a * below, below * b
            return above, below
        case Product(parts):
            above, below = ring.one, ring.one
            for part in parts:
                a, b = _pair(part, ring)
                above, below = above * a, below * b
            return above, below
        case Quotient(upper, lower):
            (a, b), (c, d) = _pair(upper, ring), _pair(lower, ring)
            return a * d, b * c
        case Power(base, exponent):
            a, b = _pair(base, ring)
            if exponent < 0:
                a, b, exponent = b, a, -exponent
            if exponent > MOST_POWER and max(len(a.to_dict()), len(b.to_dict())) > 1:
                raise ExpressionError("", None, f"a sum is raised to a power above {MOST_POWER}", "multiply it out")
            return a**exponent, b**exponent
        case Parallel(branches):
            above, below = ring.zero, ring.one
            for branch in branches:
                a, b = _pair(branch, ring)
                above, below = above * a + b * below, below * a
            return below, above
        case Call(function, _):
            raise ExpressionError("", None, f"{function}() does not fit here: only sums, products and quotients do")
        case _:
            raise ExpressionError("", None, "this is not an expression in the circuit's symbols")


def _symbol(name: str, ring: Ring) -> Polynomial:
    if name in ring.index:
        return ring.generator(name)
    if name.startswith("beta_"):
        owner = name.removeprefix("beta_")
        return ring.generator(f"gm_{owner}") * ring.generator(f"rpi_{owner}")
    raise ExpressionError("", None, f"{name} is not a symbol of this circuit")


def monomial_tree(ring: Ring, exponents: Exponents, coefficient: int = 1) -> Expr:
    """A product of symbols with their powers, in the ring's order (s first)."""
    factors: list[Expr] = [Num(Fraction(coefficient))]
    for name, exponent in zip(ring.names, exponents, strict=True):
        if exponent:
            factors.append(Sym(name) if exponent == 1 else Power(Sym(name), exponent))
    return product(*factors)


def polynomial_tree(ring: Ring, polynomial: Polynomial) -> Expr:
    """The plain sum of its terms, lowest power of s first."""
    found = sorted(terms(polynomial), key=lambda t: (t[0][0], tuple(-e for e in t[0][1:])))
    return total(*(monomial_tree(ring, exponents, coefficient) for exponents, coefficient in found))
