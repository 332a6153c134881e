"""From lines to statements: a name, a sign, and the sides of a chain.

Enters: a text of one or many lines. Leaves: statements made of tokens, or an ExpressionError.
Must not know: what the names stand for.

A line goes on where a bracket is open, where it ends in an operator or a sign, where the next begins with one
(with a minus only where that line is indented), and within an environment of LaTeX up to ``\\\\``. Statements are also
parted by ``;``, by a comma and by ``where``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from derive.errors import ExpressionError
from derive.expression.limits import DEEPEST_BRACKETS, LONGEST_TEXT
from derive.hand.latex import scan_latex
from derive.hand.plain import scan_plain
from derive.hand.tokens import Line, Token, fault, fault_at

LONGEST = 20_000  # characters of the whole text
MOST_STATEMENTS = 100  # and sides of a chain
_OPENING = {"OPEN": "CLOSE", "LBRACE": "RBRACE", "LBAR": "RBAR"}
_GOING_ON = frozenset({"PLUS", "STAR", "SLASH", "BESIDE", "CARET", "SIGN"})
_UNFINISHED = _GOING_ON | {"MINUS", "FRAC", "FUNC"}
_SQUARE = {"(": ")", "[": "]"}


@dataclass
class Statement:
    """``head``: what stands left of the first sign; ``sides``: each sign with the tokens that follow it."""

    head: list[Token]
    sides: list[tuple[Token, list[Token]]] = field(default_factory=list)


def read_statements(text: str, knows: Callable[[str], bool]) -> list[Statement]:
    """The statements of a text, in its order. Raises ExpressionError."""
    if not text.strip():
        raise ExpressionError(text, None, "nothing is written", "write a formula, such as -gm_Q1*R1")
    if len(text) > LONGEST:
        raise ExpressionError(text[:80], None, f"the text has {len(text)} characters", f"keep it to {LONGEST}")
    lines = [Line(number, line) for number, line in enumerate(text.replace("\r\n", "\n").split("\n"), 1)]
    return _part(_joined(_scan(lines, "\\begin" in text, knows)))


def _scan(lines: list[Line], latex: bool, knows: Callable[[str], bool]) -> list[Token]:
    tokens: list[Token] = []
    for line in lines:
        if len(line.text) > LONGEST_TEXT:
            raise fault_at(line, LONGEST_TEXT + 1, f"the line has {len(line.text)} characters", "name its parts")
        is_latex = latex or any(character in line.text.partition("#")[0] for character in "\\{}$&")
        tokens += scan_latex(line, knows) if is_latex else scan_plain(line)
        tokens.append(Token("NEWLINE", "", line, len(line.text) + 1, "soft"))
    return tokens


def _joined(tokens: list[Token]) -> list[Token]:
    """The tokens without line ends that end nothing, every bracket checked."""
    kept: list[Token] = []
    waiting: list[Token] = []
    within = 0
    for place, token in enumerate(tokens):
        within += (token.kind == "BEGIN") - (token.kind == "END")
        if token.kind in ("BEGIN", "END"):
            kept.append(Token("NEWLINE", "", token.line, token.column))
            continue
        _check_bracket(token, waiting)
        if token.kind == "NEWLINE":
            if not waiting and not (token.value == "soft" and within > 0):
                kept.append(token)
            continue
        if waiting and token.kind in ("SIGN", "SEPARATOR"):
            raise _within_brackets(token, tokens, place)
        kept.append(token)
    if waiting:
        raise fault(waiting[-1], f"the bracket {waiting[-1].text or '{'} is not closed", "close it")
    return _without_breaks(kept)


def _check_bracket(token: Token, waiting: list[Token]) -> None:
    """Keeps the stack of brackets that are open."""
    if token.kind in _OPENING:
        waiting.append(token)
        if len(waiting) > DEEPEST_BRACKETS:
            what = f"brackets are nested more than {DEEPEST_BRACKETS} deep"
            raise fault(token, what, "write it flatter, or name parts")
    elif token.kind in _OPENING.values():
        if not waiting:
            raise fault(token, f"the bracket {token.text} was never opened", "remove it, or open it")
        opened = waiting.pop()
        unlike = token.text in _SQUARE.values() and _SQUARE.get(opened.text, token.text) != token.text
        if _OPENING[opened.kind] != token.kind or unlike:
            raise fault(token, f"{token.text} closes a bracket that {opened.text} opened", "close it with its like")


def _within_brackets(token: Token, tokens: list[Token], place: int) -> ExpressionError:
    neighbours = tokens[place - 1].kind == "NUMBER" and place + 1 < len(tokens) and tokens[place + 1].kind == "NUMBER"
    if token.value == "," and neighbours:
        return fault(token, ", is not read in a number", "write . as the decimal point")
    return fault(token, f"{token.text} stands within brackets", "close the bracket before it")


def _without_breaks(tokens: list[Token]) -> list[Token]:
    """The tokens without breaks (line ends and separators) before and after what goes on."""
    kept: list[Token] = []
    for place, token in enumerate(tokens):
        if token.kind not in ("NEWLINE", "SEPARATOR"):
            kept.append(token)
            continue
        following = next((later for later in tokens[place + 1 :] if later.kind not in ("NEWLINE", "SEPARATOR")), None)
        if token.value == "," and kept and kept[-1].kind == "NUMBER" and following and following.kind == "NUMBER":
            raise fault(token, ", is not read in a number", "write . as the decimal point")
        if kept and kept[-1].kind in _UNFINISHED and token.kind == "NEWLINE":
            continue
        if following is not None and _goes_on(following, token):
            continue
        kept.append(token)
    return kept


def _goes_on(following: Token, end: Token) -> bool:
    if following.kind == "SIGN":
        return True
    if end.kind == "SEPARATOR":
        return False
    indented = following.kind == "MINUS" and (end.value != "soft" or following.line.text[:1].isspace())
    return following.kind in _GOING_ON or (indented and "&=" not in following.line.text)


def _part(tokens: list[Token]) -> list[Statement]:
    statements: list[Statement] = []
    fresh = True
    for token in tokens:
        if token.kind in ("NEWLINE", "SEPARATOR"):
            fresh = True
            continue
        if fresh:
            statements.append(Statement([]))
            fresh = False
            if len(statements) > MOST_STATEMENTS:
                raise fault(token, f"there are more than {MOST_STATEMENTS} lines", "check fewer at a time")
        if token.kind == "SIGN":
            statements[-1].sides.append((token, []))
            if len(statements[-1].sides) > MOST_STATEMENTS:
                raise fault(token, f"the chain has more than {MOST_STATEMENTS} sides", "check fewer at a time")
        else:
            (statements[-1].sides[-1][1] if statements[-1].sides else statements[-1].head).append(token)
    for statement in statements:
        for sign, side in statement.sides:
            if not side:
                raise fault(sign, f"nothing stands after {sign.text}", "complete the line")
    if not statements:
        raise ExpressionError("", None, "nothing is written but comments", "write a formula, such as -gm_Q1*R1")
    return statements
