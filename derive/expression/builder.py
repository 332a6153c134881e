"""From the parser's rules to trees: what each rule of grammar.lark builds.

Enters: the parts of one rule, as the parser finds them. Leaves: a tree.
Must not know: circuits, and which start the parser took.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from derive.errors import ExpressionError
from derive.expression.limits import LARGEST_EXPONENT, LONGEST_NAME, read_number
from derive.expression.tree import (
    ZERO,
    Call,
    Expr,
    Infinite,
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

if TYPE_CHECKING:
    from lark import Token

FUNCTIONS = ("sqrt", "log10", "abs")


class Builder:
    """What the parser calls for each rule, with the list of the rule's parts."""

    text = ""

    def expression(self, parts: list[Any]) -> Expr:
        return parts[0]

    def statement(self, parts: list[Any]) -> Relation:
        return Relation(parts[0], str(parts[1]), parts[2])

    def sum(self, parts: list[Any]) -> Expr:
        terms = [parts[0]]
        for sign, term in zip(parts[1::2], parts[2::2], strict=True):
            terms.append(term if sign == "+" else _settle(negate(term)))
        return Sum(tuple(terms))

    def minus(self, parts: list[Any]) -> Expr:
        return _settle(negate(parts[-1]))

    def product(self, parts: list[Any]) -> Expr:
        factors = [parts[0]]
        for sign, factor in zip(parts[1::2], parts[2::2], strict=True):
            if sign == "*":
                factors.append(factor)
            else:
                above = factors[0] if len(factors) == 1 else _settle(Product(tuple(factors)))
                factors = [self._quotient(above, factor, sign)]
        return factors[0] if len(factors) == 1 else _settle(Product(tuple(factors)))

    def _quotient(self, above: Expr, below: Expr, sign: Token) -> Expr:
        if below == ZERO:
            raise ExpressionError(self.text, sign.column, "division by zero", "leave the quotient out")
        if isinstance(above, Num) and isinstance(below, Num):
            return Num(above.value / below.value)
        return _settle(Quotient(above, below))

    def parallel(self, parts: list[Any]) -> Expr:
        return Parallel(tuple(parts))

    def power(self, parts: list[Any]) -> Expr:
        return Power(parts[0], parts[1])

    def exponent(self, parts: list[Any]) -> int:
        number = parts[-1]
        value = read_number(str(number), self.text, number.column)
        if value.denominator != 1 or value > LARGEST_EXPONENT:
            raise ExpressionError(
                self.text,
                number.column,
                f"the exponent {number} is not a whole number within ±{LARGEST_EXPONENT}",
                "for a root write sqrt(…)" if value.denominator != 1 else "use a smaller exponent",
            )
        return int(value) if len(parts) == 1 else -int(value)

    def number(self, parts: list[Any]) -> Expr:
        return Num(read_number(str(parts[0]), self.text, parts[0].column))

    def volt(self, parts: list[Any]) -> Expr:
        return Volt(str(parts[0]).partition("(")[2].rstrip(") \t").strip())

    def name(self, parts: list[Any]) -> Expr:
        token = parts[0]
        if len(token) > LONGEST_NAME:
            raise ExpressionError(
                self.text,
                token.column,
                f"the name {token[:20]}… is longer than {LONGEST_NAME} characters",
                "no symbol has so long a name",
            )
        return Infinite() if token == "inf" else Sym(str(token))

    def call(self, parts: list[Any]) -> Expr:
        function, argument = parts
        if function not in FUNCTIONS:
            known = ", ".join(f"{name}(…)" for name in FUNCTIONS)
            raise ExpressionError(
                self.text,
                function.column,
                f"{function[:30]}(…) is not a function of the grammar",
                f"there are {known} and v(node); for a product write {function[:30]}*(…)",
            )
        return Call(str(function), argument)

    def bracket(self, parts: list[Any]) -> Expr:
        return parts[0]


def _settle(expr: Expr) -> Expr:
    """Bring a minus sign to the one place where a product or quotient carries it."""
    while is_negative(expr):
        again = negate(negate(expr))
        if again == expr:
            return expr
        expr = again
    return expr
