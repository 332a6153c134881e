"""Turns of phrase that several sections share: things in a row, a change in per cent.

Enters: words, numbers. Leaves: words. Must not know: circuits, LaTeX.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import isfinite

from derive.words import Reading, Words

NOTHING: Words = ("–",)
ASIDE = re.compile(r", | \(| taken because | at ")
"""Where in the meaning of a symbol begins what is said of it besides."""


def joined(items: Sequence[Words], last: str = " and ") -> Words:
    """Things in a row: a, b and c.

    >>> joined([("a",), ("b",), ("c",)])
    ('a', ', ', 'b', ' and ', 'c')
    """
    words: Words = ()
    for place, item in enumerate(items):
        gap = "" if not place else last if place == len(items) - 1 else ", "
        words = (*words, *((gap,) if gap else ()), *item)
    return words


def change(found: float, than: float, digits: int = 2) -> Words:
    """By how much a number differs from another, in per cent with its sign; a dash where that says nothing.

    >>> change(0.62, 1.0)
    (Reading(value=-38.0, unit='%', digits=2, style='plain'),)
    """
    if not than or not isfinite(found / than):
        return NOTHING
    return signed(100 * (found / than - 1), "%", digits)


def signed(value: float, unit: str, digits: int = 2) -> Words:
    """A reading with its sign, a plus too."""
    return (*(("+",) if value > 0 else ()), Reading(value, unit, digits))


def owned(meaning: str, owner: str) -> str:
    """What a symbol means, with its owner behind the noun and before what is said of it.

    >>> owned("transconductance", "Q1"), owned("gain at d.c.", "U1")
    ('transconductance of Q1', 'gain of U1 at d.c.')
    """
    cut = ASIDE.search(meaning)
    place = cut.start() if cut else len(meaning)
    return f"{meaning[:place]} of {owner}{meaning[place:]}"


def unbroken(text: str) -> str:
    """Text in which a temperature stays on one line with its unit."""
    return text.replace(" °C", "\u00a0°C")


def several(count: int, noun: str) -> str:
    """A count with its noun.

    >>> several(1, "start"), several(3, "start")
    ('1 start', '3 starts')
    """
    return f"{count} {noun}{'' if count == 1 else 's'}"
