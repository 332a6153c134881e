"""Characters that have no place in a description.

Enters: a text. Leaves: the name of the first unwelcome character, or None. Must not know: TOML's structure.
"""

from __future__ import annotations

import unicodedata

# Marks that reorder what is shown (Unicode Standard Annex 9), separators of lines and paragraphs, and the
# byte order mark.
_HIDDEN = frozenset("\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff\ufffe\uffff")
_SCRIPTS = frozenset({"greek", "latin", "cyrillic", "hebrew", "arabic"})
_NAMES = {"\b": "\\b", "\f": "\\f", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def bad_character(value: str, text: str = "") -> str | None:
    """The first control or direction mark of a value, as a message names it.

    A line end is welcome where the author wrote a text of several lines: where the value stands in ``text``
    as it is.

    >>> bad_character("plain"), bad_character(chr(12) + "rac")
    (None, '\\\\f')
    """
    for character in value:
        if character == "\n" and value in text:
            continue
        if character < " " or "\x7f" <= character <= "\x9f" or character in _HIDDEN:
            return _NAMES.get(character, f"U+{ord(character):04X}")
    return None


def foreign_letter(name: str) -> str | None:
    """The first character of a name that is not ASCII, as a message names it.

    >>> foreign_letter("R1"), foreign_letter("R\u03ba")
    (None, '\u03ba (Greek small letter kappa)')
    """
    for character in name:
        if character > "\x7f":
            words = unicodedata.name(character, "no assigned character")
            code = f"U+{ord(character):04X}"
            shown = character if character.isprintable() and not character.isspace() else code
            first, _, rest = words.lower().partition(" ")
            return f"{shown} ({first.capitalize() if first in _SCRIPTS else first}{' ' if rest else ''}{rest})"
    return None
