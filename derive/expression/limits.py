"""How large an expression may be: what is larger is refused in words, before any work is spent on it.

Enters: a text, or a tree just built from one. Leaves: nothing, or an ExpressionError.
Must not know: the grammar, circuits.
"""

from __future__ import annotations

import re
from fractions import Fraction

from derive.errors import ExpressionError
from derive.expression.tree import Expr, Num, Power, children

LONGEST_TEXT = 4000  # characters
DEEPEST_BRACKETS = 40
DEEPEST_TREE = 64  # well under the interpreter's own limit, for all recursive readers of a tree
LARGEST_EXPONENT = 20  # also of the product of nested exponents
MOST_DIGITS = 60  # of a number as written
LARGEST_POWER_OF_TEN = 40  # of a number as written
MOST_BITS = 1024  # of a number that arises from numbers
LONGEST_NAME = 40

PREFIXES = {
    "f": -15,
    "p": -12,
    "n": -9,
    "u": -6,
    "µ": -6,
    "μ": -6,
    "m": -3,
    "k": 3,
    "M": 6,
    "G": 9,
    "T": 12,
}


def check_text(text: str) -> None:
    """Refuse a text that is too long, nested too deep, or not one line of printable characters."""
    if not text.strip():
        raise ExpressionError(text, None, "the expression is empty", "write one, such as gm_Q1*R1")
    if len(text) > LONGEST_TEXT:
        raise ExpressionError(
            text,
            LONGEST_TEXT + 1,
            f"the expression has {len(text)} characters",
            f"keep it to {LONGEST_TEXT}, or name its parts",
        )
    depth = 0
    for column, character in enumerate(text, 1):
        depth += (character == "(") - (character == ")")
        if depth > DEEPEST_BRACKETS:
            raise ExpressionError(
                text, column, f"brackets are nested more than {DEEPEST_BRACKETS} deep", "write it flatter"
            )


def read_number(text: str, whole: str, column: int | None) -> Fraction:
    """The exact value of a number token such as ``10k``, ``3.3u``, ``1e-6``.

    >>> read_number("3.3u", "3.3u", 1)
    Fraction(33, 10000000)
    """
    match = re.fullmatch(r"([0-9.]+)(?:[eE]([+-]?[0-9]+))?([fpnuµμmkMGT]?)", text)
    if match is None:
        raise ExpressionError(whole, column, f"{text[:30]} is not a number", "write it like 4.7k or 1e-6")
    digits, exponent, prefix = match.groups()
    exponent = exponent or "0"
    if len(digits) > MOST_DIGITS or len(exponent) > 6 or abs(int(exponent)) > LARGEST_POWER_OF_TEN:
        raise ExpressionError(
            whole,
            column,
            f"the number {text[:20]}… has no sensible size",
            f"keep to {MOST_DIGITS} digits and powers of ten within ±{LARGEST_POWER_OF_TEN}",
        )
    return Fraction(digits) * Fraction(10) ** (int(exponent) + PREFIXES.get(prefix, 0))


def check_tree(expr: Expr, text: str) -> None:
    """Refuse a tree that is nested too deep, or holds powers of powers or numbers that blow up."""
    waiting: list[tuple[Expr, int, int]] = [(expr, 1, 1)]
    while waiting:
        part, depth, power = waiting.pop()
        if depth > DEEPEST_TREE:
            raise ExpressionError(
                text,
                None,
                f"the expression is nested more than {DEEPEST_TREE} deep",
                "write a/(b*c) rather than a/b/c",
            )
        if isinstance(part, Power):
            power *= max(1, abs(part.exponent))
            if power > LARGEST_EXPONENT:
                raise ExpressionError(
                    text,
                    None,
                    f"powers of powers add up to the exponent {power}",
                    f"keep it within ±{LARGEST_EXPONENT}",
                )
        if isinstance(part, Num) and _bits(part.value) > MOST_BITS:
            raise ExpressionError(text, None, "a number in it has no sensible size", "check its powers of ten")
        waiting.extend((child, depth + 1, power) for child in children(part))


def _bits(value: Fraction) -> int:
    return max(value.numerator.bit_length(), value.denominator.bit_length())
