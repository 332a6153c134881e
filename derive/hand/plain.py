"""A line of plain text as tokens.

Enters: a line as typed (``gm_Q1*(Rd || rpi_Q1)``, ``β1·R₁``). Leaves: its tokens, or an ExpressionError.
Must not know: which symbols a circuit has, LaTeX.
"""

from __future__ import annotations

import re

from derive.errors import ExpressionError
from derive.hand.signs import (
    DIGITS,
    FUNCTIONS,
    LETTER_CODE,
    LOWERED,
    NUMBER,
    RAISED,
    REFUSED,
    SEPARATING,
    SIGNS,
    UNIT,
    is_letter,
    key,
    plain,
)
from derive.hand.tokens import Line, Piece, Token, fault_at

_SMALLEST = re.compile(r"[^\W\d_](?:_+[^\W_])?[\d_\u2080-\u209c\u1d62-\u1d6a]*")
_VOLTAGE = re.compile(r"[vVi]\s*\([^()]*\)")


def scan_plain(line: Line, start: int = 0) -> list[Token]:
    """The tokens of a line from ``start`` on; ``#`` begins a comment."""
    text, place, found = line.text, start, list[Token]()
    while place < len(text):
        if text[place].isspace():
            place += 1
            continue
        if text[place] == "#":
            break
        tokens = one(line, place)
        found += tokens
        place = tokens[-1].column - 1 + len(tokens[-1].text)
    return found


def one(line: Line, place: int) -> list[Token]:
    """The token at a place (two for a raised digit), common to plain text and LaTeX."""
    character = line.text[place]
    if character.isascii() and (character.isdigit() or (character == "." and DIGITS.match(line.text, place))):
        return [number_at(line, place)]
    if is_letter(character):
        return [_word(line, place)]
    if character in RAISED:
        return _raised(line, place)
    for length in (2, 1):
        sign = line.text[place : place + length]
        if sign in SIGNS:
            kind, value = SIGNS[sign]
            return [Token(kind, sign, line, place + 1, value)]
    raise _strange(line, place)


def number_at(line: Line, place: int) -> Token:
    """The number at a place. Raises ExpressionError where a letter after it leaves open what it is."""
    text = line.text
    code = LETTER_CODE.match(text, place)
    if code:
        mantissa, letter, digits = code.groups()
        letter = "" if letter == "R" else letter.replace("K", "k")
        what = f"{code.group()} is a letter code, which is read in values only"
        remedy = f"write {mantissa}.{digits}{letter}, or for a product {mantissa}*{text[code.start(2) : code.end()]}"
        raise fault_at(line, place + 1, what, remedy)
    found = NUMBER.match(text, place) or DIGITS.match(text, place)
    assert found is not None, text[place:]
    unit = UNIT.match(text, found.end())
    if unit:
        what = "a unit is not read in a formula"
        raise fault_at(line, found.end() + 1, what, f"write {found.group()[:20]}{unit.group(1)}, in SI units")
    if found.group().endswith("f"):
        digits = found.group()[:-1]
        what = f"{found.group()[:20]} may be a prefix or a frequency"
        raise fault_at(line, place + 1, what, f"write {digits[:20]}*f or {digits[:20]}e-15")
    return Token("NUMBER", found.group(), line, place + 1, found.group())


def _word(line: Line, place: int) -> Token:
    text, end = line.text, place
    voltage = _VOLTAGE.match(text, place)
    if voltage:
        raise fault_at(line, place + 1, f"{voltage.group()[:30]} is no symbol of the circuit", VOLTAGES)
    while end < len(text) and (is_letter(text[end]) or text[end] in "_0123456789" or LOWERED.match(text[end])):
        end += 1
    return word(line, place, text[place:end])


VOLTAGES = "write the answer in symbols, such as gm_Q1*R1, without the voltages that it relates"


def word(line: Line, place: int, written: str) -> Token:
    """A word of plain text: a function, a word that separates, or what may be a symbol."""
    if written in FUNCTIONS:
        return Token("FUNC", written, line, place + 1, written)
    if written.lower() in SEPARATING:
        return Token("SEPARATOR", written, line, place + 1, written)
    pieces = tuple(Piece(part, key(part)) for part in _SMALLEST.findall(written))
    return Token("WORD", written, line, place + 1, plain(written), pieces)


def _raised(line: Line, place: int) -> list[Token]:
    """A power in raised digits: R₁², (1 + x)⁻¹."""
    end = place
    while end < len(line.text) and line.text[end] in RAISED:
        end += 1
    run = line.text[place:end]
    digits = "".join(str(RAISED.index(character) - 1) for character in run.lstrip("⁻"))
    if not digits or "⁻" in run[1:]:
        raise fault_at(line, place + 1, "an exponent is a whole number", "write it as ^2 or ^(-1)")
    tokens = [Token("CARET", "", line, place + 1)]
    if run[0] == "⁻":
        tokens.append(Token("MINUS", "", line, place + 1))
    return [*tokens, Token("NUMBER", run, line, place + 1, digits)]


def _strange(line: Line, place: int) -> ExpressionError:
    character = line.text[place]
    if character in REFUSED:
        return fault_at(line, place + 1, *REFUSED[character])
    if character == "_":
        return fault_at(line, place + 1, "a subscript stands here without a letter", "write it as in R_1")
    shown = repr(character) if character.isprintable() else f"U+{ord(character):04X}"
    remedy = "use names, numbers, + - * / ^ || and brackets"
    return fault_at(line, place + 1, f"the character {shown} is not part of a formula", remedy)
