"""The line on which a key of a TOML text is set, found by parsing prefixes of the text.

Enters: a TOML text and a key path. Leaves: a line number. Used on error only.
Must not know: what the keys mean.

TOML parsers give no lines after parsing. Of the prefixes that are TOML by themselves (those that end within
a list or a long string are not), the key path appears in all from some line on: the first such prefix ends
on its line, and is found by halving.
"""

from __future__ import annotations

import tomllib
from typing import Any

MOST_WORK = 6_000_000  # characters parsed; some seconds at worst, for texts that no one writes by hand


def line_of(text: str, path: tuple[str | int, ...]) -> int | None:
    """The line, counted from one, that ends the first prefix in which the path appears; None where none does.

    >>> line_of('[parts]\\nR1 = { resistor = "1 k" }\\n', ("parts", "R1", "resistor"))
    2
    """
    ends = [place + 1 for place, character in enumerate(text) if character == "\n"]
    if not ends or ends[-1] != len(text):
        ends.append(len(text))
    work = 0
    low, high, answer = 0, len(ends), None
    while low < high:
        middle = (low + high) // 2
        line, found = middle, None
        while line < high and found is None:
            work += ends[line]
            if work > MOST_WORK:
                return None
            found = _appears(text[: ends[line]], path)
            line += found is None
        if found:
            answer, high = line, middle
        elif found is None:
            high = middle
        else:
            low = line + 1
    return None if answer is None else answer + 1


def _appears(prefix: str, path: tuple[str | int, ...]) -> bool | None:
    """Whether the path is there; None where the prefix is not TOML by itself."""
    try:
        data: Any = tomllib.loads(prefix, parse_float=str)
    except (ValueError, RecursionError):
        return None
    for key in path:
        inside = key in data if isinstance(data, dict) else isinstance(data, list) and key in range(len(data))
        if not inside:
            return False
        data = data[key]
    return True
