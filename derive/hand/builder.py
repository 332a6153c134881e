"""From the rules of latex.lark to trees.

Enters: the parts of one rule. Leaves: a Draft: the tree, or the trees, that it may stand for.
Must not know: circuits. Symbols are called as the author wrote them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from derive.errors import ExpressionError
from derive.expression.dimension import UNITS, Dimension, dimension
from derive.expression.limits import DEEPEST_TREE, LARGEST_EXPONENT, read_number
from derive.expression.text import write
from derive.expression.tree import (
    ZERO,
    Call,
    Expr,
    Num,
    Parallel,
    Power,
    Product,
    Sum,
    Sym,
    negate,
    walk,
)
from derive.hand.meaning import equal
from derive.hand.readings import divide, readings, settle, side_by_side
from derive.hand.tokens import Token, fault


@dataclass(frozen=True)
class Draft:
    """``options``: the trees that a part of a formula may stand for, one where there is no doubt; ``place``: of the
    sign that leaves a doubt; ``depth``: a bound of how deep the trees are."""

    options: tuple[Expr, ...]
    depth: int = 1
    place: Token | None = None


@dataclass(eq=False)
class Builder:
    """What the parser calls for each rule. ``tokens``: those of the formula; ``words``: the symbols of each word, by
    the place of its token; ``units``: of the symbols as written."""

    tokens: Sequence[Token] = ()
    words: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    units: Mapping[str, str | Dimension] = field(default_factory=dict)

    def formula(self, parts: list[Any]) -> Expr:
        return self._one(parts[0])

    def sum(self, parts: list[Any]) -> Draft:
        if len(parts) == 1:
            return parts[0]
        signs = ["+", *("-" if self._token(sign).kind == "MINUS" else "+" for sign in parts[1::2])]
        drafts = self._agreed(parts[::2])
        terms = [draft.options[0] if sign == "+" else settle(negate(draft.options[0]))
                 for sign, draft in zip(signs, drafts, strict=True)]  # fmt: skip
        return self._deeper((Sum(tuple(terms)),), drafts)

    def minus(self, parts: list[Any]) -> Draft:
        draft = parts[-1]
        return Draft(tuple(settle(negate(option)) for option in draft.options), draft.depth + 1, draft.place)

    def plus(self, parts: list[Any]) -> Draft:
        return parts[-1]

    def product(self, parts: list[Any]) -> Draft:
        if len(parts) == 1:
            return parts[0]
        operands, signs, places = [], [""], list[Token]()
        for part in parts:
            if isinstance(part, Draft):
                operands.append(part)
                if len(signs) < len(operands):
                    signs.append("")
            else:
                token = self._token(part)
                signs.append({"STAR": "*", "SLASH": "/"}.get(token.kind, "||"))
                places.append(token)
        factors = [self._one(draft) for draft in operands]
        for sign, factor, at in zip(signs, factors, self._places(signs, places), strict=True):
            if sign == "/" and factor == ZERO:
                raise fault(at or self.tokens[0], "division by zero", "leave the quotient out")
        depth = self._deeper((), operands, 2 + sum(sign in ("/", "||") for sign in signs)).depth
        found = readings(factors, signs)
        if len(found) > 1:
            found = [tree for tree in found if self._dimension(tree) is not None] or found[:1]
            printed = side_by_side(factors, signs)
            found = [printed] if printed in found else _different(found)
        self._check_slashes(found, places)
        place = next((token for token in places if token.kind in ("BESIDE", "SLASH")), None)
        return Draft(tuple(found), depth, place)

    def _check_slashes(self, found: Sequence[Expr], places: Sequence[Token]) -> None:
        """// is parallel between impedances; elsewhere it may be a slip for /."""
        token = next((token for token in places if token.value == "//"), None)
        parallels = (part for tree in found for part in walk(tree) if isinstance(part, Parallel))
        if token and any(self._dimension(part) not in (UNITS["Ω"], None) for part in parallels):
            raise fault(token, "// is read as parallel between impedances only", "write / or ||")

    def power(self, parts: list[Any]) -> Draft:
        base, caret, exponent = parts
        token = self._token(caret)
        if exponent == Fraction(1, 2):
            return self._deeper((Call("sqrt", self._one(base)),), [base])
        if exponent.denominator != 1 or abs(exponent) > LARGEST_EXPONENT:
            what = f"the exponent {exponent} is not a whole number within ±{LARGEST_EXPONENT}"
            remedy = "for a root write sqrt(…)" if exponent.denominator != 1 else "use a smaller exponent"
            raise fault(token, what, remedy)
        inner = self._one(base)
        if inner == ZERO and exponent <= 0:
            raise fault(token, "division by zero", "leave the power out")
        return self._deeper((Power(inner, int(exponent)),), [base])

    def whole(self, parts: list[Any]) -> Fraction:
        return self._number(parts[0])

    def less(self, parts: list[Any]) -> Fraction:
        return -parts[1]

    def inner(self, parts: list[Any]) -> Fraction:
        return parts[1]

    def part(self, parts: list[Any]) -> Fraction:
        below = self._number(parts[2])
        if below == 0:
            raise fault(self._token(parts[2]), "division by zero", "use a whole number")
        return self._number(parts[0]) / below

    def number(self, parts: list[Any]) -> Draft:
        return Draft((Num(self._number(parts[0])),))

    def word(self, parts: list[Any]) -> Draft:
        symbols = tuple(Sym(name) for name in self.words[int(parts[0])])
        return Draft((symbols[0] if len(symbols) == 1 else Product(symbols),), 2)

    def bracket(self, parts: list[Any]) -> Draft:
        return parts[1]

    def magnitude(self, parts: list[Any]) -> Draft:
        return self._deeper((Call("abs", self._one(parts[1])),), [parts[1]])

    def fraction(self, parts: list[Any]) -> Draft:
        above, below = parts[2], parts[5]
        if self._one(below) == ZERO:
            raise fault(self._token(parts[0]), "division by zero", "leave the quotient out")
        return self._deeper((divide(self._one(above), self._one(below)),), [above, below])

    def call(self, parts: list[Any]) -> Draft:
        return self._deeper((Call(self._token(parts[0]).value, self._one(parts[2])),), [parts[2]])

    def _token(self, part: Any) -> Token:
        return self.tokens[int(part)]

    def _number(self, part: Any) -> Fraction:
        token = self._token(part)
        try:
            return read_number(token.value, token.line.text, token.column)
        except ExpressionError as error:
            raise fault(token, error.what, error.remedy) from None

    def _places(self, signs: list[str], places: list[Token]) -> list[Token | None]:
        """The token of each sign, None before the first factor and between factors side by side."""
        waiting = iter(places)
        return [next(waiting) if sign else None for sign in signs]

    def _deeper(self, options: tuple[Expr, ...], parts: Sequence[Draft], by: int = 1) -> Draft:
        depth = by + max(part.depth for part in parts)
        if depth > 2 * DEEPEST_TREE:
            remedy = "write a/(b*c) rather than a/b/c, or name parts"
            raise fault(self.tokens[0], "the formula is nested too deep", remedy)
        return Draft(options, depth, next((part.place for part in parts if part.place), None))

    def _dimension(self, tree: Expr) -> Dimension | None:
        try:
            return dimension(tree, self.units)
        except ExpressionError:
            return None

    def _agreed(self, drafts: list[Draft]) -> list[Draft]:
        """The terms of a sum, those in doubt decided by the unit of those that are not."""
        known = {self._dimension(draft.options[0]) for draft in drafts if len(draft.options) == 1} - {None}
        return [draft if len(draft.options) == 1 or not known else self._fitting(draft, known) for draft in drafts]

    def _fitting(self, draft: Draft, known: set[Dimension | None]) -> Draft:
        options = tuple(option for option in draft.options if self._dimension(option) in known)
        return Draft((self._one(Draft(options or draft.options, draft.depth, draft.place)),), draft.depth, draft.place)

    def _one(self, draft: Draft) -> Expr:
        if len(draft.options) == 1:
            return draft.options[0]
        ways = " or ".join(_short(option) for option in draft.options[:2])
        raise fault(draft.place or self.tokens[0], f"this can be read in two ways: {ways}", "put brackets")


def _different(trees: Sequence[Expr]) -> list[Expr]:
    """The trees without those that have the value of an earlier one."""
    kept: list[Expr] = []
    for tree in trees:
        if not any(equal(tree, other) for other in kept):
            kept.append(tree)
    return kept


def _short(expr: Expr) -> str:
    text = write(expr)
    return text if len(text) <= 60 else text[:57] + "…"
