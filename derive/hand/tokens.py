"""The pieces that a text falls into, each with its place.

Enters: nothing. Leaves: records, and errors that name a place. Must not know: how a text is taken apart.

Kinds of tokens: NUMBER, WORD, PLUS, MINUS, STAR, SLASH, BESIDE (in parallel), CARET, OPEN, CLOSE, LBRACE, RBRACE,
LBAR, RBAR, FRAC, FUNC, SIGN (= or ≈), SEPARATOR (; , where), NEWLINE.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from derive.errors import ExpressionError


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the text; ``number`` counted from one."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class Piece:
    """The smallest part of a word that may be a symbol by itself: as written, and in plain letters and digits."""

    written: str
    key: str


@dataclass(frozen=True, slots=True)
class Token:
    """``text`` as written, from ``column`` of ``line``. ``value``: what it says, where it can be written in several
    ways (the function, the sign, a number without its spaces, the plain name of a word)."""

    kind: str
    text: str
    line: Line
    column: int
    value: str = ""
    pieces: tuple[Piece, ...] = ()

    @property
    def key(self) -> str:
        """The letters and digits of a word, by which it is matched; ω is w however it is written."""
        return key_of(self.pieces)


def key_of(pieces: Sequence[Piece]) -> str:
    """The letters and digits of pieces side by side."""
    return one_omega("".join(one_omega(piece.key) for piece in pieces))


def one_omega(key: str) -> str:
    """A key with omega in one letter.

    >>> one_omega("omega0"), one_omega("w0")
    ('w0', 'w0')
    """
    return "w" + key[5:] if key.startswith("omega") else key


def fault(place: Token, what: str, remedy: str = "") -> ExpressionError:
    """The error to raise for a fault at a token."""
    return fault_at(place.line, place.column, what, remedy)


def fault_at(line: Line, column: int | None, what: str, remedy: str = "") -> ExpressionError:
    return ExpressionError(line.text, column, what, remedy, line.number)


def text_of(tokens: Sequence[Token]) -> str:
    """What the author wrote from the first of some tokens to the last, lines joined by a space."""
    first, last = tokens[0], tokens[-1]
    end = last.column - 1 + len(last.text)
    if first.line == last.line:
        return _tidy(first.line.text[first.column - 1 : end])
    lines = dict.fromkeys(token.line for token in tokens)
    parts = []
    for line in lines:
        own = [token for token in tokens if token.line == line]
        parts.append(line.text[own[0].column - 1 : own[-1].column - 1 + len(own[-1].text)])
    return _tidy(" ".join(parts))


def _tidy(text: str) -> str:
    return " ".join(text.replace("&", " ").split())
