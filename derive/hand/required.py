"""What the parts of a formula would have to be for the whole to be right.

Enters: a formula, a value that it should have, a point of the prime field. Leaves: for each place the value there
and the value that would make the whole right, all else left as it is. Must not know: slips.

Each operation is undone from the root inwards: in a sum what is required less the other terms, in a product divided by
the other factors, in a parallel by admittances. Inside a power that is not ±1 nothing is asked.
"""

from __future__ import annotations

from typing import Any

from derive.expression.tree import Expr, Parallel, Power, Product, Quotient, Sum, children, evaluate
from derive.hand.substitute import Place
from derive.hand.worth import Field, in_prime_field

Needs = dict[Place, tuple[Any, Any]]


class Values:
    """The values of all parts of a formula at one point. Raises ZeroDivisionError, KeyError."""

    def __init__(self, formula: Expr, point: Field) -> None:
        self.formula = formula
        self.at: dict[Place, Any] = {}
        self._enter(formula, (), point)

    def _enter(self, expr: Expr, place: Place, point: Field) -> None:
        for number, part in enumerate(children(expr)):
            self._enter(part, (*place, number), point)
        self.at[place] = evaluate(expr, point, number=in_prime_field)

    def required(self, target: Any) -> Needs:
        """Value and required value of each place."""
        found: Needs = {}
        self._ask(self.formula, (), target, found)
        return found

    def _ask(self, expr: Expr, place: Place, need: Any, found: Needs) -> None:
        found[place] = (self.at[place], need)
        parts = children(expr)
        inner = [(*place, number) for number in range(len(parts))]
        own = [self.at[p] for p in inner]
        for number, part in enumerate(parts):
            try:
                wanted = _undone(expr, number, own, need)
            except ZeroDivisionError:
                continue
            if wanted is not None:
                self._ask(part, inner[number], wanted, found)


def _undone(expr: Expr, number: int, own: list[Any], need: Any) -> Any | None:
    others = [value for place, value in enumerate(own) if place != number]
    match expr:
        case Sum():
            for value in others:
                need = need - value
            return need
        case Product():
            for value in others:
                need = need / value
            return need
        case Quotient():
            return need * others[0] if number == 0 else others[0] / need
        case Parallel():
            admittance = 1 / need
            for value in others:
                admittance = admittance - 1 / value
            return 1 / admittance
        case Power(_, exponent) if exponent in (1, -1):
            return need if exponent == 1 else 1 / need
        case _:
            return None
