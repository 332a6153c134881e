"""From the tokens of one side to a tree, in the author's own names.

Enters: tokens, the symbols of each word, the units of these. Leaves: a tree, or an ExpressionError in words.
Must not know: the circuit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from derive.errors import ExpressionError
from derive.expression.dimension import Dimension
from derive.expression.limits import LONGEST_TEXT, check_tree
from derive.expression.tree import Expr
from derive.hand.builder import Builder
from derive.hand.tokens import Token, fault, text_of

if TYPE_CHECKING:
    from lark import Lark

_ENDING = frozenset({"WORD", "NUMBER", "CLOSE", "RBRACE", "RBAR"})
_SHOWN = {"BESIDE": "||", "CARET": "^", "FRAC": "\\frac", "LBAR": "|", "RBAR": "|", "LBRACE": "{", "RBRACE": "}"}


def parse(tokens: Sequence[Token], words: Mapping[int, tuple[str, ...]], units: Mapping[str, str | Dimension]) -> Expr:
    """The tree of a formula. ``words``: how the symbols of each WORD are written, by its place among the tokens."""
    from lark.exceptions import UnexpectedInput, VisitError

    text = text_of(tokens)
    if len(text) > LONGEST_TEXT:
        remedy = f"keep it to {LONGEST_TEXT}, or name its parts"
        raise fault(tokens[0], f"the formula has {len(text)} characters", remedy)
    _check_numbers(tokens)
    parser, builder = _build()
    builder.tokens, builder.words, builder.units = tokens, words, units
    try:
        # The lexer below takes tokens, and the builder returns a tree of ours.
        tree = cast(Expr, parser.parse(cast(Any, tokens)))
    except UnexpectedInput as error:
        raise _explain(tokens, error) from None
    except VisitError as error:
        raise error.orig_exc from None
    try:
        check_tree(tree, text)
    except ExpressionError as error:
        raise fault(tokens[0], error.what, error.remedy) from None
    return tree


@cache
def _build() -> tuple[Lark, Builder]:
    from lark import Lark
    from lark import Token as Terminal
    from lark.lexer import Lexer

    class Feed(Lexer):
        """Hands our own tokens to the parser, each as its kind and its place."""

        def __init__(self, _settings: Any) -> None:
            pass

        def lex(self, data: Any, _state: Any = None) -> Iterator[Terminal]:
            for place, token in enumerate(data):
                yield Terminal(token.kind, str(place))

    builder = Builder()
    grammar = Path(__file__).with_name("latex.lark").read_text(encoding="utf-8")
    parser = Lark(grammar, parser="lalr", lexer=Feed, start="formula", transformer=builder, maybe_placeholders=False)
    return parser, builder


def _check_numbers(tokens: Sequence[Token]) -> None:
    """A number never stands behind a factor without a sign: 10 000 or R 2 is no product."""
    for before, token in pairwise(tokens):
        if token.kind == "NUMBER" and before.kind in ("WORD", "NUMBER", "CLOSE") and before.key != "j":
            raise fault(token, f"an operator is missing before {token.text}", "write * for a product")


def _explain(tokens: Sequence[Token], error: Any) -> ExpressionError:
    """The parser's complaint in words."""
    place = getattr(error, "token", None)
    if place is None or place.type == "$END" or not str(place).isdigit():
        last = tokens[-1]
        return fault(last, f"the formula breaks off after {_show(last)}", "add what belongs there")
    here = int(str(place))
    token, before = tokens[here], tokens[here - 1] if here else None
    kind = before.kind if before else ""
    if kind == "CARET" or (kind in ("LBRACE", "OPEN", "MINUS") and here > 1 and tokens[here - 2].kind == "CARET"):
        return fault(token, "an exponent is a whole number within ±20", "for a root write sqrt(…)")
    if token.kind == "CARET" and kind in _ENDING:
        return fault(token, "this is a power of a power", "write it with one exponent, or with brackets")
    if kind == "FRAC" or (token.kind != "LBRACE" and kind == "RBRACE" and _within_fraction(tokens, here - 1)):
        return fault(token, "\\frac takes two groups in braces", "write \\frac{…}{…}")
    if kind == "FUNC":
        assert before is not None
        return fault(token, f"{before.value} takes its argument in brackets", f"write {before.value}(…)")
    if kind not in _ENDING:
        left = f"after {_show(before)}" if before else "to its left"
        what = f"{_show(token)} needs something {left}" if before is None else f"something is missing {left}"
        return fault(token, what, "complete the formula")
    return fault(token, f"{_show(token)} is not expected here", "write a sign between two names")


def _within_fraction(tokens: Sequence[Token], end: int) -> bool:
    """Whether the group that ends here is the first of a fraction."""
    depth = 0
    for place in range(end, -1, -1):
        depth += (tokens[place].kind == "RBRACE") - (tokens[place].kind == "LBRACE")
        if depth == 0:
            return place > 0 and tokens[place - 1].kind == "FRAC"
    return False


def _show(token: Token) -> str:
    return (token.text or _SHOWN.get(token.kind, token.kind))[:30]
