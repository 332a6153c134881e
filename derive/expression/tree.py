"""Expressions as immutable trees: what the grammar reads, what the forms are written in.

Enters: nothing but numbers and names. Leaves: trees, with exact evaluation.
Must not know: circuits, TOML, LaTeX. A symbol is a name here; what it stands for is told by the
symbol table of a network, how it looks by the typesetter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeAlias


@dataclass(frozen=True, slots=True)
class Num:
    """An exact number."""

    value: Fraction


@dataclass(frozen=True, slots=True)
class Sym:
    """A symbol of the circuit (``R1``, ``gm_Q1``) or one of the variables ``s``, ``w``, ``f``, ``pi``."""

    name: str


@dataclass(frozen=True, slots=True)
class Volt:
    """The small-signal voltage of a node against ground."""

    node: str


@dataclass(frozen=True, slots=True)
class Name:
    """The name of a question, or of a coefficient that a derivation introduces (``A``, ``Zin``, ``tau_1``)."""

    name: str


@dataclass(frozen=True, slots=True)
class Sum:
    terms: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Product:
    """A product; a leading ``Num(-1)`` is a minus sign."""

    factors: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Quotient:
    above: Expr
    below: Expr


@dataclass(frozen=True, slots=True)
class Power:
    base: Expr
    exponent: int


@dataclass(frozen=True, slots=True)
class Parallel:
    """Branches in parallel: the reciprocal of the sum of reciprocals."""

    branches: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Call:
    """``sqrt``, ``log10`` or ``abs`` of an expression."""

    function: str
    argument: Expr


@dataclass(frozen=True, slots=True)
class Infinite:
    """``inf``, which stands only to the right of ``->``."""


Expr: TypeAlias = Num | Sym | Volt | Name | Sum | Product | Quotient | Power | Parallel | Call | Infinite


@dataclass(frozen=True, slots=True)
class Relation:
    """``left op right`` with op one of ``>>``, ``<<``, ``->``, ``=``."""

    left: Expr
    op: str
    right: Expr


ZERO, ONE, MINUS_ONE = Num(Fraction(0)), Num(Fraction(1)), Num(Fraction(-1))
S = Sym("s")


def children(expr: Expr) -> tuple[Expr, ...]:
    """The direct parts of an expression, left to right."""
    match expr:
        case Sum(terms):
            return terms
        case Product(factors):
            return factors
        case Quotient(above, below):
            return (above, below)
        case Power(base, _):
            return (base,)
        case Parallel(branches):
            return branches
        case Call(_, argument):
            return (argument,)
        case _:
            return ()


def walk(expr: Expr) -> Iterator[Expr]:
    """The expression and all its parts, outermost first."""
    yield expr
    for child in children(expr):
        yield from walk(child)


def symbols(expr: Expr) -> frozenset[str]:
    """The names of all ``Sym`` in an expression.

    >>> sorted(symbols(Product((Sym("gm_Q1"), Parallel((Sym("R1"), Sym("R2")))))))
    ['R1', 'R2', 'gm_Q1']
    """
    return frozenset(part.name for part in walk(expr) if isinstance(part, Sym))


def replace_symbols(expr: Expr, by: Mapping[str, Expr]) -> Expr:
    """The expression with every ``Sym`` that ``by`` names replaced.

    >>> replace_symbols(Quotient(Sym("R1"), Sym("w")), {"w": Sym("s")})
    Quotient(above=Sym(name='R1'), below=Sym(name='s'))
    """
    if isinstance(expr, Sym):
        return by.get(expr.name, expr)
    return _with_children(expr, tuple(replace_symbols(child, by) for child in children(expr)))


def replace_names(expr: Expr, by: Mapping[Name, Expr]) -> Expr:
    """The expression with every ``Name`` that ``by`` holds replaced.

    >>> replace_names(Quotient(Name("Z_1"), Sym("R1")), {Name("Z_1"): Name("Z_2")})
    Quotient(above=Name(name='Z_2'), below=Sym(name='R1'))
    """
    if isinstance(expr, Name):
        return by.get(expr, expr)
    return _with_children(expr, tuple(replace_names(child, by) for child in children(expr)))


def _with_children(expr: Expr, new: tuple[Expr, ...]) -> Expr:
    match expr:
        case Sum():
            return Sum(new)
        case Product():
            return Product(new)
        case Parallel():
            return Parallel(new)
        case Quotient():
            return Quotient(*new)
        case Power(_, exponent):
            return Power(new[0], exponent)
        case Call(function, _):
            return Call(function, new[0])
        case _:
            return expr


def evaluate(
    expr: Expr,
    values: Mapping[Any, Any],
    functions: Mapping[str, Callable[[Any], Any]] | None = None,
    number: Callable[[Fraction], Any] | None = None,
) -> Any:
    """The value of an expression in whatever arithmetic the values have (Fraction, complex, mpmath).

    ``number`` turns the numbers in the expression into that arithmetic where they do not mix with Fractions.
    ``values`` maps the name of each ``Sym`` to its number, and each ``Volt`` or ``Name`` to its own.
    Exact for Fractions without functions. Raises KeyError for a symbol without a value and
    ZeroDivisionError where a denominator vanishes.

    >>> evaluate(Parallel((Sym("R1"), Sym("R2"))), {"R1": Fraction(2), "R2": Fraction(2)})
    Fraction(1, 1)
    """
    match expr:
        case Num(value):
            return value if number is None else number(value)
        case Sym(name):
            return values[name]
        case Volt() | Name():
            return values[expr]
        case Sum(terms):
            total: Any = 0
            for term in terms:
                total = total + evaluate(term, values, functions, number)
            return total
        case Product(factors):
            product: Any = 1
            for factor in factors:
                product = product * evaluate(factor, values, functions, number)
            return product
        case Quotient(above, below):
            return evaluate(above, values, functions, number) / _divisor(evaluate(below, values, functions, number))
        case Power(base, exponent):
            value = evaluate(base, values, functions, number)
            return (_divisor(value) ** exponent) if exponent < 0 else value**exponent
        case Parallel(branches):
            admittance: Any = 0
            for branch in branches:
                admittance = admittance + 1 / _divisor(evaluate(branch, values, functions, number))
            return 1 / _divisor(admittance)
        case Call(function, argument):
            if functions is None or function not in functions:
                raise KeyError(function)
            return functions[function](evaluate(argument, values, functions, number))
        case Infinite():
            raise ZeroDivisionError("infinite")


def _divisor(value: Any) -> Any:
    """The value as a divisor: exact where it is whole, refused where it is zero."""
    if value == 0:
        raise ZeroDivisionError("division by zero")
    return Fraction(value) if isinstance(value, int) else value


def negate(expr: Expr) -> Expr:
    """Minus the expression, without a double minus."""
    match expr:
        case Num(value):
            return Num(-value)
        case Product((Num(value), *rest)):
            return product(Num(-value), *rest)
        case Quotient(above, below):
            return Quotient(negate(above), below)
        case _:
            return product(MINUS_ONE, expr)


def product(*factors: Expr) -> Expr:
    """A product without ones, nested products flattened, numbers gathered in front."""
    number = Fraction(1)
    rest: list[Expr] = []
    for factor in factors:
        for part in factor.factors if isinstance(factor, Product) else (factor,):
            if isinstance(part, Num):
                number *= part.value
            else:
                rest.append(part)
    if number == 0:
        return ZERO
    if not rest:
        return Num(number)
    if number != 1:
        rest.insert(0, Num(number))
    return rest[0] if len(rest) == 1 else Product(tuple(rest))


def total(*terms: Expr) -> Expr:
    """A sum without zeros, nested sums flattened."""
    flat: list[Expr] = []
    for term in terms:
        flat.extend(term.terms if isinstance(term, Sum) else (term,))
    flat = [term for term in flat if term != ZERO]
    if not flat:
        return ZERO
    return flat[0] if len(flat) == 1 else Sum(tuple(flat))


def quotient(above: Expr, below: Expr) -> Expr:
    """A quotient, or what is above where the divisor is one."""
    return above if below == ONE else Quotient(above, below)


def is_negative(expr: Expr) -> bool:
    """Whether the expression is written with a leading minus sign."""
    match expr:
        case Num(value):
            return value < 0
        case Product((Num(value), *_)):
            return value < 0
        case Quotient(above, _):
            return is_negative(above)
        case _:
            return False
