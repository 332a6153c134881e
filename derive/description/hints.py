"""The nearest known word to one that is not known, and short lists of what is known.

Enters: words. Leaves: words for a remedy. Must not know: TOML, circuits.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST_LIST = 8


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like this one, or None where none is.

    >>> nearest("resistr", ["resistor", "capacitor"])
    'resistor'
    """
    by_lower = {name.lower(): name for name in known}
    found = get_close_matches(word[:60].lower(), by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def suggest(word: str, known: Iterable[str], kind: str) -> str:
    """A remedy: the nearest known word, else the list of them. ``kind`` is what they are, in the singular.

    >>> suggest("emiter", ["base", "emitter"], "pin")
    'the nearest pin is emitter'
    >>> suggest("x", ["base", "emitter"], "pin")
    'the pins are base, emitter'
    """
    names = list(known)
    match = nearest(word, names)
    if match is not None:
        return f"the nearest {kind} is {match}"
    if not names:
        return f"there is no {kind} here"
    if len(names) == 1:
        return f"the only {kind} is {names[0]}"
    shown = ", ".join(names[:_LONGEST_LIST]) + ("…" if len(names) > _LONGEST_LIST else "")
    return f"the {kind}s are {shown}"


def quote(value: object, longest: int = 40) -> str:
    """A value of a description as a message shows it: short, and without control characters.

    >>> quote("a" + chr(7) + "b")
    '"a\\\\x07b"'
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and value.bit_length() > 200:
        return "a very long number"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    text = str(value)
    text = text if len(text) <= longest else text[: longest - 1] + "…"
    text = "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
    return f'"{text}"' if isinstance(value, str) else text


def join_and(names: Iterable[str]) -> str:
    """Names as a sentence lists them.

    >>> join_and(["id", "idss", "vp"])
    'id, idss and vp'
    """
    *most, last = names
    if len(most) > _LONGEST_LIST:
        most, last = most[:_LONGEST_LIST], f"{len(most) + 1 - _LONGEST_LIST} others"
    return f"{', '.join(most)} and {last}" if most else last


def a(kind: str) -> str:
    """A kind of part with its article.

    >>> a("opamp"), a("resistor")
    ('an opamp', 'a resistor')
    """
    return f"an {kind}" if kind[:1] in "aeiou" else f"a {kind}"
