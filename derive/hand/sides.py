"""Each side of a chain as a tree in the circuit's symbols, its units checked first.

Enters: claims in order. Leaves: trees with their text and line, or an ExpressionError.
Must not know: how tokens are found.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from derive.errors import ExpressionError
from derive.expression.dimension import VARIABLES, Dimension, dimension, in_words
from derive.expression.limits import check_tree
from derive.expression.tree import Expr, Name, Sym, symbols
from derive.hand.claims import Claim, Side
from derive.hand.formula import parse
from derive.hand.imaginary import J, without_j
from derive.hand.meaning import MOST_NODES, divides_by_zero, equal, is_too_large, measure, put
from derive.hand.names import Names
from derive.hand.tokens import Token, fault, text_of

_OPENING, _CLOSING = frozenset({"OPEN", "LBRACE", "LBAR"}), frozenset({"CLOSE", "RBRACE", "RBAR"})
Found = tuple[Literal["=", "≈"], Expr, str, int]


@dataclass(frozen=True)
class _Reading:
    """A side that was read: its tree, its dimension, and where it stands."""

    value: Expr
    dimension: Dimension
    text: str
    place: Token


class Reader:
    """Reads claims one after another; what is defined is known to those that follow."""

    def __init__(self, names: Names) -> None:
        self._names = names
        self._values: dict[Expr, Expr] = {}
        self._dimensions: dict[Expr, Dimension] = {}

    def define(self, claim: Claim) -> tuple[Expr, str, int]:
        """The value of a definition: its last side. Sides joined by = must be equal."""
        readings = self._readings(claim)
        for before, after, side in zip(readings, readings[1:], claim.sides[1:], strict=False):
            if side.sign == "=" and not equal(before.value, after.value):
                what = f"{_short(after.text)} is not {_short(before.text)}"
                raise fault(after.place, what, f"define {claim.name} by what is right, or write ≈")
        assert claim.word is not None
        last, key = readings[-1], Name(claim.word.key)
        self._values[key], self._dimensions[key] = last.value, last.dimension
        return last.value, last.text, claim.word.line.number

    def chain(self, claim: Claim) -> list[Found]:
        """The sides of the result, in order."""
        found: list[Found] = []
        for side, reading in zip(claim.sides, self._readings(claim), strict=True):
            found.append(("=" if side.sign == "=" else "≈", reading.value, reading.text, reading.place.line.number))
        return found

    def _readings(self, claim: Claim) -> list[_Reading]:
        """The sides of a claim, all of one dimension."""
        found: list[_Reading] = []
        for side in claim.sides:
            reading = self._read(side)
            if found and found[-1].dimension != reading.dimension:
                before = found[-1]
                what = (
                    f"{_short(before.text)} is {in_words(before.dimension)}, "
                    f"{_short(reading.text)} is {in_words(reading.dimension)}"
                )
                number = not symbols(reading.value) - {"pi"}
                remedy = "leave the number out" if number else "the sides of a chain have one unit"
                raise fault(reading.place, what, remedy)
            found.append(reading)
        return found

    def _read(self, side: Side) -> _Reading:
        words: dict[int, tuple[str, ...]] = {}
        meanings: dict[str, Expr] = {}
        for place, token in enumerate(side.tokens):
            if token.kind == "WORD":
                atoms = self._names.resolve(token)
                words[place] = tuple(written for written, _ in atoms)
                meanings.update(atoms)
        units = {written: self._unit(meaning) for written, meaning in meanings.items()}
        tree, first, text = parse(side.tokens, words, units), side.tokens[0], text_of(side.tokens)
        try:
            found = dimension(tree, units)
        except ExpressionError as error:
            begins = _unfit(side.tokens, words, units, error.what) or first
            raise fault(begins, error.what, error.remedy + _advice(side)) from None
        plain = without_j(tree)
        if plain is None:
            letter = next(token for token in side.tokens if token.kind == "WORD" and "j" in token.key)
            raise fault(letter, "j stands here without the ω that belongs to it", "write s or jω")
        if is_too_large(*measure(plain, meanings, self._values)):
            raise fault(first, f"with its definitions put in, the formula has more than {MOST_NODES} parts",
                        "write it shorter")  # fmt: skip
        value = put(plain, meanings, self._values)
        self._check_value(value, first, text)
        return _Reading(value, found, text, first)

    def _unit(self, meaning: Expr) -> str | Dimension:
        if isinstance(meaning, Name):
            return self._dimensions[meaning]
        assert isinstance(meaning, Sym)
        return "1" if meaning == J else self._names.units.get(meaning.name) or VARIABLES[meaning.name]

    def _check_value(self, value: Expr, first: Token, text: str) -> None:
        try:
            check_tree(value, text)
        except ExpressionError as error:
            raise fault(first, error.what, error.remedy) from None
        if divides_by_zero(value):
            raise fault(first, "it divides by what is zero for all values", "look for a difference that vanishes")


def _unfit(
    tokens: Sequence[Token], words: Mapping[int, tuple[str, ...]], units: Mapping[str, str | Dimension], what: str
) -> Token | None:
    """Where the innermost group in brackets begins that has this fault of units by itself; None where none has."""
    opened: list[int] = []
    for place, token in enumerate(tokens):
        if token.kind in _OPENING:
            opened.append(place + 1)
        elif token.kind in _CLOSING and opened and place > opened[-1]:
            begin = opened.pop()
            own = {at - begin: words[at] for at in range(begin, place) if at in words}
            try:
                dimension(parse(tokens[begin:place], own, units), units)
            except ExpressionError as error:
                if error.what == what:
                    return tokens[begin]
    return None


def _advice(side: Side) -> str:
    """A word on precedence where a parallel sign is among the terms."""
    return "; || binds tighter than * and /" if any(token.kind == "BESIDE" for token in side.tokens) else ""


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "…"
