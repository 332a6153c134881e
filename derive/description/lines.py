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

Path = tuple[str | int, ...]
MOST_WORK = 16_000_000  # characters parsed; some seconds at worst, for texts that no one writes by hand


def line_of(text: str, path: Path) -> int | None:
    """The line, counted from one, that ends the first prefix in which the path appears.

    Where the whole path is not there, the longest part of it that is; None where nothing is, or where the
    text is so large that it would take too long.

    >>> line_of('[parts]\\nR1 = { resistor = "1 k" }\\n', ("parts", "R1", "resistor"))
    2
    """
    ends = [place + 1 for place, character in enumerate(text) if character == "\n"]
    if not ends or ends[-1] != len(text):
        ends.append(len(text))
    present = path[: _depth(text, path) or 0]
    if not present:
        return None
    work, low, high, answer = 0, 0, len(ends), None
    while low < high:
        middle = line = (low + high) // 2
        depth = None
        while line < high and depth is None:
            work += ends[line]
            if work > MOST_WORK:
                return None
            depth = _depth(text[: ends[line]], present)
            line += depth is None
        if depth is None:
            high = middle
        elif depth == len(present):
            answer, high = line, middle
        else:
            low = line + 1
    return None if answer is None else answer + 1


def _depth(prefix: str, path: Path) -> int | None:
    """How much of the path is there; None where the prefix is not TOML by itself."""
    try:
        data: Any = tomllib.loads(prefix, parse_float=str)
    except (ValueError, RecursionError):
        return None
    for depth, key in enumerate(path):
        inside = key in data if isinstance(data, dict) else isinstance(data, list) and key in range(len(data))
        if not inside:
            return depth
        data = data[key]
    return len(path)
