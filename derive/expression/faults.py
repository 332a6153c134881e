"""Words for what the parser could not read.

Enters: the text and the parser's complaint. Leaves: an ExpressionError with column, fault and remedy.
Must not know: circuits.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from derive.errors import ExpressionError

if TYPE_CHECKING:
    from lark.exceptions import UnexpectedInput

# What people write from habit, and what this grammar has for it.
CHARACTERS = {
    "∥": "||",
    "|": "||",
    "^": "**",
    "²": "**2",
    "³": "**3",
    "·": "*",
    "×": "*",
    "⋅": "*",
    "−": "-",
    "–": "-",
    "≫": ">>",
    ">": ">>",
    "≪": "<<",
    "<": "<<",
    "→": "->",
    "∞": "inf",
    "π": "pi",
    "β": "beta",
    "ω": "w",
    "[": "(",
    "]": ")",
    "{": "(",
    "}": ")",
    "√": "sqrt(…)",
    ",": ". as the decimal point",
    "÷": "/",
}
EQUALITY = ("an equality is written with one =", "write it as R1 = R2")


def explain(text: str, start: str, error: UnexpectedInput) -> ExpressionError:
    """The parser's complaint in words, with the column counted from one."""
    place = getattr(error, "pos_in_stream", None)
    kind = getattr(getattr(error, "token", None), "type", "")
    if kind == "$END" or place is None or place < 0 or place >= len(text):
        return _at_end(text, start)
    rest, before = text[place:], text[:place].rstrip()
    what, remedy = _words(rest, before, start)
    return ExpressionError(text, place + 1, what, remedy)


def _at_end(text: str, start: str) -> ExpressionError:
    column = len(text.rstrip()) + 1
    if text.count("(") > text.count(")"):
        return ExpressionError(text, column, "a bracket is not closed", "add )")
    if start == "statement" and not re.search(r">>|<<|->|=", text):
        return ExpressionError(
            text,
            column,
            "this is no statement: it relates nothing",
            "write X >> Y, X << Y, X = Y, X -> 0 or X -> inf",
        )
    return ExpressionError(text, column, "the expression breaks off", "add what belongs after the last sign")


def _words(rest: str, before: str, start: str) -> tuple[str, str]:
    code = re.match(r"([0-9]*)([RKkMGTpnuµμm])([0-9]+)(?![A-Za-z_])", rest)
    if code and code.group(1):
        plain = f"{code.group(1)}.{code.group(3)}{code.group(2).replace('R', '').replace('K', 'k')}"
        product = f" or {code.group(1)}*R{code.group(3)}" if code.group(2) == "R" else ""
        return (
            f"{code.group()[:20]} is a letter code, which is read in values only",
            f"write {plain}{product}"[:60],
        )
    number = re.match(r"([0-9.]+)([A-Za-z_]\w*)", rest)
    if number:
        return (
            f"{number.group()[:30]} is neither a number nor a name",
            f"write {number.group(1)}*{number.group(2)}"[:60],
        )
    if before.endswith("**") or re.search(r"\*\*\s*\(\s*-?$", before):
        return "an exponent is a whole number within ±20", "for a root write sqrt(…)"
    if start == "statement" and rest[0] == "=" and before.endswith("="):
        return EQUALITY
    if re.match(r">>|<<|->|=", rest):
        if start == "statement" and re.search(r">>|<<|->|=", before):
            return "a statement relates two sides only", "write two statements"
        if start == "expression":
            return (
                f"{rest[:2].strip()} makes this a statement, and an expression is expected",
                "leave one side only",
            )
    character = rest[0]
    if character == ">" and before in ("", "-"):
        return "the relation has nothing to its left", "write it as X >> Y or X -> 0"
    if character == "*" and re.search(r"\*\*\s*\(?-?[0-9]+\)?\s*\*$", before):
        return "this is a power of a power", "write it with one exponent, or with brackets"
    if character == ")" and before.count("(") <= before.count(")"):
        return "this bracket was never opened", "remove ) or add ("
    if character in CHARACTERS:
        return f"{character} is not read here", f"write {CHARACTERS[character]}"
    if re.match(r"[A-Za-z0-9(.]", rest) and re.search(r"[\w).]$", before):
        word = re.match(r"[\w.]+|\(", rest)
        return (
            f"an operator is missing before {word.group()[:30] if word else character}",
            "write * for a product",
        )
    if character == "/" and before.endswith("/"):
        return "// is not read here", "for parts in parallel write ||"
    if character.isalpha() and character > "\x7f":
        return f"the character {character!r} is not part of an expression", "names use plain letters, as in R1 or gm_Q1"
    if character in "+-*/|)" or rest.startswith("||"):
        return (
            f"{'||' if rest.startswith('||') else character} needs something to its left",
            "complete the expression",
        )
    return f"the character {character!r} is not part of an expression", (
        "use names, numbers, + - * / ** || and brackets"
    )
